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
