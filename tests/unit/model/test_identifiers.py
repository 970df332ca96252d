"""Identifiers of patients: what must be seen, and the ordinary sentences that must not trip."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.model import identifiers as ids
from asfound.model.identifiers import identifiers, in_name

ROOT = Path(__file__).parents[3]

SEEN = [
    ("The wristband reads MRN 44712290.", ids.RECORD_NUMBER),
    ("MRN: A-447122", ids.RECORD_NUMBER),
    ("mrn#00447122 was on the sheet", ids.RECORD_NUMBER),
    ("medical record number 4471 2290", ids.RECORD_NUMBER),
    ("Patient ID: 778812", ids.RECORD_NUMBER),
    ("patient no. 778812", ids.RECORD_NUMBER),
    ("hospital number K778812", ids.RECORD_NUMBER),
    ("NHS number 943 476 5919", ids.RECORD_NUMBER),
    ("admission no 20260309", ids.RECORD_NUMBER),
    ("DOB 02/04/1961", ids.BIRTH_DATE),
    ("dob: 1961-04-02", ids.BIRTH_DATE),
    ("date of birth was 2 April 1961", ids.BIRTH_DATE),
    ("Date of birth: April 2, 1961", ids.BIRTH_DATE),
    ("a patient born 2.4.61", ids.BIRTH_DATE),
    ("born on the 2nd April 1961", ids.BIRTH_DATE),
    ("call her at (612) 555-0142", ids.TELEPHONE),
    ("612-555-0142 was given", ids.TELEPHONE),
    ("+44 20 7946 0958", ids.TELEPHONE),
    ("+49 (0)30 901820", ids.TELEPHONE),
    ("tel. 555 0142 77", ids.TELEPHONE),
    ("telephone number: 5550142", ids.TELEPHONE),
    ("mobile 07700 900123", ids.TELEPHONE),
    ("write to someone@example.org, please", ids.MAIL),
    ("ward.two+pump@mail.example.co", ids.MAIL),
    ("078-05-1120 stood on the form", ids.SOCIAL_SECURITY),
    ("SSN 078051120", ids.SOCIAL_SECURITY),
    ("social security number is 078 05 1120", ids.SOCIAL_SECURITY),
]

ORDINARY = [
    "Serial 07 2291, software 2.4.",
    "serial 118-20-3301 and lot 25K118, use by 2027-10",
    "S/N 612-555-0142, lot no. 555-014-2233, seal 40117",
    "Part number 612-555-0142; ref. 078-05-1120; catalogue no. 078-05-1120.",
    "UDI (01)00812345678901(17)280331(10)A123(21)118",
    "+D123BJC5D6E71G is the primary code of an HIBCC label",
    "=W12345678901234=>0258R is a code of a blood bag",
    "GTIN 00812345678901, GTIN: 612-555-0142",
    "certificate 2026-0311-004 of 2026-03-11",
    "asset tag 612-555-0142",
    "on 2026-03-09 15:12 -05:00, by the clock of the room",
    "between 15:12:40 and 15:13:02, offset -6 min 20 s",
    "120.4 V, 60.0 Hz, 0.11 Ω, 4.7 µA, +5 V, -12 V, 10 kΩ",
    "+1.5 dB at 300 kHz, +12 345 678 counts",
    "10.0.0.1 and 192.168.100.200 are addresses on the ward's network",
    "version 1.2.3.4567, firmware 612.555.0142",
    "the patient monitor, patient no. 2 of the list, patient lead 3",
    "chart 12 of the report, chart no. 4",
    "record number 3 of the log, the record of 2026-03-09",
    "The activation record holds 31 entries; entry 20260309 is the last.",
    "The patient was born in the winter before.",
    "a stillborn infant in incubator 2026-1",
    "The device was made in 1961-04; date of manufacture 1961-04-02.",
    "manufactured 02/04/1961, use by 02/04/2031",
    "The phone in the theatre rang at 15:12.",
    "network time on the custodian's telephone, 2026-03-09 16:22",
    "pager 4 and telephone 2 were on the table; telephone 555",
    "call button 3, nurse call 12, mobile unit 7, cell 4 of 12, fax tray 2",
    "a mobile X-ray unit, serial 07700900123",
    "Readings 200 300 4000 mA in turn; part 300-300-4000.",
    "90 W at 300 Ω; @ 400 ohm; 3 @ 5; twice@once",
    "rating 250 V~ 10 A, IP 54, IEC 60601-1:2005, 60601-2-2",
    "ISO 14971:2019 and 21 CFR 803.32(c)(4), 45 CFR 164.514(b)(2)(i)",
    "digest ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    "R-output-12, E-7, I-3, V-1234567, 2026-031",
    "000-12-3456, 666-12-3456, 900-12-3456, 123-00-4567 and 123-45-0000 were never given out",
    "Steps 1-22-3333 and 1234-56-7890",
    "admission to ward 4 at 07:30, admission no. 3 of the day",
    "case 2026-0310 and case record 44712290",
    "",
    "No number at all.",
]

NAMES = [
    ("evidence/MRN_44712290-wound.jpg", ids.RECORD_NUMBER),
    ("evidence/dob-1961-04-02.jpg", ids.BIRTH_DATE),
    ("evidence/patient_id_778812.txt", ids.RECORD_NUMBER),
    ("evidence/078-05-1120.pdf", ids.SOCIAL_SECURITY),
    ("evidence/someone@example.org.txt", ids.MAIL),
]
ORDINARY_NAMES = [
    "evidence/IMG_20260309_151240.jpg",
    "evidence/DSC04471.JPG",
    "evidence/PXL_20260309_211240123.MP.jpg",
    "evidence/serial-118-20-3301.jpg",
    "evidence/lot_612-555-0142.jpg",
    "evidence/Screenshot 2026-03-09 at 15.12.40.png",
    "evidence/WhatsApp Image 2026-03-09 at 15.12.40.jpeg",
    "evidence/certificates/m-1.txt",
    "evidence/2026-03-09 15-12-40.csv",
    "evidence/log_20260309151240.csv",
]


@pytest.mark.parametrize(("text", "kind"), SEEN)
def test_identifiers_are_seen_and_named_by_their_kind(text: str, kind: str) -> None:
    assert identifiers(text) == (kind,)
    assert kind in identifiers(f"Before it, words. {text} And words after it.")


@given(st.sampled_from(SEEN), st.lists(st.integers(0, 40), max_size=10))
def test_whatever_is_left_out_of_one_it_is_seen_as_by_asking_every_pattern(
    seen: tuple[str, str], out: list[int]
) -> None:
    text = "".join(letter for place, letter in enumerate(seen[0]) if place not in out)
    asked = [kind for kind, _, see in ids._KINDS if see(text)]
    assert identifiers(text) == tuple(dict.fromkeys(asked))


@pytest.mark.parametrize("text", ORDINARY)
def test_ordinary_sentences_do_not_trip(text: str) -> None:
    assert identifiers(text) == ()


@pytest.mark.parametrize(("path", "kind"), NAMES)
def test_identifiers_in_names_of_files_are_seen(path: str, kind: str) -> None:
    assert kind in in_name(path)


@pytest.mark.parametrize("path", ORDINARY_NAMES)
def test_ordinary_names_of_files_do_not_trip(path: str) -> None:
    assert in_name(path) == ()


def test_the_demonstration_holds_none_in_any_line() -> None:
    """Every line of every text of the demonstration cases and of the packaged limits: serials, lots, times, sources."""
    files = [
        path
        for base in (ROOT / "cases", ROOT / "plugin" / "asfound" / "limits")
        for path in base.rglob("*")
        if path.suffix in {".yml", ".csv", ".txt"}
    ]
    lines = [line for path in files for line in path.read_text(encoding="utf-8").splitlines()]
    assert len(lines) > 3000
    assert [line for line in lines if identifiers(line)] == []


@pytest.mark.parametrize(
    "text", ["+1" * 20000, "1-" * 20000, "a@" * 20000, "1 " * 20000, "tel " + "1(" * 20000, "a." * 20000]
)
def test_no_text_takes_long(text: str) -> None:
    start = time.perf_counter()
    identifiers(text)
    assert time.perf_counter() - start < 2
