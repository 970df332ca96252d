"""Rules about what is read or seen instead of measured, and about an accuracy that is nought, on the base case."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent
from tests.rules.test_bench import APART, REGISTER


def read_from(test: str, word: str) -> Edit:
    """A test of the protocol that is read or seen, and not measured."""
    line = {"pump-flow": "    purpose: To see what is delivered", "pump-earth": "    purpose: To see whether the earth"}
    return (".asfound/protocols/base-pump.yml", line[test], f"    read_from: {word}\n{line[test]}")


@pytest.mark.parametrize("word", ["mark", "record", "thing"])
def test_what_one_person_saw_is_seen_by_a_second_reader(word: str) -> None:
    """A second instrument has no part in what is read or seen: another person has, on the sheet or on one of their own.

    Common practice, no source.
    """
    seen = read_from("pump-flow", word)
    sheet = ("sheets.yml", "  from: 2026-03-05 14:30 -06:00", "  second_reader: {}\n  from: 2026-03-05 14:30 -06:00")
    assert_silent("surprise-not-repeated", [seen])
    apart: list[Edit] = [("sheets.yml", "  repeats_of: S-flow\n", ""), seen, *APART]

    def named(role: str) -> Edit:
        return (sheet[0], sheet[1], sheet[2].format(role))

    at = ("readings/flow.csv", "4,100")
    found = assert_fires(
        "surprise-not-repeated", apart, at=at, level=Level.WARN,
        says="R-flow-4, R-flow-5 and R-flow-6, outside the limit, and one person alone looked",
    )  # fmt: skip
    assert "a second reader" in found.needed and "second_reader" in found.mend
    assert_silent("surprise-not-repeated", [*apart, named("reviewer")])
    # Who took it is no second one.
    assert_fires(
        "surprise-not-repeated", [*apart, named("examiner")], at=at, level=Level.WARN,
        says="its second_reader is who took it (examiner)",
    )  # fmt: skip

    # Another sheet with the same instrument is one person's second look, and another's only if another took it.
    def again(role: str) -> Edit:
        text = "  instrument: {}\n  function: flow\n  by: {}\n"
        return ("sheets.yml", text.format("M-3", "examiner"), text.format("M-2", role))

    assert_fires(
        "surprise-not-repeated", [seen, again("examiner"), *APART], at=at, level=Level.WARN,
        says="one person alone looked",
    )  # fmt: skip
    assert_silent("surprise-not-repeated", [seen, again("reviewer")])


def test_a_second_reader_of_what_was_measured_is_no_second_instrument() -> None:
    edits: list[Edit] = [
        ("sheets.yml", "  repeats_of: S-flow\n", ""), *APART,
        ("sheets.yml", "  from: 2026-03-05 14:30 -06:00", "  second_reader: reviewer\n  from: 2026-03-05 14:30 -06:00"),
    ]  # fmt: skip
    assert_fires("surprise-not-repeated", edits, at=("readings/flow.csv", "4,100"), level=Level.WARN)


STATED = 'accuracy: {percent: "2", plus: 4 mohm, digits: "0"}'
EXACT: Edit = (REGISTER, "resolution: 1 mohm", "resolution: 0 mohm")


@pytest.mark.parametrize(
    ("rule", "written", "says"),
    [
        ("accuracy-not-stated", "accuracy: {}", "M-1 states no accuracy for the range 0 mohm to 2000 mohm"),
        ("accuracy-of-nought", "accuracy: {plus: 0 mohm}", "M-1 states an accuracy of nought for the range 0 mohm"),
        ("accuracy-of-nought", 'accuracy: {percent: "0"}', "M-1 states an accuracy of nought"),
    ],
)
def test_a_range_without_an_accuracy_or_with_one_of_nought(rule: str, written: str, says: str) -> None:
    """A doubt of nought is none; the last digit alone is noted, and a certificate's doubt is enough."""
    none: Edit = (REGISTER, STATED, written)
    at = (REGISTER, written)
    found = assert_fires(rule, [none, EXACT], at=at, says=says)
    assert "its readings have a doubt of 0" in found.found
    assert_fires(rule, [none], at=at, level=Level.NOTE, says="the doubt of their last digit alone")
    assert_silent(rule, [EXACT])
    quantity = "quantity: resistance\n"
    certified: Edit = (REGISTER, quantity, f"{quantity}      certificate_doubt: 3 mohm\n")
    assert_silent(rule, [none, EXACT, certified])
    idle: Edit = (REGISTER, quantity, f"{quantity}      certificate_doubt: 0 mohm\n")
    assert_fires(rule, [none, EXACT, idle], at=at)
    # One of the two speaks, never both.
    (other,) = {"accuracy-not-stated", "accuracy-of-nought"} - {rule}
    assert_silent(other, [none, EXACT])


def test_accuracy_of_nought() -> None:
    """A share beside a nought is the accuracy; a mark asks nothing of a register, a record's last digit is known."""
    share: Edit = (REGISTER, STATED, 'accuracy: {percent: "2", plus: 0 mohm, digits: "0"}')
    for rule in ("accuracy-of-nought", "accuracy-not-stated"):
        assert_silent(rule, [share, EXACT])
    nought: Edit = (REGISTER, STATED, "accuracy: {plus: 0 mohm}")
    of_mark, of_record, of_thing = (read_from("pump-earth", word) for word in ("mark", "record", "thing"))
    assert_silent("accuracy-of-nought", [nought, EXACT, of_mark])
    assert_silent("accuracy-of-nought", [nought, of_record])
    assert_silent("accuracy-of-nought", [nought, of_thing])
    # A last digit of nought is no digit, in a record too.
    at = (REGISTER, "accuracy: {plus: 0 mohm}")
    assert_fires("accuracy-of-nought", [nought, EXACT, of_record], at=at, says="a doubt of 0")


def test_accuracy_not_stated() -> None:
    """Of two ranges the one without a last digit is told; a range nobody read with is not asked."""
    line = f"          resolution: 1 mohm\n          {STATED}\n"
    wide = "        - {from: 0 mohm, to: 9 ohm, resolution: 0 mohm, accuracy: {}}\n"
    two: Edit = (REGISTER, line, f"          resolution: 1 mohm\n          accuracy: {{}}\n{wide}")
    assert_fires("accuracy-not-stated", [two], at=(REGISTER, wide.strip()), says="for the range 0 mohm to 9 ohm")
    unused: Edit = (
        REGISTER, "    earth resistance:\n",
        f"    spare:\n      quantity: resistance\n      ranges:\n{wide}    earth resistance:\n",
    )  # fmt: skip
    assert_silent("accuracy-not-stated", [unused])
