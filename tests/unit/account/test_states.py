"""In which state a thing was, as its log and the steps have it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from asfound.account import State, account_of, accounts, standing, state_at
from asfound.assess import assess_case
from asfound.model.base import Moment
from asfound.model.case import Case
from tests.rules.support import BASE, CASE, Copy, Edit

STEP = (
    "steps:\n  B-1: {items: [I-1], what: opened, tier: changes, at: 2026-03-06 13:00 -06:00, by: examiner, "
    "why: To look.}\n"
    "  B-2: {items: [I-1], what: wiped, tier: reversible, at: 2026-03-05 09:30 -06:00, by: examiner, why: To see.}\n"
)
LAST_GATE = "  G-13: {gate: rechecked, at: 2026-03-10 10:00 -05:00, by: reviewer}\n"


def case(tmp_path: Path, *edits: Edit) -> Case:
    copy = Copy(tmp_path, edits)
    found = assess_case(copy.root, copy.root / CASE, dt.date(2026, 3, 20)).dossier
    assert BASE.is_dir() and found is not None
    return found.core.case


def at(text: str) -> Moment:
    return Moment.read(f"2026-03-{text} -06:00")


def test_a_thing_goes_from_the_scene_through_custody_to_the_bench_and_is_altered_there(tmp_path: Path) -> None:
    read = case(tmp_path, ("gates.yml", LAST_GATE, LAST_GATE + STEP))
    of = standing(read, accounts(read)["I-1"])
    assert (of.subject, of.in_use, of.impounded, of.altered_by) == (True, True, True, "B-1")
    states = [
        state_at(of, at(text)) for text in ("02 11:59", "02 12:00", "05 08:59", "05 09:00", "06 12:59", "06 13:00")
    ]
    assert states == [
        State.AT_SCENE, State.IN_CUSTODY, State.IN_CUSTODY, State.AS_RECEIVED, State.AS_RECEIVED, State.ALTERED,
    ]  # fmt: skip


def test_an_exemplar_is_no_subject_and_the_scene_does_not_speak_of_it(tmp_path: Path) -> None:
    read = case(tmp_path)
    of = standing(read, accounts(read)["I-4"])
    assert (of.subject, of.in_use, of.moved_at and of.moved_at.text) == (False, False, "2026-03-02 11:50 -06:00")


def test_a_thing_left_in_use_was_never_received(tmp_path: Path) -> None:
    read = case(tmp_path)
    of = standing(read, account_of("I-5", ()))
    assert (of.in_use, of.impounded, of.received_at, of.altered_at) == (True, False, None, None)
    assert state_at(of, at("02 11:00")) is State.AT_SCENE


def test_the_first_step_that_altered_this_thing_counts_and_no_other(tmp_path: Path) -> None:
    steps = (
        "steps:\n  B-1: {items: [I-1], what: open, tier: changes, at: 2026-03-06 13:00 -06:00, by: examiner, why: A.}\n"
        "  B-2: {items: [I-3], what: cut, tier: destroys, at: 2026-03-05 09:30 -06:00, by: examiner, why: B.}\n"
        "  B-3: {items: [I-1], what: cut, tier: destroys, at: 2026-03-06 12:30 -06:00, by: examiner, why: C.}\n"
    )
    read = case(tmp_path, ("gates.yml", LAST_GATE, LAST_GATE + steps))
    pump, tube, cord = (standing(read, accounts(read)[ref]) for ref in ("I-1", "I-3", "I-2"))
    assert (pump.altered_by, pump.altered_at and pump.altered_at.text) == ("B-3", "2026-03-06 12:30 -06:00")
    assert (tube.altered_by, cord.altered_by, cord.altered_at) == ("B-2", "", None)


def test_what_was_told_of_the_time_before_custody_moved_nothing(tmp_path: Path) -> None:
    """The log takes it at 12:05 and the scene says that it was moved at 12:00; of the exemplar the scene is silent."""
    found = "2,I-1 I-2 I-3,collected,2026-03-02 12:05 -06:00,2026-03-02 12:05 -06:00,,risk-manager,ward,risk office,"
    told = (
        "custody.csv",
        found,
        "2,I-1 I-2 I-3,before custody,,2026-03-02 11:30 -06:00,,risk-manager,ward,risk office,",
    )
    read = case(tmp_path, told)
    moved = {ref: standing(read, accounts(read)[ref]).moved_at for ref in ("I-1", "I-4")}
    assert [at.text if at else "" for at in moved.values()] == ["2026-03-02 12:00 -06:00", "2026-03-02 11:50 -06:00"]
