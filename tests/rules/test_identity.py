"""Rules about what a thing is, how it is kept and what becomes of it."""

from __future__ import annotations

import sys

import pytest
from biip.checksums import gs1_standard_check_digit

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

GOOD = "(01)07032069804988(17)270831(10)L-9(21)118"


def udi(text: str) -> Edit:
    return ("items.yml", '  serial: "118"\n', f'  serial: "118"\n  udi: "{text}"\n')


# --- the check digit, against the outside


def check_digit(digits: str) -> str:
    """The standard's own recipe: from the right, weights 3 and 1 in turn, up to the next ten."""
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(digits)))
    return str(-total % 10)


@pytest.mark.parametrize(
    "number",
    [
        "6291041500213",  # GS1's worked example of a check digit for a GTIN-13 (from memory)
        "00012345600012",  # a GTIN-14 of the examples in the GS1 General Specifications (from memory)
        "09506000134352",  # the GTIN of GS1's examples of element strings (from memory)
        "07032069804988",
    ],
)
def test_published_numbers_have_the_check_digit_the_standard_gives(number: str) -> None:
    assert check_digit(number[:-1]) == number[-1]
    assert gs1_standard_check_digit(number[:-1]) == int(number[-1])


@pytest.mark.parametrize("number", ["00012345600012", "09506000134352", "06291041500213"])
def test_every_wrong_last_digit_of_a_published_number_is_seen(number: str) -> None:
    right = int(number[-1])
    assert_silent("udi-unreadable", [udi(f"(01){number}")])
    wrong = (right + 1) % 10
    assert_fires(
        "udi-unreadable",
        [udi(f"(01){number[:-1]}{wrong}")],
        at=("items.yml", "udi:"),
        level=Level.WARN,
        says=f"Expected {right}, got {wrong}",
    )


# --- unreadable


@pytest.mark.parametrize("text", ["scratched", "(01)0703206980498", "(10)L-9(21)118", "(99"])
def test_a_code_that_is_no_element_string_warns(text: str) -> None:
    assert_fires("udi-unreadable", [udi(text)], at=("items.yml", "udi:"), level=Level.WARN, says="the code of I-1")


@pytest.mark.parametrize(
    "text",
    [GOOD, "010703206980498817270831" + "10L-9<GS>21118", "]d2010703206980498821118"],
)
def test_codes_with_brackets_and_as_a_scanner_gives_them_are_read(text: str) -> None:
    assert_silent("udi-unreadable", [udi(text)])
    assert_silent("udi-disagrees", [udi(text)])


@pytest.mark.parametrize("text", ["+A123BJC5D6E71G", "=+1234567890123"])
def test_a_code_of_another_kind_is_said_to_be_unchecked(text: str) -> None:
    assert_fires("udi-unreadable", [udi(text)], at=("items.yml", "udi:"), level=Level.NOTE, says="was not checked")
    assert_silent("udi-disagrees", [udi(text)])


def test_without_the_library_it_is_said_that_nothing_was_checked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "biip", None)
    monkeypatch.setitem(sys.modules, "biip.gs1_messages", None)
    wrong = udi("(01)07032069804989(21)999")
    assert_fires("udi-unreadable", [wrong], at=("items.yml", "udi:"), level=Level.NOTE, says="is not installed")
    assert_silent("udi-disagrees", [wrong])


def test_a_reason_instead_of_a_code_is_an_answer() -> None:
    edit = ("items.yml", '  serial: "118"\n', '  serial: "118"\n  udi: {not_recorded: the label carries none}\n')
    assert_silent("udi-unreadable", [edit])


# --- disagreement


def test_another_serial_on_the_label_is_refused() -> None:
    assert_fires(
        "udi-disagrees",
        [udi("(01)07032069804988(21)181")],
        at=("items.yml", "udi:"),
        says="the code of I-1 says serial 181, typed is serial 118",
    )


def test_serial_lot_expiry_and_number_are_all_compared() -> None:
    edits = [
        (
            "items.yml",
            '  lot: "L-55"\n  packaging_kept: no\n',
            '  lot: "L-55"\n  packaging_kept: no\n  expiry: 2027-07\n  gtin: "09506000134352"\n'
            '  udi: "(01)07032069804988(17)270831(10)L56"\n',
        )
    ]
    assert_fires(
        "udi-disagrees",
        edits,
        at=("items.yml", "udi:"),
        says="says lot L56, expiry 2027-08-31 and number 07032069804988, typed is lot L-55, expiry 2027-07 and number",
    )


def test_hyphens_spaces_months_and_words_are_no_disagreement() -> None:
    edits = [
        (
            "items.yml",
            '  lot: "L-55"\n  packaging_kept: no\n',
            '  lot: "L-55"\n  packaging_kept: no\n  expiry: 2027-08\n  gtin: "7032069804988"\n'
            '  udi: "(01)07032069804988(17)270831(10)l55"\n',
        )
    ]
    assert_silent("udi-disagrees", edits)


def test_an_expiry_without_a_day_is_the_whole_month() -> None:
    """In an element string the day 00 means the last of the month (GS1 General Specifications, from memory)."""
    entry = '  lot: "L-55"\n  packaging_kept: no\n'
    code = '  udi: "(01)07032069804988(17)270200"\n'
    assert_silent("udi-disagrees", [("items.yml", entry, f"{entry}  expiry: 2027-02-28\n{code}")])
    assert_fires(
        "udi-disagrees",
        [("items.yml", entry, f"{entry}  expiry: 2027-03\n{code}")],
        at=("items.yml", "udi:"),
        says="expiry 2027-02-28",
    )


# --- stores


def test_a_store_that_nobody_described_warns() -> None:
    edit = ("case.yml", 'place: "examiner\'s store"', "place: another store")
    assert_fires(
        "storage-unrecorded",
        [edit],
        at=("custody.csv", "7,I-1 I-2 I-3 I-4"),
        level=Level.WARN,
        says='of the store "examiner\'s store" nothing says how it is kept',
    )


def test_a_store_without_access_and_charging_lists_both() -> None:
    edit = ("case.yml", "access: [risk-manager], charging: the pump", "note: dark")
    assert_fires(
        "storage-unrecorded",
        [edit],
        at=("custody.csv", "3,I-4,stored"),
        level=Level.WARN,
        says="nothing says who can open it and what is kept on charge",
    )


def test_a_reason_for_the_missing_temperature_is_an_answer() -> None:
    edit = ("case.yml", "temperature: 18 °C to 24 °C", "temperature: {not_recorded: no thermometer}")
    assert_silent("storage-unrecorded", [edit])


# --- the end


def ended(what: str, releases: str = "", more: str = "") -> Edit:
    return (
        "items.yml",
        "  description: Detachable cord of 2.5 m\n",
        "  description: Detachable cord of 2.5 m\n"
        f"{more}  disposition:\n    what: {what}\n    at: 2026-03-18 10:00 -05:00\n    by: examiner\n{releases}",
    )


ALL = "    releases:\n      owner: [E-4]\n      maker of the pump: [N-1]\n      injured side: [N-2]\n"


def test_a_thing_destroyed_without_a_release_is_refused() -> None:
    assert_fires(
        "disposition-without-releases",
        [ended("destroyed", "    releases:\n      owner: [E-4]\n")],
        at=("items.yml", "disposition:"),
        says="I-2 was destroyed without the release of the maker of the pump and the injured side",
    )


@pytest.mark.parametrize(("what", "releases"), [("returned", ALL), ("destroyed", ALL), ("kept", "")])
def test_a_thing_released_by_all_or_kept_passes(what: str, releases: str) -> None:
    assert_silent("disposition-without-releases", [ended(what, releases)])


def test_a_thing_that_was_to_be_kept_longer_is_refused() -> None:
    assert_fires(
        "disposition-without-releases",
        [ended("returned", ALL, "  retain_until: 2028-03-02\n")],
        at=("items.yml", "    at: 2026-03-18"),
        says="was to be kept until 2028-03-02",
    )
    assert_silent("disposition-without-releases", [ended("returned", ALL, "  retain_until: 2026-03-18\n")])


def test_a_thing_under_hold_stays() -> None:
    hold = ("case.yml", "storage:\n", "held: {since: 2026-03-05 12:00 -06:00, why: burnt, items: [I-2]}\nstorage:\n")
    assert_fires(
        "disposition-without-releases",
        [ended("returned", ALL), hold],
        at=("items.yml", "what: returned"),
        says="while it was held",
    )
