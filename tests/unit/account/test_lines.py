"""What a single line of a log says, and what two lines in a row do (our own reading; common practice, no source)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.account import ClashKind, HoleKind, Keeping, Tie, account_of, accounted, accounts, broken_custody, sealed
from asfound.model.things import CustodyKind
from tests.rules.support import Edit

from .test_account import line, moment
from .test_independence import found
from .test_states import case

TOLD = CustodyKind.BEFORE_CUSTODY


@pytest.mark.parametrize("text", ["", " ", "-", "none", "No seal", " unsealed", "NOT SEALED", "opened "])
def test_words_for_no_seal_are_none(text: str) -> None:
    assert sealed(text) == ""


def test_the_number_of_a_seal_is_what_stands_there() -> None:
    assert sealed(" 2001 ") == "2001" and sealed("none broken") == "none broken"


@pytest.mark.parametrize("lacks", ["received_at", "received_by", "signed_in", "from_place"])
def test_the_time_before_custody_is_accounted_for_by_who_when_where_and_a_signature(lacks: str) -> None:
    whole = line(1, None, 60, kind=TOLD)
    without = replace(whole, **{lacks: None if lacks == "received_at" else ""})
    assert accounted(whole) and not accounted(without)
    assert [one.kind for one in account_of("I-1", [whole]).holes] == [HoleKind.BEFORE_TOLD]
    assert [one.kind for one in account_of("I-1", [without]).holes] == [HoleKind.BEFORE_UNTOLD]


def test_a_while_between_the_two_ends_of_a_line_needs_a_seal() -> None:
    first = line(1, 0, 0, taker="a", kind=CustodyKind.COLLECTED, seals=("", "7"))
    assert [one.kind for one in account_of("I-1", [first, line(2, 5, 9, "a", "b")]).holes] == [HoleKind.UNSEALED]
    assert account_of("I-1", [first, line(2, 5, 9, "a", "b", seals=("7", "7"))]).holes == ()
    assert account_of("I-1", [first, line(2, 5, 5, "a", "b")]).holes == ()


def test_nobody_who_let_it_go_twice_is_nobody() -> None:
    """Two lines without a giver are two lines that lack one, and not one holder who gave it to two."""
    twice = account_of("I-1", [line(1, 0, 0, "a", "b"), line(2, 5, 5, "a", "c")])
    assert [one.kind for one in twice.clashes] == [ClashKind.RELEASED_TWICE]
    assert account_of("I-1", [line(1, 0, 0, "", "b"), line(2, 5, 5, "", "c")]).clashes == ()
    # Giving it to oneself, as into one's own store of another room, is letting it go once more.
    assert account_of("I-1", [line(1, 0, 0, "a", "a"), line(2, 5, 5, "a", "b")]).clashes == ()


def test_the_seal_before_a_line_is_the_one_the_line_before_put_on() -> None:
    lines = [line(1, 0, 0, taker="a", seals=("", "7")), line(2, 5, 5, "a", "b", seals=("8", "none")),
             line(3, 9, 9, "b", "c", seals=("9", ""))]  # fmt: skip
    account = account_of("I-1", lines)
    assert [account.seal_before(one) for one in lines] == ["", "7", "9"]
    assert [(one.put_on, one.found) for one in account.seals] == [("7", "8"), ("", "9")]
    assert account.receipt("b") is lines[1] and account.receipt("") is None and account.receipt(None) is None


def test_who_has_an_account_and_from_when(tmp_path: Path) -> None:
    """A thing in use is accounted for from the event on, one to compare with from its first line; and one that was
    impounded has an account though no line speaks of it."""
    read = case(tmp_path / "whole")
    known = accounts(read)
    assert set(known) == {"I-1", "I-2", "I-3", "I-4"}
    before = known["I-1"].stretches[0]
    assert (before.keeping, before.start.at) == (Keeping.BEFORE_LOG, read.head.event.told_at.at)
    assert known["I-4"].stretches[0].start.text == "2026-03-02 11:50 -06:00"
    impounded: Edit = ("items.yml", "  impounded: no\n", "  impounded: yes\n")
    bare = accounts(case(tmp_path / "bare", impounded))["I-5"]
    assert (bare.lines, bare.stretches) == ((), ())
    assert not broken_custody(read)


def test_a_moment_between_two_lines_lies_with_the_holder() -> None:
    account = account_of("I-1", [line(1, 0, 0, taker="a"), line(2, 60, 60, "a", "b")])
    for minutes, holder in ((-1, None), (0, "a"), (59, "a"), (60, "b"), (999, "b")):
        stretch = account.at(moment(minutes))
        assert (stretch.holder if stretch else None) == holder
    assert [one.holder for one in account.during(moment(10), moment(60))] == ["a"]
    assert [one.holder for one in account.during(moment(10), moment(61))] == ["a", "b"]
    assert [one.holder for one in account.during(moment(60), moment(60))] == ["b"]
    assert dt.timedelta(seconds=account.stretches[0].seconds or 0) == dt.timedelta(hours=1)


# --- ties that a case shows by itself


@pytest.mark.parametrize(
    ("edits", "tie"),
    [
        (
            [("items.yml", "  serial: \"118\"\n  software: \"3.2\"\n  owner: the hospital",
              "  serial: \"118\"\n  software: \"3.2\"\n  owner: the Examiner")],
            Tie("bought", ("I-1", "owner"), False, "owns I-1"),
        ),
        (
            [("items.yml", "by: the hospital's maintenance technician", "by: the examiner")],
            Tie("maintained", ("I-1", "last_maintenance", "by"), False, "did the last maintenance of I-1"),
        ),
        (
            [("statements.yml", "  by: ward-nurse\n", "  by: examiner\n")],
            Tie("used", ("W-1", "by"), False, "gave a statement as a witness of the event"),
        ),
        # By the words of the role's title, not its key alone.
        (
            [("items.yml", "by: the hospital's maintenance technician", "by: the bench engineer"),
             ("case.yml", "    title: examiner\n", "    title: bench engineer\n")],
            Tie("maintained", ("I-1", "last_maintenance", "by"), False, "did the last maintenance of I-1"),
        ),
    ],
)  # fmt: skip
def test_a_tie_nobody_declared_is_found_in_the_records(tmp_path: Path, edits: list[Edit], tie: Tie) -> None:
    read = found(tmp_path, *edits)
    assert read.ties == (tie,) and read.marks == ("not independent",)


@pytest.mark.parametrize(
    ("declared", "edit"),
    [
        ("bought", ("items.yml", '"3.2"\n  owner: the hospital', '"3.2"\n  owner: examiner')),
        ("maintained", ("items.yml", "by: the hospital's maintenance technician", "by: examiner")),
        ("used", ("statements.yml", "  by: ward-nurse\n", "  by: examiner\n")),
    ],
)  # fmt: skip
def test_a_tie_that_was_declared_is_not_found_once_more(tmp_path: Path, declared: str, edit: Edit) -> None:
    read = found(tmp_path, edit, ("case.yml", f"  {declared}: no\n", f"  {declared}: yes\n"))
    assert [(one.question, one.declared) for one in read.ties] == [(declared, True)]


def test_a_thing_that_was_not_in_use_ties_nobody(tmp_path: Path) -> None:
    other: Edit = ("items.yml", '  lot: "L-55"\n  owner: the hospital\n  collected_by: risk-manager\n'
                   "  collected_at: 2026-03-02 11:50", '  lot: "L-55"\n  owner: examiner\n'
                   "  collected_by: risk-manager\n  collected_at: 2026-03-02 11:50")  # fmt: skip
    assert found(tmp_path, other).ties == ()
