"""A redacted pack: what it shows, and that nothing in it leads back.

45 CFR 164.514(b)(2) (confirmed) names dates finer than the year and serial numbers of devices among what identifies a
person. Looked for here by other means than those that take them out: in the bytes of the archive, from the bytes of
the case.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import functools
import io
import re
import subprocess
import sys
import typing
import warnings
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import bagit  # type: ignore[import-untyped]
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from rocrate.rocrate import ROCrate  # type: ignore[import-untyped]

from asfound import assess
from asfound.cli.pack import run_pack
from asfound.model.base import Record
from asfound.model.case import Case
from asfound.pack import Unpackable, redact_fields, redacted_contents, verify
from asfound.pack.redact import redact
from asfound.pack.redact_words import Labels, Scrub, bare
from tests.rules.support import CASE, Copy
from tests.unit.pack.support import files_of, outcomes

warnings.filterwarnings("ignore", category=DeprecationWarning, module="bagit")

ON = "2026-03-20"


def nobody(text: str) -> bool:
    """Finds no name in any text."""
    return False


DEMO = Path(__file__).parents[3]


def packed(folder: Path, root: Path, case: str, *pictures: str, name: str = "out.zip") -> Path:
    """A redacted pack of a case as a draft."""
    out = folder / name
    assert run_pack(str(root / case), None, True, str(out), False, ON, str(root), pictures) == 0
    return out


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration case, with one picture that somebody chose."""
    return packed(tmp_path_factory.mktemp("redacted"), DEMO, "cases/return-pad-lesion", "E-15")


def everything(pack: Path) -> dict[str, bytes]:
    """Every file of the pack by name, and the bytes of the archive around them."""
    with zipfile.ZipFile(pack) as archive:
        found = {name: archive.read(name) for name in archive.namelist()}
        found["names"] = "\n".join(archive.namelist()).encode()
        found["comment"] = archive.comment + b"".join(one.comment + one.extra for one in archive.infolist())
        assert {one.date_time for one in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    return found


# --- what leads back


def _identifying(folder: Path, bench: Path) -> Iterator[tuple[str, str]]:
    """Kind and text of what identifies, read from the bytes of the case by stock means."""
    for path in sorted(folder.rglob("*")):
        if path.suffix in {".yml", ".csv"}:
            for date in re.findall(r"(?<!\d)20\d\d-\d\d-\d\d(?!\d)", path.read_text()):
                yield "date", date
        if path.is_file() and "evidence" in path.parts:
            yield "file", path.name
    items = yaml.safe_load((folder / "items.yml").read_text())
    for item in items.values():
        for field in ("serial", "lot", "udi", "gtin", "model"):
            if isinstance(item.get(field), str) and not item[field].startswith(("not ", "none")):
                yield field, item[field]
    for one in yaml.safe_load((bench / "instruments.yml").read_text()).values():
        yield "serial", str(one["serial"])
        for calibration in one.get("calibrations", []):
            yield "certificate", calibration["certificate"]
    for entry in yaml.safe_load((folder / "evidence.yml").read_text()).values():
        yield "digest", entry["sha256"]
    yield "case", yaml.safe_load((folder / "case.yml").read_text())["case"]


def test_nothing_that_identifies_stands_in_the_pack(demo: Path) -> None:
    home = DEMO / "cases/return-pad-lesion"
    wanted = set(_identifying(home, DEMO / ".asfound"))
    kinds = {kind for kind, _ in wanted}
    assert kinds >= {"date", "file", "serial", "lot", "certificate", "digest", "case"} and len(wanted) > 100
    files = {name: data.decode("utf-8", "replace").casefold() for name, data in everything(demo).items()}
    for kind, text in sorted(wanted):
        for name, data in files.items():
            assert text.casefold() not in data, f"{name} holds the {kind} {text}"


def test_no_time_of_day_and_no_date_in_any_form_is_left(demo: Path) -> None:
    for name, data in everything(demo).items():
        if name.endswith((".json", ".html", ".txt")) and "manifest" not in name and "SHA256" not in name:
            text = data.decode()
            if name.endswith(".html"):
                text = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
            assert not re.search(r"(?<![\d.])20[12]\d-\d\d", text), name
            assert not re.search(r"(?<![\d:.])(?:[01]?\d|2[0-3]):[0-5]\d(?![\d:])", text), name


def test_every_field_is_either_shown_or_left_out_on_purpose() -> None:
    """A new field of a record does not come out by being forgotten, nor is it forgotten."""
    kinds = {kind.__name__: kind for kind in _records_of(Case)}
    for name, shown in redact_fields.SHOWN.items():
        kind = kinds[name]
        fields = set(_fields(kind))
        decided = set(shown) | set(redact_fields.LEFT_OUT.get(name, ()))
        assert fields == decided, f"{name}: undecided {sorted(fields - decided)}, unknown {sorted(decided - fields)}"
    for name in redact_fields.LEFT_OUT:
        assert name in redact_fields.SHOWN, name


def _fields(kind: Any) -> list[str]:
    if isinstance(kind, type) and issubclass(kind, Record):
        return list(kind.model_fields)
    if dataclasses.is_dataclass(kind):
        return [one.name for one in dataclasses.fields(kind)]
    return list(kind._fields)


def _records_of(kind: Any, seen: set[Any] | None = None) -> set[Any]:
    """Every record class that can stand in a case, and those of the instruments."""
    from asfound.model.bench import Instrument

    seen = set() if seen is None else seen
    waiting = [kind, Instrument]
    while waiting:
        one = waiting.pop()
        for inner in typing.get_args(one):
            waiting.append(inner)
        if not isinstance(one, type) or one in seen or not one.__module__.startswith("asfound.model"):
            continue
        if not (issubclass(one, Record) or dataclasses.is_dataclass(one) or hasattr(one, "_fields")):
            continue
        seen.add(one)
        waiting += list(typing.get_type_hints(one).values())
    return seen


def _moved(text: str, days: int) -> str:
    def later(hit: re.Match[str]) -> str:
        return (dt.date.fromisoformat(hit[0]) + dt.timedelta(days=days)).isoformat()

    return re.sub(r"(?<!\d)20\d\d-\d\d-\d\d(?!\d)", later, text)


def test_cases_that_differ_in_what_identifies_give_the_same_bytes(tmp_path: Path) -> None:
    """Dates, serial numbers, lots, seals and the case's identity have no say in a single byte."""
    first = Copy(tmp_path / "one")
    second = Copy(tmp_path / "two")
    serials: dict[str, str] = {}
    items = yaml.safe_load((first.root / CASE / "items.yml").read_text())
    for item in items.values():
        for field in ("serial", "lot"):
            if isinstance(item.get(field), str) and any(char.isdigit() for char in item[field]):
                serials[item[field]] = item[field].translate(str.maketrans("0123456789", "9876543210"))
    assert serials
    for path in [*(second.root / CASE).rglob("*"), *(second.root / ".asfound").rglob("*")]:
        if path.suffix not in {".yml", ".csv"} or "evidence" in path.relative_to(second.root).parts[:-1]:
            continue
        text = _moved(path.read_text(), 28)
        for old, new in serials.items():
            text = text.replace(old, new)
        path.write_text(text)
    head = second.root / CASE / "case.yml"
    identity = yaml.safe_load(head.read_text())["case"]
    head.write_text(head.read_text().replace(f"case: {identity}", "case: another-1"))
    out = [
        packed(tmp_path, first.root, CASE, name="one.zip"),
        packed(tmp_path, second.root, CASE, name="two.zip"),
    ]
    one, two = (files_of(path) for path in out)
    assert sorted(one) == sorted(two)
    for name in sorted(one):
        assert one[name] == two[name], name
    assert out[0].read_bytes() == out[1].read_bytes()


_WORD = st.text("ABCDEFGHJKLMNPQRSTUVWXYZ0123456789-", min_size=5, max_size=12).filter(
    lambda word: (
        any(char.isdigit() for char in word)
        and sum(char.isalnum() for char in word) >= 4
        and not word.startswith("-")
        and not word.endswith("-")
    )
)
_DATES = st.dates(dt.date(2020, 1, 1), dt.date(2031, 12, 31))


@functools.cache
def _core() -> Any:
    found = assess.assess_case(DEMO, DEMO / "cases/return-pad-lesion", dt.date(2026, 3, 20))
    assert found.dossier is not None
    return found.dossier.core


@pytest.fixture(scope="module")
def core() -> Any:
    return _core()


@settings(max_examples=25, deadline=None)
@given(serial=_WORD, date=_DATES, form=st.sampled_from(["%Y-%m-%d", "%d/%m/%Y", "%d %B %Y", "%B %d, %Y", "%Y%m%d"]))
def test_an_identifier_in_running_text_goes_wherever_it_stands(serial: str, date: dt.date, form: str) -> None:
    """A serial and a date, however written, put into the words of a finding, a note and an opinion."""
    core = _core()  # as an argument its 0.6 MB would be printed with every example that fails
    said = date.strftime(form)
    words = f"The unit {serial} was looked at on {said}; ({serial.lower()}) again."
    case = core.case
    ref, item = next(iter(case.items.items()))
    finding_ref, finding = next(iter(case.findings.items()))
    changed = dataclasses.replace(
        case,
        items=case.items | {ref: item.model_copy(update={"serial": serial, "note": words})},
        findings=case.findings | {finding_ref: finding.model_copy(update={"text": words})},
        conclusion=case.conclusion.model_copy(update={"limits_of_work": words}),
    )
    contents = redacted_contents(dataclasses.replace(core, case=changed), 1, 2026, {}, "asfound", nobody)
    for part in contents.parts:
        assert isinstance(part.data, bytes)
        text = part.data.decode().casefold()
        assert serial.casefold() not in text
        assert said.casefold() not in text


@pytest.mark.parametrize(
    "serial", ["1-------01-0", "12#345", "7:8:9:A", "(01)04012345678901(21)7", "AB***9/C1", "Q3 -- 77", "a·b·12"]
)
def test_an_identifier_goes_with_whatever_signs_it_has_within(serial: str) -> None:
    """As it is written on the plate, and as people write it: in capitals or not, with fewer signs, or with none."""
    scrub = Scrub(Labels({("serial", serial.casefold()): "serial 1"}), (), nobody)
    for written in (serial, serial.lower(), serial.upper(), re.sub(r"\W+", "-", serial.strip("()")), bare(serial)):
        told = scrub.text(f"The unit {written} was looked at.")
        assert "serial 1" in told and not re.search(r"\d{2}", told), (written, told)
    assert Scrub(Labels({("lot", "b/c"): "lot 1"}), (), nobody).text("Of lot B/C, and bbc.") == "Of lot 1, and bbc."


# --- the second wall, and pictures


def test_what_a_fault_of_ours_lets_through_is_seen_in_the_finished_bytes(
    core: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A serial shown as it is, by a mistaken line in the list of fields: no pack is made, and the place is named."""
    item = dict(redact_fields.SHOWN["Item"]) | {"serial": "plain"}
    monkeypatch.setitem(redact_fields.SHOWN, "Item", item)  # type: ignore[arg-type]
    with pytest.raises(Unpackable, match=r"redacted\.json would still hold a serial of the case"):
        redacted_contents(core, 1, 2026, {}, "asfound", nobody)


def test_only_a_chosen_picture_is_there_and_without_what_a_camera_wrote(demo: Path) -> None:
    pictures = {name: data for name, data in files_of(demo).items() if name.startswith("data/pictures/")}
    assert list(pictures) == ["data/pictures/E-15.jpg"]
    with Image.open(io.BytesIO(pictures["data/pictures/E-15.jpg"])) as picture:
        assert not picture.getexif() and "comment" not in picture.info
    original = DEMO / "cases/return-pad-lesion" / _file_of("E-15")
    assert pictures["data/pictures/E-15.jpg"] != original.read_bytes()


def _file_of(ref: str) -> str:
    entry = yaml.safe_load((DEMO / "cases/return-pad-lesion/evidence.yml").read_text())[ref]
    assert isinstance(entry["file"], str)
    return entry["file"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda one: one.model_copy(update={"faces": True}), "E-15 shows a face"),
        (lambda one: one.model_copy(update={"faces": None}), "whether E-15 shows a face is not declared"),
    ],
)
def test_a_face_does_not_come_out(core: Any, change: Callable[[Any], Any], said: str) -> None:
    case = core.case
    evidence = case.evidence | {"E-15": change(case.evidence["E-15"])}
    changed = dataclasses.replace(core, case=dataclasses.replace(case, evidence=evidence))
    from asfound.pack import Shown

    with pytest.raises(Unpackable, match=re.escape(said)):
        redacted_contents(changed, 1, 2026, {"E-15": Shown(b"", "image/jpeg")}, "asfound", nobody)


@pytest.mark.parametrize(
    ("ref", "said"), [("E-999", "there is no evidence E-999"), ("E-26", "E-26 is no picture that can be shown")]
)
def test_a_picture_that_cannot_be_shown_is_named(
    ref: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    args = (str(DEMO / "cases/return-pad-lesion"), None, True, str(tmp_path / "x.zip"), False, ON, str(DEMO), (ref,))
    assert run_pack(*args) == 1
    assert said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


# --- what it says


def test_times_are_those_since_the_event_and_the_same_thing_has_the_same_label(core: Any) -> None:
    data = redact(core, nobody).data
    assert data["event"]["told_at"] == "at the time of the event"
    custody = data["custody"]
    assert all(re.search(r"(?:after|before|at the time of) ", row["released_at"]) for row in custody.values())
    people = {row["released_by"] for row in custody.values()}
    # Roles in words of the trade stay; a role that could say who somebody is bears a label.
    assert people == {row.released_by for row in core.case.custody if row.released_by}
    person = core.case.head.people["examiner"].model_copy(update={"title": "chief of the north wing"})
    head = core.case.head.model_copy(update={"people": {**core.case.head.people, "chief-of-north-wing": person}})
    shown = redact(dataclasses.replace(core, case=dataclasses.replace(core.case, head=head)), nobody)
    assert any(one.startswith("Roles that could say who somebody is: 1,") for one in shown.removed)
    assert data["weighing"]["mechanism"]["level"] == core.weighing.mechanism.level.value
    assert {one["outcome"] for one in data["verdicts"]} == {one.outcome.value for one in core.verdicts}


def test_a_text_that_names_a_person_is_withheld_whole(core: Any) -> None:
    case = core.case
    ref, finding = next(iter(case.findings.items()))
    told = finding.model_copy(update={"text": "The patient, MRN 00123456, lay on the left side."})
    changed = dataclasses.replace(core, case=dataclasses.replace(case, findings=case.findings | {ref: told}))
    shown = redact(changed, nobody).data["findings"][ref]["text"]
    assert "00123456" not in shown and "left out" in shown


def test_it_says_what_was_taken_out_and_what_cannot_be_checked(demo: Path) -> None:
    files = files_of(demo)
    readme, page = files["README.txt"].decode(), files["data/report.html"].decode()
    for said in ("Serial numbers: ", "Every date and time", "Commits, approvals", "A person has to read it"):
        assert said in readme
    assert "What cannot be checked from this edition" in page and "does not clear a" in page
    assert "<script" not in page and "http://" not in page and "https://" not in page


def test_the_verifiers_say_what_they_could_not_do(demo: Path, tmp_path: Path) -> None:
    found = verify(demo)
    assert not found.failed
    assert [outcomes(found)[step] for step in range(1, 9)] == ["passed"] * 4 + ["not done"] * 4
    subprocess.run(["unzip", "-q", str(demo), "-d", str(tmp_path)], check=True, timeout=60)
    home = tmp_path / "redacted-draft"
    done = subprocess.run([sys.executable, "verify.py"], cwd=home, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and "5  chain of editions        not done" in done.stdout
    report = home / "data/report.html"
    report.write_bytes(report.read_bytes().replace(b"does not clear", b"clears", 1))
    done = subprocess.run([sys.executable, "verify.py"], cwd=home, capture_output=True, text=True, timeout=60)
    assert done.returncode == 1 and "data/report.html" in done.stdout


def test_the_stock_programs_take_it(demo: Path, tmp_path: Path) -> None:
    """bagit (Library of Congress), coreutils, Info-ZIP, and a stock reader of RO-Crate."""
    subprocess.run(["unzip", "-tq", str(demo)], check=True, timeout=60, capture_output=True)
    subprocess.run(["unzip", "-q", str(demo), "-d", str(tmp_path)], check=True, timeout=60)
    home = tmp_path / "redacted-draft"
    bagit.Bag(str(home)).validate()
    subprocess.run(["sha256sum", "-c", "--quiet", "SHA256SUMS"], cwd=home, check=True, timeout=60)
    crate = ROCrate(str(home / "data"))
    assert crate.root_dataset["datePublished"] == "2026"
    assert {one.id for one in crate.data_entities} >= {"redacted.json", "report.html", "pictures/E-15.jpg"}


def test_the_same_case_gives_the_same_bytes(demo: Path, tmp_path: Path) -> None:
    assert packed(tmp_path, DEMO, "cases/return-pad-lesion", "E-15").read_bytes() == demo.read_bytes()
