"""Readings that were changed or taken out, told by real commits. ISO/IEC 17025:2017, 7.5.2 (from memory)."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from asfound.problems import Level, Problem
from tests.rules.support import CASE, Copy, Edit, Prepare, assert_fires, assert_silent, run_with
from tests.support.editions import chain, write
from tests.support.repository import Repo

FLOW = "readings/flow.csv"


def then(*steps: Sequence[Edit], uncommitted: bool = False) -> Prepare:
    """Commit the case, then each step of edits as a commit of its own; the last one may stay uncommitted."""

    def prepare(copy: Copy) -> None:
        repo = Repo(copy.root)
        repo.git("add", ".asfound", CASE)
        repo.git("commit", "-q", "-m", "The case")
        for number, edits in enumerate(steps, 1):
            for name, old, new in edits:
                path = copy.path(name)
                text = path.read_bytes().decode()
                assert text.count(old) == 1, f"{name}: {old!r} stands {text.count(old)} times"
                path.write_bytes(text.replace(old, new).encode())
            if uncommitted and number == len(steps):
                return
            repo.tick()
            repo.git("add", CASE)
            repo.git("commit", "-q", "-m", f"Step {number}")

    return prepare


CHANGED: Edit = (FLOW, "4,100,111.9,2026-03-05 15:30 -06:00", "4,100,101.9,2026-03-05 15:30 -06:00")
NOTE = "struck 111.9, 2026-03-05 15:31 -06:00, examiner: read off wrong"


def noted(note: str) -> list[Edit]:
    """The change, with a note on its row."""
    table = [(FLOW, "value [mL/h],at\n", "value [mL/h],at,note\n")]
    table += [(FLOW, f"{row},2026-03-05 {at} -06:00\n", f"{row},2026-03-05 {at} -06:00,\n") for row, at in KEPT]
    return [*table, (FLOW, CHANGED[1], f'{CHANGED[2]},"{note}"')]


KEPT = [
    ("1,50,50.4", "14:40"), ("2,50,50.6", "14:55"), ("3,50,50.5", "15:10"), ("5,100,112.3", "15:50"),
    ("6,100,112.0", "16:10"),
]  # fmt: skip


def asked(prepare: Prepare, edits: Sequence[Edit] = ()) -> list[Problem]:
    """All that the rule says."""
    return [one for one in run_with(edits, prepare=prepare, history=True) if one.rule == "reading-changed"]


@pytest.mark.parametrize("uncommitted", [False, True])
def test_a_changed_value_asks_for_the_one_before(uncommitted: bool) -> None:
    found = assert_fires(
        "reading-changed",
        at=(FLOW, "4,100,"),
        says='R-flow-4 was "111.9" until it was changed',
        prepare=then([CHANGED], uncommitted=uncommitted),
        history=True,
    )
    assert ("since the last commit" in found.found) is uncommitted


def test_a_note_that_names_the_value_answers_it() -> None:
    assert_silent("reading-changed", prepare=then(noted(NOTE)), history=True)


@pytest.mark.parametrize("note", ["struck 1111.9: wrong", "struck 111.95: wrong", "corrected", "struck 11.9"])
def test_a_note_that_names_another_value_does_not(note: str) -> None:
    assert_fires("reading-changed", at=(FLOW, "4,100,"), prepare=then(noted(note)), history=True)


def test_each_value_that_stood_there_is_asked_for() -> None:
    again: Edit = (FLOW, "4,100,101.9", "4,100,99.9")
    twice = then([CHANGED], [again])
    found = asked(twice)
    assert {one.found.split('"')[1] for one in found} == {"111.9", "101.9"}
    assert {one.span.line for one in found} == {5}


def test_a_value_put_back_needs_no_word() -> None:
    assert_silent("reading-changed", prepare=then([CHANGED], [(FLOW, CHANGED[2], CHANGED[1])]), history=True)


def test_what_was_no_reading_is_no_loss() -> None:
    """An empty cell that is filled, and a text no number can be read from, such as one with a decimal comma."""
    empty: Edit = (FLOW, "4,100,111.9", "4,100,")
    comma: Edit = (FLOW, "4,100,111.9", '4,100,"111,9"')
    for first in (empty, comma):
        assert_silent("reading-changed", [first], prepare=then([(FLOW, first[2], first[1])]), history=True)


def test_a_row_struck_with_its_value_is_kept() -> None:
    """The way that is asked for: the value stands, void with its reason, and what holds is a row of its own."""
    struck = [
        (FLOW, "value [mL/h],at\n", "value [mL/h],at,void\n"),
        (FLOW, "4,100,111.9,2026-03-05 15:30 -06:00\n", "4,100,111.9,2026-03-05 15:30 -06:00,read off wrong\n"),
        *((FLOW, f"{row},2026-03-05 {at} -06:00\n", f"{row},2026-03-05 {at} -06:00,\n") for row, at in KEPT[:4]),
        (
            FLOW,
            "6,100,112.0,2026-03-05 16:10 -06:00\n",
            "6,100,112.0,2026-03-05 16:10 -06:00,\n7,100,112.1,2026-03-05 16:30 -06:00,\n",
        ),
    ]
    assert_silent("reading-changed", prepare=then(struck), history=True)


def test_rows_taken_out_are_asked_for_once_a_commit() -> None:
    last = "5,100,112.3,2026-03-05 15:50 -06:00\n6,100,112.0,2026-03-05 16:10 -06:00\n"
    found = assert_fires(
        "reading-changed",
        at=(FLOW, None),
        says="R-flow-5 and R-flow-6 were taken out of flow.csv in commit",
        prepare=then([(FLOW, last, "")]),
        history=True,
    )
    assert found.level is Level.REJECT and "rows as first written" in found.needed


def test_rows_numbered_anew_in_one_commit_are_no_loss() -> None:
    rows = "5,100,112.3,2026-03-05 15:50 -06:00\n6,100,112.0,2026-03-05 16:10 -06:00\n"
    assert_silent(
        "reading-changed",
        prepare=then([(FLOW, rows, rows.replace("5,100", "15,100").replace("6,100", "16,100"))]),
        history=True,
    )


def test_what_was_entered_later_and_what_no_history_tells_say_nothing() -> None:
    assert_silent("reading-changed", [CHANGED])
    later: Edit = ("case.yml", "stage: in review\n", "stage: in review\nentered_later: Worked on paper.\n")
    assert_silent("reading-changed", [later], prepare=then([CHANGED]), history=True)


def test_in_an_open_case_it_is_still_needed_and_not_refused() -> None:
    opened: Edit = ("case.yml", "stage: in review\n", "stage: open\n")
    found = asked(then([CHANGED]), [opened])
    assert [one.level for one in found] == [Level.NEEDED]


def test_another_unit_in_the_header_changes_every_reading_below_it() -> None:
    found = asked(then([(FLOW, "value [mL/h]", "value [mL/min]")]))
    assert [one.found.split(" until")[0] for one in found][:2] == [
        'R-flow-1 was "50.4 mL/h"',
        'R-flow-2 was "50.6 mL/h"',
    ]
    assert len(found) == 6
    there_and_back = then([(FLOW, "value [mL/h]", "value [mL/min]")], [(FLOW, "value [mL/min]", "value [mL/h]")])
    assert asked(there_and_back) == []


@pytest.mark.parametrize(
    ("reason", "asked_for"), [("R-flow-4 was typed wrongly", 0), ("R-flow-40 was", 1), ("typed", 1)]
)
def test_an_edition_that_gave_the_reason_has_said_it(reason: str, asked_for: int) -> None:
    """Of the change it was the first to hold, and of no later one."""

    def issued(copy: Copy) -> None:
        repo = Repo(copy.root)
        first = chain(1)
        write(copy.root / CASE, first)
        repo.commit("The case, edition 1")
        path = copy.path(FLOW)
        path.write_text(path.read_text("utf-8").replace(CHANGED[1], CHANGED[2]), "utf-8", newline="\n")
        repo.tick()
        repo.commit("A reading")
        write(copy.root / CASE, chain(2, reason=reason))
        repo.tick()
        repo.commit("Edition 2")

    def later(copy: Copy) -> None:
        issued(copy)
        path = copy.path(FLOW)
        path.write_text(path.read_text("utf-8").replace("4,100,101.9", "4,100,99.9"), "utf-8", newline="\n")

    assert len(asked(issued)) == asked_for
    assert {one.found.split('"')[1] for one in asked(later)} == {"101.9", *["111.9"] * asked_for}
