"""`asfound instrument add`: one record from a certificate, the file kept, and nothing else touched."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from asfound.intake import read_bench
from tests.support.certificate import certificate

from .support import Done, run

BASE = Path(__file__).parents[2] / "rules/base"
REGISTER = ".asfound/instruments.yml"
SERIAL = "A-2210"
DUE = ("--due", "2027-02-03")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A repository whose M-2 is the instrument of the certificate."""
    home = tmp_path / "my cases ä"
    shutil.copytree(BASE, home)
    text = (home / REGISTER).read_text("utf-8")
    old = text[text.index("M-2:") :].split("serial: ", 1)[1].splitlines()[0]
    assert text.count(f"serial: {old}\n") == 1
    (home / REGISTER).write_text(text.replace(f"serial: {old}\n", f"serial: {SERIAL}\n"), "utf-8")
    (home / "LC 26-011.xml").write_bytes(certificate())
    return home


@pytest.fixture
def add(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, root: Path):  # type: ignore[no-untyped-def]
    def go(*arguments: str) -> Done:
        return run(capsys, monkeypatch, root, "instrument", "add", *arguments)

    return go


def test_a_known_instrument_gets_one_calibration_more_and_keeps_every_byte(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    place = root / REGISTER
    before = place.read_text("utf-8").replace("M-2:\n", "M-2: # the good one\n", 1).replace("\n", "\r\n")
    place.write_bytes(b"\xef\xbb\xbf" + before.encode())
    done = add("LC 26-011.xml", *DUE)
    assert done.code == 0, done.err
    after = place.read_bytes()
    lines, old = after.split(b"\r\n"), (b"\xef\xbb\xbf" + before.encode()).split(b"\r\n")
    new = [line for line in lines if line not in old]
    assert b"\n" not in b"".join(lines) and [line for line in lines if line in old] == old
    assert any(b"certificate: LC-26-011" in line for line in new)
    instrument = read_bench(root).instruments["M-2"]
    calibration = instrument.calibrations[-1]
    assert (str(calibration.on), str(calibration.due)) == ("2026-02-03", "2027-02-03")
    assert calibration.as_found == "in tolerance, as the certificate states conformity"
    flow, voltage = calibration.covers
    assert [one.text for one in (flow.from_, flow.to, flow.doubt)] == ["10.00 mL/h", "300.0 mL/h", "0.60 mL/h"]
    assert (str(voltage.k), voltage.doubt.text) == ("2.05", "0.0021 V")
    kept = root / ".asfound" / str(calibration.file)
    assert kept.read_bytes() == certificate()
    assert calibration.sha256 == hashlib.sha256(certificate()).hexdigest()
    assert read_bench(root).problems == ()
    # The lines that were written, with their place; and what could not be taken.
    assert done.out.startswith(f"{REGISTER}:") and " M-2\n" in done.out and "certificate: LC-26-011" in done.out
    number = int(done.out.split(":")[1].split()[0])
    assert b"certificate: LC-26-011" in lines[number - 1]
    assert "candela" in done.err and "Not taken (line " in done.err
    assert "no function of it that measures voltage, which the certificate covers" in done.err


def test_a_new_instrument_is_begun_with_what_the_certificate_says(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    (root / "new.xml").write_bytes(certificate(("A-2210", "B-1")))
    done = add("new.xml", *DUE, "--keeper", "examiner", "--as-found", "in tolerance")
    assert done.code == 0, done.err
    ref = done.out.split()[1]
    bench = read_bench(root)
    made = bench.instruments[ref]
    assert (made.what, made.serial, made.keeper) == ("Flow analyser", "B-1", "examiner")
    assert {name: one.quantity for name, one in made.functions.items()} == {
        "volume flow": "volume flow", "voltage": "voltage"
    }  # fmt: skip
    function = made.functions["volume flow"]
    assert function.certificate_doubt is not None and function.certificate_doubt.text == "0.60 mL/h"
    assert function.ranges == () and "neither resolution nor accuracy" in done.err
    assert made.note == "Of the maker and model: an invented maker, FA 2."
    assert bench.problems == ()


def test_an_instrument_with_a_function_for_all_that_is_covered_is_not_said_to_lack_one(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    head, tail = (root / REGISTER).read_text("utf-8").split("M-2:\n")
    more = "  functions:\n    output:\n      quantity: voltage\n      ranges: []\n"
    (root / REGISTER).write_text(f"{head}M-2:\n{tail.replace('  functions:' + chr(10), more, 1)}", "utf-8")
    assert "no function of it" not in add("LC 26-011.xml", *DUE).err


def test_a_register_that_is_not_there_yet_is_begun(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    (root / REGISTER).unlink()
    assert add("LC 26-011.xml", *DUE).code == 0
    assert list(read_bench(root).instruments) == ["M-1"]


def test_the_same_certificate_twice_writes_nothing(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    assert add("LC 26-011.xml", *DUE).code == 0
    before = {one: one.read_bytes() for one in (root / ".asfound").rglob("*") if one.is_file()}
    done = add("LC 26-011.xml", *DUE)
    assert done.code == 1 and "M-2 has the certificate LC-26-011 already" in done.err
    assert {one: one.read_bytes() for one in (root / ".asfound").rglob("*") if one.is_file()} == before


def test_a_run_that_was_cut_off_after_the_copy_is_taken_up(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    (root / ".asfound/certificates").mkdir()
    (root / ".asfound/certificates/earlier name.xml").write_bytes(certificate())
    assert add("LC 26-011.xml", *DUE).code == 0
    assert [one.name for one in (root / ".asfound/certificates").iterdir()] == ["earlier name.xml"]
    assert read_bench(root).instruments["M-2"].calibrations[-1].file == "certificates/earlier name.xml"


def test_another_file_of_the_same_name_is_never_written_over(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    (root / ".asfound/certificates").mkdir()
    (root / ".asfound/certificates/LC 26-011.xml").write_bytes(b"another")
    assert add("LC 26-011.xml", *DUE).code == 0
    names = {one.name: one.read_bytes() for one in (root / ".asfound/certificates").iterdir()}
    assert names == {"LC 26-011.xml": b"another", "LC 26-011-2.xml": certificate()}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("</dcc:coreData>", ""), "no well-formed XML"),
        (
            ('"https://ptb.de/dcc"', '"https://example.invalid/dcc"'),
            "digitalCalibrationCertificate of https://ptb.de/dcc",
        ),
        (("2026-02-03Z", "3 February"), "a date such as 2026-02-03 is needed"),
    ],
)
def test_a_file_that_is_no_certificate_is_refused_with_its_place(
    add, root: Path, change: tuple[str, str], said: str
) -> None:  # type: ignore[no-untyped-def]
    (root / "bad.xml").write_bytes(certificate(change))
    before = (root / REGISTER).read_bytes()
    done = add("bad.xml", *DUE)
    assert done.code == 1 and said in done.err and "Traceback" not in done.err
    assert "  bad.xml:" in done.err and done.err.split("bad.xml:")[1].split(":")[0].isdigit()
    assert (root / REGISTER).read_bytes() == before and not (root / ".asfound/certificates").exists()


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("--due", "soon"), 2, "a date such as 2027-02-03"),
        (("--due", "2027-02-30"), 2, "no day of the calendar"),
        (("--due", "2026-01-01"), 1, "is not after 2026-02-03"),
        ((*DUE, "--id", "I-3"), 2, "the id of an instrument such as M-3"),
        ((*DUE, "--serial", "nobody's"), 1, "its numbers are: LAB-7, A-2210"),
        ((*DUE, "--keeper", "The Keeper"), 2, "a role in small letters"),
        ((), 2, "--due"),
    ],
)
def test_what_a_person_says_wrongly_is_told(add, root: Path, arguments: tuple[str, ...], code: int, said: str) -> None:  # type: ignore[no-untyped-def]
    before = (root / REGISTER).read_bytes()
    done = add("LC 26-011.xml", *arguments)
    assert done.code == code and said in done.err
    assert (root / REGISTER).read_bytes() == before


def test_another_number_than_that_of_the_register_is_said_and_not_refused(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    done = add("LC 26-011.xml", *DUE, "--id", "M-3")
    assert (
        done.code == 0
        and "The register has the serial 0092; the numbers of the certificate are: LAB-7, A-2210." in done.err
    )
    assert [one.certificate for one in read_bench(root).instruments["M-3"].calibrations][-1] == "LC-26-011"
    assert "The register has the serial" not in add("LC 26-011.xml", *DUE).err


def test_a_list_in_brackets_is_not_written_into(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    one = "{certificate: a, on: 2025-01-01, due: 2026-01-01, by: a laboratory, as_found: in tolerance}"
    head = "M-2:\n  what: Flow analyser\n  serial: A-2210\n  functions: {}\n"
    (root / REGISTER).write_text(f"{head}  calibrations: [{one}]\n", "utf-8")
    done = add("LC 26-011.xml", *DUE)
    assert done.code == 1 and "in brackets" in done.err
    assert not list((root / ".asfound").glob("certificates/*"))


def test_an_instrument_without_a_calibration_gets_its_first(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    (root / REGISTER).write_text("# kept\nM-2:\n  what: Flow analyser\n  serial: A-2210\n  functions: {}\n", "utf-8")
    done = add("LC 26-011.xml", *DUE)
    assert done.code == 0, done.err
    assert (root / REGISTER).read_text("utf-8").startswith("# kept\nM-2:\n  what: Flow analyser\n")
    assert [one.certificate for one in read_bench(root).instruments["M-2"].calibrations] == ["LC-26-011"]
    assert "certificate: LC-26-011" in done.out


TWO = (
    "      </dcc:item>\n",
    """      </dcc:item>
      <dcc:item id="other">
        <dcc:name><dcc:content>Flow analyser</dcc:content></dcc:name>
        <dcc:identifications><dcc:identification><dcc:value>A-2211</dcc:value></dcc:identification></dcc:identifications>
      </dcc:item>
""",
)


def test_of_a_certificate_of_two_things_each_gets_its_own_results_and_no_doubt_of_the_other(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    """A doubt that belongs to another instrument looks like any other on a page."""
    name = '<dcc:result>\n          <dcc:name><dcc:content lang="en">Flow'
    (root / "two.xml").write_bytes(certificate(TWO, (name, name.replace("<dcc:result>", '<dcc:result refId="other">'))))
    done = add("two.xml", *DUE, "--serial", "A-2211")
    assert done.code == 0, done.err
    made = read_bench(root).instruments[done.out.split()[1]]
    assert [one.what for one in made.calibrations[0].covers] == ["Flow"]
    assert "“Output for a recorder” does not say of which of the 2 things it is" in done.err
    assert "“Flow”" not in done.err


def test_of_a_certificate_of_two_things_none_is_in_tolerance_on_the_word_said_of_the_other(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    """What was found out of tolerance, or of which nothing was stated, must not be entered as in tolerance."""
    result = "        <dcc:result>\n"
    stated = "<dcc:conformity>pass</dcc:conformity>"
    for number, (whose, word, told) in enumerate(
        (
            ("item", "pass", {"not_known": "the certificate states no conformity"}),
            ("other", "pass", "in tolerance, as the certificate states conformity"),
            ("other", "fail", "out of tolerance, as the certificate states conformity"),
            ("", "pass", {"not_known": "the certificate states no conformity"}),
        )
    ):
        text = certificate(TWO, (stated, stated.replace("pass", word)), (">LC-26-011<", f">LC-26-{number}<")).decode()
        text = text.replace("<dcc:item>", '<dcc:item id="item">', 1)
        assert 'id="item"' in text and text.count(result) >= 1
        if whose:
            text = text.replace(result, result.replace("result>", f'result refId="{whose}">'))
        (root / "two.xml").write_text(text, "utf-8")
        done = add("two.xml", *DUE, "--serial", "A-2211")
        assert done.code == 0, done.err
        made = read_bench(root).instruments[done.out.split()[1]].calibrations[-1]
        found = made.as_found if isinstance(made.as_found, str) else made.as_found.model_dump(exclude_none=True)
        assert found == told, (whose, word)
        assert ("the conformity “pass” does not say of which of the 2 things it is" in done.err) is (whose == "")


def test_a_due_date_later_than_the_certificate_asks_and_a_certificate_replaced_are_said(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    assert add("LC 26-011.xml", *DUE).code == 0
    again = (
        '<dcc:statements><dcc:statement refType="basic_recalibration"><dcc:date>2026-12-01</dcc:date>'
        "</dcc:statement></dcc:statements>"
    )
    number = "<dcc:replacedUniqueIdentifier>LC-26-011</dcc:replacedUniqueIdentifier>"
    held = f"<dcc:typeOfChange>substituted</dcc:typeOfChange>{number}"
    core = "    </dcc:coreData>"
    replaced = f"<dcc:reportAmendedSubstituted>{held}</dcc:reportAmendedSubstituted>"
    end = "  </dcc:administrativeData>"
    made = certificate((">LC-26-011<", ">LC-26-012<"), (core, replaced + core), (end, again + end))
    (root / "new.xml").write_bytes(made)
    done = add("new.xml", *DUE)
    assert done.code == 0, done.err
    assert "asks for the next calibration by 2026-12-01; the due date written is 2027-02-03." in done.err
    assert "in place of the certificate LC-26-011 (substituted); its entry stands there still" in done.err


def test_an_example_of_the_makers_of_the_schema_is_entered_and_reads_back(add, root: Path) -> None:  # type: ignore[no-untyped-def]
    example = Path(__file__).parents[2] / "reference/certificates/valid.xml"
    done = add(str(example), "--due", "1959-10-22")
    assert done.code == 0, done.err
    bench = read_bench(root)
    (covered,) = bench.instruments[done.out.split()[1]].calibrations[0].covers
    told = [one.text for one in (covered.from_, covered.to, covered.doubt)]
    assert told == ["33.098 °C", "320.004 °C", "0.061 K"] and covered.quantity == "temperature"
    assert bench.problems == () and "Not taken" not in done.err and "asks for the next" not in done.err
