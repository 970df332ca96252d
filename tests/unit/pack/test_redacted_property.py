"""Whatever a case calls its own, nothing in the bytes of its redacted pack leads back to it.

What identifies a person, and so what is looked for: 45 CFR 164.514(b)(2)(i), confirmed, among it names (A), places
(B), dates finer than the year (C), certificate numbers (K), identifiers and serial numbers of devices (M), full-face
photographs (Q), and any other unique number (R).
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import re
import tempfile
import zipfile
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from asfound import assess, model
from asfound.assess.naming import names_somebody
from asfound.model.dossier import Core
from asfound.pack import Shown, Unpackable, redacted_contents, write_pack
from asfound.pack import redact as redact_module
from asfound.pack.redact_fields import NAMES, SHOWN
from tests.rules.support import CASE, ON, Copy, Edit

TOP = "redacted-draft"
MADE_WITH = "asfound 0"


def core_of(root: Path, folder: str = CASE, on: dt.date = ON) -> Core:
    """What is read and computed of a case."""
    found = assess.assess_case(root, root / folder, on, assess.open_repository(root))
    assert found.dossier is not None
    return found.dossier.core


def packed(root: Path, folder: str = CASE, on: dt.date = ON, shown: dict[str, Shown] | None = None) -> bytes:
    """The redacted pack of a case."""
    contents = redacted_contents(core_of(root, folder, on), 0, on.year, shown or {}, MADE_WITH, names_somebody(root))
    with tempfile.TemporaryDirectory() as home:
        write_pack(Path(home) / "x.zip", contents)
        return (Path(home) / "x.zip").read_bytes()


# --- which fields come out


def records() -> dict[str, type]:
    """Every record of the model by its name."""
    found: dict[str, type] = {}
    for module in iter_modules(model.__path__):
        for name, one in vars(import_module(f"asfound.model.{module.name}")).items():
            if isinstance(one, type) and (
                issubclass(one, BaseModel) or dataclasses.is_dataclass(one) or hasattr(one, "_fields")
            ):
                found.setdefault(name, one)
    return found


def fields_of(record: type) -> set[str]:
    if issubclass(record, BaseModel):
        return set(record.model_fields)
    if dataclasses.is_dataclass(record):
        return {one.name for one in dataclasses.fields(record)}
    return set(record._fields)  # type: ignore[attr-defined]


def test_every_label_is_of_a_field_that_is_known_to_name_something() -> None:
    labels = {
        (record, field): how.partition(":")[2]
        for record, fields in SHOWN.items()
        for field, how in fields.items()
        if how.startswith("name:")
    }
    assert labels.items() <= NAMES.items()
    assert all(field in fields_of(records()[record]) for record, field in NAMES)


# --- nothing leads back


@dataclasses.dataclass(frozen=True)
class Own:
    """What of a case is its own: put in the place of what the base case has."""

    case: str
    serial: str
    other_serial: str
    lot: str
    certificate: str
    seal: str
    ward: str
    surname: str
    days: int

    def names(self) -> list[str]:
        """What must not be found."""
        return [
            self.case, self.serial, self.other_serial, self.lot, self.certificate, self.seal, self.ward, self.surname,
        ]  # fmt: skip

    @property
    def on(self) -> dt.date:
        """The day it is assessed for."""
        return ON + dt.timedelta(days=self.days)

    def day(self, date: str) -> str:
        """A date of the base case on this one's calendar."""
        return (dt.date.fromisoformat(date) + dt.timedelta(days=self.days)).isoformat()


PLAIN = Own(
    "base-4410-x", "KX-77310-Q", "ZT 92177", "LQ-55-2291", "CW-2025-118", "SK20017", "Ward 77-K", "Quellhorst", 0
)
DATE = re.compile(r"\b(20\d\d-\d\d-\d\d)\b")
_LETTERS = st.text("GHJKMNPQRSTVWXYZ", min_size=2, max_size=3)
_DIGITS = st.text("0123456789", min_size=4, max_size=8)
_JOINT = st.sampled_from(["", "-", " ", "/", "_"])
_NUMBERS = st.builds("{}{}{}".format, _LETTERS, _JOINT, _DIGITS)
_UNLIKE = re.compile(r"[^A-Z0-9]")


@st.composite
def owns(draw: st.DrawFn) -> Own:
    """Cases that differ in what is their own alone."""
    numbers: list[str] = draw(
        st.lists(_NUMBERS, min_size=6, max_size=6, unique_by=lambda one: _UNLIKE.sub("", one)).filter(
            lambda many: (
                not any(
                    _UNLIKE.sub("", one) in _UNLIKE.sub("", other) for one in many for other in many if one is not other
                )
            )
        )
    )
    name = "c" + _UNLIKE.sub("", numbers[5]).lower() + draw(st.sampled_from(["", "-x", "-2"]))
    surname = draw(st.sampled_from(["Quellhorst", "Vykowski", "O'Zannagh", "Wyxbourne"]))
    return Own(name, *numbers[:5], f"Ward {numbers[5]}", surname, draw(st.integers(-50, 250)))


TALE = (
    "Unit {serial} of {ward}, tag {bare}, was seen by Nurse {surname} on {iso}, that is on {long}, or {slashes}, at "
    "10:40; lot {lot}, seal {seal}. See case {case} and https://cases.example/{case}.\n"
)
"""Texts as people write them although they should not; each sentence stands in a record of its own."""


def tales(own: Own) -> list[str]:
    day = dt.date.fromisoformat(own.day("2026-03-02"))
    told = TALE.format(
        serial=own.serial, ward=own.ward, bare=_UNLIKE.sub("", own.serial), surname=own.surname, iso=day.isoformat(),
        long=f"{day.day} {day:%B} {day.year}", slashes=f"{day:%m/%d/%Y}", lot=own.lot, seal=own.seal, case=own.case,
    )  # fmt: skip
    # Without the name the text is not withheld as a whole, and has to be gone through.
    return [
        told,
        told.replace(f"Nurse {own.surname}", "the nurse"),
        f"Serial no. {own.serial}; {own.day('2026-03-02')}",
    ]


def case_of(root: Path, own: Own) -> None:
    """The base case with what is `own`'s, at `root`."""
    first, second, third = tales(own)
    edits: list[Edit] = [
        ("case.yml", "case: base", f"case: {own.case}"),
        ("case.yml", "where: a bed space of a medical ward", f"where: a bed space of {own.ward}"),
        ("case.yml", "The pump was stopped and the set clamped.", f"{second.strip()} The set was clamped."),
        ("items.yml", 'serial: "118"', f'serial: "{own.serial}"'),
        ("items.yml", "description: Pump with its label and door", f'description: "{third}"'),
        ("items.yml", "condition_on_receipt: as in E-1", f'condition_on_receipt: "{first.strip()}"'),
        (".asfound/instruments.yml", 'serial: "4410"', f'serial: "{own.other_serial}"'),
        (".asfound/instruments.yml", '"C-2025-118"', f'"{own.certificate}"'),
    ]
    copy = Copy(root, edits)
    for name in ("items.yml", "custody.csv", "notices.yml", "findings.yml", "inspection.csv"):
        path = copy.path(name)
        text = (
            path.read_text()
            .replace("L-55", own.lot)
            .replace('"2001"', f'"{own.seal}"')
            .replace(",2001,", f",{own.seal},")
        )
        path.write_text(text)
    home = root / CASE
    for path in [*home.rglob("*.yml"), *home.rglob("*.csv"), *(root / ".asfound").rglob("*.yml")]:
        path.write_text(DATE.sub(lambda hit: own.day(hit[1]), path.read_text()))
    home.rename(root / "cases" / own.case)


def made(own: Own, root: Path) -> bytes:
    case_of(root, own)
    return packed(root, f"cases/{own.case}", own.on)


def dates_of(own: Own) -> set[str]:
    """Every day of the case, as people write days."""
    with tempfile.TemporaryDirectory() as home:
        case_of(Path(home), own)
        texts = [path.read_text() for path in Path(home).rglob("*") if path.suffix in (".yml", ".csv")]
    days = {dt.date.fromisoformat(one) for text in texts for one in DATE.findall(text)} | {own.on}
    return {
        form
        for day in days
        for form in (
            day.isoformat(), f"{day:%Y%m%d}", f"{day.day} {day:%B}".lower(), f"{day:%B} {day.day}".lower(),
            f"{day:%m/%d/%Y}", f"{day:%d.%m.%Y}", f"{day:%Y-%m}",
        )
    }  # fmt: skip


def leading_back(data: bytes, names: Iterable[str], dates: Iterable[str], digests: Iterable[str]) -> list[str]:
    """What of an original is anywhere in the bytes of a pack: in files, names, comments, dates of files, lists."""
    text = data.decode("utf-8", "replace").casefold()
    letters = re.sub(r"[\W_]", "", text)
    found = [one for one in names if one.casefold() in text or re.sub(r"[\W_]", "", one.casefold()) in letters]
    found += [one for one in dates if re.search(rf"(?<!\d){re.escape(one)}(?!\d)", text)]
    found += [one for one in digests if one in text]
    found += re.findall(r"(?<![\d:])(?:[01]\d|2[0-3]):[0-5]\d(?![\d:])", text)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        found += [one.filename for one in archive.infolist() if one.date_time != (1980, 1, 1, 0, 0, 0)]
        found += ["a comment"] if archive.comment or any(one.comment or one.extra for one in archive.infolist()) else []
    return found


def digests_of(core: Core) -> list[str]:
    digests = [one.sha256 for one in core.case.files.values()]
    return [*digests, core.digests.case, core.digests.limits, *(one[:16] for one in digests)]


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return made(PLAIN, tmp_path_factory.mktemp("plain"))


@settings(max_examples=12, deadline=None, phases=(Phase.explicit, Phase.generate))
@given(owns())
def test_whatever_a_case_calls_its_own_nothing_in_the_bytes_leads_back(plain: bytes, own: Own) -> None:
    """And cases that differ in that alone give the same bytes, which can lead to neither.

    The year is the same for all, and is all of a date that is told.
    """
    assert own.on.year == PLAIN.on.year
    with tempfile.TemporaryDirectory() as home:
        data = made(own, Path(home))
        digests = digests_of(core_of(Path(home), f"cases/{own.case}", own.on))
    assert leading_back(data, own.names(), dates_of(own), digests) == []
    assert data == plain


def test_the_differences_that_are_meant_to_show_do_show(plain: bytes, tmp_path: Path) -> None:
    """So the property above is not that of a pack which says nothing."""
    case_of(tmp_path, PLAIN)
    flow = tmp_path / "cases" / PLAIN.case / "readings/flow.csv"
    flow.write_text(flow.read_text().replace("4,100,111.9", "4,100,111.7"))
    assert packed(tmp_path, f"cases/{PLAIN.case}") != plain


# --- planted leaks


LEAKS = {
    "a serial shown as it is": ("Item", "serial", "plain", "a serial of the case"),
    "a lot shown as it is": ("Item", "lot", "plain", "a lot of the case"),
    "a day shown as it is": ("ServiceEvent", "on", "plain", "a date of the case"),
    "a time shown as it is": ("Statement", "taken_at", "plain", "a date of the case"),
    "a name of a file": ("Evidence", "file", "plain", "a file, digest or identity of the case"),
    "a digest": ("Evidence", "sha256", "plain", "a file, digest or identity of the case"),
    "a certificate": ("Calibration", "certificate", "plain", "a certificate of the case"),
    "a seal": ("Item", "seal_on_receipt", "plain", "a seal of the case"),
    "a place": ("Event", "where", "plain", "a place of the case"),
}


@pytest.mark.parametrize("name", LEAKS)
def test_a_planted_leak_is_refused_and_told(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record, field, how, said = LEAKS[name]
    monkeypatch.setattr(redact_module, "SHOWN", {**SHOWN, record: {**SHOWN[record], field: how}})
    case_of(tmp_path, PLAIN)
    with pytest.raises(Unpackable) as error:
        packed(tmp_path, f"cases/{PLAIN.case}")
    assert any(said in reason and reason.startswith("redacted.json") for reason in error.value.reasons), error.value


@pytest.mark.parametrize("where", ["file", "name", "comment", "date", "extra"])
def test_what_looks_for_leaks_finds_one_wherever_it_is(where: str, plain: bytes) -> None:
    """The test's own eyes: each of these would have to fail the property."""
    whole = io.BytesIO(plain)
    with zipfile.ZipFile(whole, "a") as archive:
        info = zipfile.ZipInfo("redacted-draft/x" if where != "name" else f"redacted-draft/{PLAIN.serial}")
        if where == "date":
            info.date_time = (2026, 3, 2, 10, 40, 0)
        if where == "extra":
            info.extra = b"UT\5\0\1abcd"
        archive.writestr(info, PLAIN.lot if where == "file" else "x")
        if where == "comment":
            archive.comment = b"hello"
    assert leading_back(plain, PLAIN.names(), (), ()) == []
    assert leading_back(whole.getvalue(), PLAIN.names(), (), ()) != []


def test_a_time_in_a_row_of_a_log_is_told_as_the_time_since_the_event() -> None:
    root = Path(__file__).resolve().parents[3]
    core = core_of(root, "cases/return-pad-lesion")
    data = redact_module.redact(core, lambda text: False).data
    starts = [data["readings"][f"R-log-{row}"]["conditions"]["start"] for row in (1, 21, 31)]
    # By hand, from the log's first, longest and last entry and the event at 15:14 -05:00.
    assert starts == [
        "1 h 48 min 56 s before the event",
        "43 min 40 s before the event",
        "20 min 58 s before the event",
    ]
    # The timeline tells of the same entries.
    assert starts == [data["timeline"][one]["at"] for one in ("T-2", "T-3", "T-4")]
    assert "rating label with model, serial 1 and software [left out]" in data["evidence"]["E-10"]["shows"]
    assert "iec-60601-2-2-2017" in data["sets"], "a limit set's name is no date"
