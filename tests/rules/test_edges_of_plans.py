"""The edges of rules about plans, settings, supplies and what a finding speaks of (common practice, no source)."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent
from tests.rules.test_reasoning import F1, F1_RESTS
from tests.rules.test_supply import READ, VOLTS, sheet

NOT_AS_FOUND: list[Edit] = [
    ("sheets.yml", "reading: 100.1 mL/h, ok: yes}\n  as_found_settings: yes", "reading: 100.1 mL/h, ok: yes}"),
    ("sheets.yml", "repeats_of: S-flow\n  as_found_settings: yes", "repeats_of: S-flow"),
]
LAST_LIMIT = 'clause: "3"\n    kind: in-service limit\n    status: confirmed\n'
SPREAD = """  spread:
    title: Spread of repeats
    test: pump-flow
    quantity: volume flow
    result: repeatability
    sense: at most
    bound: {kind: fixed, value: BOUND}
    clause: "4"
    kind: in-service limit
    status: confirmed
"""
NOT_DONE: Edit = (
    "plan.yml", "why: The event is about the volume delivered.",
    "why: More.\n    not_done: the door key was never found",
)  # fmt: skip


# --- function at the settings as found


def test_a_reason_for_one_of_two_tests_of_function_is_none_for_the_other() -> None:
    again: Edit = ("plan.yml", "tests:\n", "tests:\n  pump-flow--again: {item: I-1, why: More.}\n")
    assert_fires("as-found-function-untested", [*NOT_AS_FOUND, NOT_DONE, again], at=("items.yml", "I-1:"))
    other: Edit = (again[0], again[1], again[2].replace("I-1", "I-4"))
    assert_fires(
        "as-found-function-untested", [*NOT_AS_FOUND, NOT_DONE, other], at=("items.yml", "I-1:"), level=Level.WARN
    )


def test_a_pump_that_could_not_be_had_is_told_with_the_reason() -> None:
    gone: Edit = (
        "items.yml", "  role: main device\n  in_use_at_event: yes\n  impounded: yes",
        "  role: main device\n  in_use_at_event: yes\n  impounded: no\n  why_not_impounded: the ward had sent it off",
    )  # fmt: skip
    assert_fires(
        "as-found-function-untested", [*NOT_AS_FOUND, gone], at=("items.yml", "I-1:"), level=Level.WARN,
        says="it was not impounded: the ward had sent it off",
    )  # fmt: skip


def test_what_was_fitted_beside_the_part_itself_is_no_swap() -> None:
    beside: Edit = (
        "sheets.yml", "accessories: [I-2, I-3]\n  instrument: M-3", "accessories: [I-2, I-3, I-4]\n  instrument: M-3"
    )  # fmt: skip
    assert_silent("swapped-part-not-returned", [beside])


# --- adverse readings


def test_a_finding_on_a_result_speaks_of_its_readings_where_the_result_is_adverse_too() -> None:
    """The readings at 100 mL/h fail, those at 50 pass; each three have a repeatability of their own."""
    told: Edit = (F1[0], F1[1], "as much as was read")
    behind = [told, ("findings.yml", F1_RESTS, "rests_on: [Y-flow-repeatability-2]")]
    at, says = ("readings/flow.csv", "4,100"), "R-flow-4, R-flow-5 and R-flow-6"
    # Nothing is asked of the repeatability: a finding on it says nothing of readings outside their own limit.
    assert_fires("adverse-reading-uncited", behind, at=at, says=says)

    def bound(value: str) -> Edit:
        return (".asfound/limits/base-limits.yml", LAST_LIMIT, LAST_LIMIT + SPREAD.replace("BOUND", value))

    assert_fires("adverse-reading-uncited", [*behind, bound("0.5 mL/h")], at=at, says=says)
    assert_silent("adverse-reading-uncited", [*behind, bound("0.1 mL/h")])


# --- supplies

AGAIN = ("findings.yml", "text: With a balance and a stopwatch")
ROOM: Edit = ("room.yml", "value: earthed, polarity correct", "value: whole")


def test_the_supply_of_another_thing_is_not_that_of_the_pump() -> None:
    """The pump's socket says nothing of the kind of supply, and the isolated one served the monitor."""
    monitor = "\nU-9:\n  kind: socket\n  items: [I-5]\n  what: Socket of the monitor\n  value: isolated supply\n" \
        "  by: examiner\n  at: 2026-03-03 09:00 -06:00\n"  # fmt: skip
    own: Edit = ("room.yml", ROOM[1], f"{ROOM[1]}{monitor}")
    assert_silent("supply-differs", [own])


@pytest.mark.parametrize("words", ["earthed, not isolated", "grounded, without an isolating transformer"])
def test_a_supply_that_is_said_not_to_be_isolated_is_grounded(words: str) -> None:
    isolated: Edit = ("sheets.yml", "kind: grounded, voltage: 119.8 V", "kind: isolated, voltage: 119.8 V")
    room: Edit = (ROOM[0], ROOM[1], f'value: "{words}"')
    assert_fires("supply-differs", [isolated, room], at=AGAIN, level=Level.WARN, says="isolated")
    assert_silent("supply-differs", [room])


def test_a_voltage_that_was_read_stands_for_a_nominal_one_nobody_wrote_down() -> None:
    """A fifth of 121 V is 24.2 V: 145.2 V is one supply with it, 145.3 V another."""
    room: Edit = (ROOM[0], ROOM[1], 'value: "earthed, 121 V"')
    stated = "voltage: 119.8 V, nominal: 120 V"
    assert_fires(
        "supply-differs", [room, ("sheets.yml", stated, "voltage: 145.3 V")], at=AGAIN, level=Level.WARN,
        says="one of 145.3 V",
    )  # fmt: skip
    assert_silent("supply-differs", [room, ("sheets.yml", stated, "voltage: 145.2 V")])


def test_a_voltage_across_more_than_a_body_was_read_without_load() -> None:
    for load, fires in (("1 kohm", False), ("1000 kohm", True), ("1 Mohm", True)):
        edits = (*VOLTS, sheet("isolated", f"  constants:\n    load: {load}\n"))
        extra: dict[str, str | bytes] = {"readings/volts.csv": READ}
        if fires:
            at = ("findings.yml", "rests_on: [R-flow-4, R-flow-5, R-volts-1]")
            assert_fires("voltage-without-load", edits, at=at, extra=extra, says="R-volts-1, read without load")
        else:
            assert_silent("voltage-without-load", edits, extra=extra)
