"""What a single line of a log says, and what two lines in a row do (our own reading; common practice, no source)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.account import ClashKind, HoleKind, Keeping, Tie, account_of, accounted, accounts, broken_custody, sealed
from asfound.model.things import CustodyKind, CustodyLine
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


# --- how a thing was kept, stretch by stretch

GIVEN = [line(1, 0, 0, taker="a", kind=CustodyKind.COLLECTED, places=("ward", "office"), seals=("", "7"))]


def stretches(*more: CustodyLine, event: int | None = None) -> list[tuple[Keeping, str, str, str, str]]:
    found = account_of("I-1", [*GIVEN, *more], None if event is None else moment(event))
    return [(one.keeping, one.holder, one.place, one.seal, one.why) for one in found.stretches]


def test_a_thing_in_the_store_is_stored_and_on_its_way_under_a_seal_on_its_way() -> None:
    stored = line(2, 10, 10, "a", "store", kind=CustodyKind.STORED, places=("office", "store"), seals=("7", "8"))
    out = line(3, 20, 30, "store", "b", places=("store", "bench"), seals=("8", ""))
    assert stretches(stored, out) == [
        (Keeping.HELD, "a", "office", "7", ""),
        (Keeping.STORED, "store", "store", "8", ""),
        (Keeping.ON_THE_WAY, "store", "store", "8", ""),
        (Keeping.HELD, "b", "bench", "", ""),
    ]
    bare = replace(out, seal_before="")
    assert stretches(stored, bare)[2] == (
        Keeping.GAP, "store", "store", "", "between release and receipt nobody had it, and it bore no seal"
    )  # fmt: skip
    assert stretches(stored)[-1] == (Keeping.STORED, "store", "store", "8", "")


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (line(2, 10, 10, "x", "b", places=("office", "bench"), seals=("7", "")), HoleKind.HOLDER),
        (line(2, 10, 10, "a", "b", places=("canteen", "bench"), seals=("7", "")), HoleKind.PLACE),
        (line(2, 10, 10, "a", "b", kind=CustodyKind.COLLECTED, places=("office", "bench")), HoleKind.COLLECTED_AGAIN),
    ],
)  # fmt: skip
def test_where_the_log_does_not_lead_on_nobody_had_it(more: CustodyLine, why: HoleKind) -> None:
    account = account_of("I-1", [*GIVEN, more])
    assert [(one.keeping, one.why) for one in account.stretches] == [(Keeping.GAP, str(why)), (Keeping.HELD, "")]
    assert [one.kind for one in account.holes] == [why]
    assert [one.start.at for one in account.gaps] == [moment(0).at]


def test_two_who_were_given_it_by_one_are_no_gap_of_either() -> None:
    twice = line(3, 20, 20, "a", "c", places=("bench", "cellar"))
    once = line(2, 10, 10, "a", "b", places=("office", "bench"), seals=("7", ""))
    assert [one[0] for one in stretches(once, twice)] == [Keeping.HELD] * 3
    assert account_of("I-1", [*GIVEN, once, twice]).holes == ()


def test_the_time_before_custody_is_told_from_the_event_and_from_the_last_holder() -> None:
    """Told without a start it reaches back to where the log had the thing; with one, to that."""
    lost = line(2, None, 60, "", "b", kind=TOLD, places=("corridor", "desk"), signed="b")
    lost = replace(lost, note="It stood in the corridor.", purpose="found")
    told = (Keeping.BEFORE_CUSTODY, "a", "corridor", "", "It stood in the corridor.")
    assert stretches(lost)[0] == told
    assert stretches(replace(lost, note=""))[0][-1] == "found"
    begun = stretches(replace(lost, released_at=moment(20), released_by="porter"))
    assert begun[:2] == [(Keeping.HELD, "a", "office", "7", ""),
                         (Keeping.BEFORE_CUSTODY, "porter", "corridor", "", "It stood in the corridor.")]  # fmt: skip
    unsigned = replace(lost, signed_in="")
    gap = (Keeping.GAP, "a", "office", "7", "the time before it was found is not accounted for")
    assert stretches(unsigned)[0] == gap
    at_first = account_of("I-1", [lost], moment(-30)).stretches[0]
    assert (at_first.keeping, at_first.place, at_first.why) == (told[0], "corridor", told[4])
    log = account_of("I-1", GIVEN, moment(-30)).stretches[0]
    assert (log.keeping, log.holder, log.place, log.why) == (Keeping.BEFORE_LOG, "", "ward", "")
    assert account_of("I-1", [unsigned], moment(-30)).stretches[0].keeping is Keeping.BEFORE_LOG


def test_a_hand_over_nobody_timed_leaves_a_gap_and_who_had_it_last() -> None:
    untimed = line(2, None, None, "a", "b", places=("office", "bench"), seals=("7", "9"))
    why = "at what time it passed on is not on record"
    assert stretches(untimed) == [(Keeping.GAP, "b", "bench", "9", why)]
    assert stretches(replace(untimed, received_by="", to_place=""))[0][1:3] == ("a", "office")
    then = line(3, 20, 20, "b", "c", places=("bench", "bench"), seals=("9", ""))
    assert stretches(untimed, then) == [(Keeping.GAP, "b", "bench", "9", why), (Keeping.HELD, "c", "bench", "", "")]


def test_whom_a_found_thing_was_collected_from_need_not_be_named_again() -> None:
    lost = line(2, None, 60, "", "b", kind=TOLD, places=("corridor", "desk"), signed="b")
    for giver, kinds in (("", []), ("b", []), ("x", [HoleKind.HOLDER])):
        collected = line(3, 70, 70, giver, "c", kind=CustodyKind.COLLECTED, places=("desk", "bench"))
        holes = account_of("I-1", [*GIVEN, lost, collected]).holes
        assert [one.kind for one in holes if one.line is collected] == kinds, giver


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
