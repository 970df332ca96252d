"""Rules that stop the work, or see that it did not stop too soon: plan, log, swap, scene."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

# --- plan before results

UNSEALED: Edit = (
    "plan.yml",
    "sealed:\n  at: 2026-03-05 11:20 -06:00\n  how: digest of the dated paper plan\n  evidence: [E-5]\n",
    "",
)


def test_a_plan_written_after_the_first_reading_is_refused() -> None:
    assert_fires(
        "plan-after-results",
        [("plan.yml", "written_at: 2026-03-05 11:00", "written_at: 2026-03-05 13:05")],
        at=("plan.yml", "written_at"),
        says="the first results are of 2026-03-05 13:00 \u221206:00 (Thu) (S-earth)",
    )


def test_a_seal_after_the_first_reading_is_refused() -> None:
    edit = ("plan.yml", "  at: 2026-03-05 11:20", "  at: 2026-03-05 13:20")
    assert_fires("plan-after-results", [edit], at=("plan.yml", "  at: 2026-03-05 13:20"), says="the plan was sealed")


def test_a_digest_that_is_of_none_of_its_papers_is_refused() -> None:
    edit = ("plan.yml", "  evidence: [E-5]", f"  sha256: {'0' * 64}\n  evidence: [E-5]")
    assert_fires("plan-after-results", [edit], at=("plan.yml", "sha256"), says="of none of its papers (E-5)")


def test_the_digest_of_its_paper_is_enough() -> None:
    digest = "2e8052149a84a3bbae94235461f0dda116206fccac8f91e86a2a89d1e6ea3c2e"
    edit = ("plan.yml", "  evidence: [E-5]", f"  sha256: {digest}\n  evidence: [E-5]")
    assert_silent("plan-after-results", [edit])


def test_an_added_test_may_be_older_than_the_plan() -> None:
    edits = [
        ("plan.yml", "written_at: 2026-03-05 11:00", "written_at: 2026-03-05 13:12"),
        ("plan.yml", "  at: 2026-03-05 11:20", "  at: 2026-03-05 13:15"),
        (
            "plan.yml",
            "why: Safety before power.",
            "why: Safety before power.\n    added: done at once, before the plan",
        ),
    ]
    assert_silent("plan-after-results", edits)


def test_without_a_seal_and_without_history_it_is_not_provable() -> None:
    assert_fires("plan-after-results", [UNSEALED], at=("plan.yml", "written_at"), level=Level.NOTE, says="not provable")


# --- the first failure is not the end

TOUCH_FAILS: Edit = ("readings/touch.csv", "3,open,normal,61.2", "3,open,normal,161.2")


def moved(start: str, end: str, new_start: str, new_end: str) -> tuple[str, str]:
    """A sheet at another time: what stood there, and what stands there now."""
    return (
        f"from: {start} -06:00\n  to: {end} -06:00",
        f"from: {new_start} -06:00\n  to: {new_end} -06:00",
    )


def no_flow(*more: Edit) -> list[Edit]:
    """The case as if the work had stopped after the touch current."""
    return [
        TOUCH_FAILS,
        ("sheets.yml", "S-flow:\n  test: pump-flow", "S-flow:\n  test: pump-touch"),
        ("sheets.yml", "S-flow-again:\n  test: pump-flow", "S-flow-again:\n  test: pump-touch"),
        ("sheets.yml", *moved("2026-03-05 14:30", "2026-03-05 16:30", "2026-03-05 12:00", "2026-03-05 12:10")),
        ("sheets.yml", *moved("2026-03-06 09:00", "2026-03-06 12:00", "2026-03-05 12:20", "2026-03-05 12:30")),
        *more,
    ]


def test_work_that_stops_at_the_first_failure_warns() -> None:
    assert_fires(
        "plan-unfinished-after-failure",
        no_flow(),
        at=("sheets.yml", "S-touch:"),
        level=Level.WARN,
        says="the work stopped at S-touch, the first to fail, with pump-flow not done",
    )


def test_work_that_goes_on_after_a_failure_passes() -> None:
    assert_silent("plan-unfinished-after-failure", [TOUCH_FAILS])


def test_a_plan_that_was_left_without_any_failure_is_another_matter() -> None:
    assert_silent("plan-unfinished-after-failure", no_flow(("readings/touch.csv", "161.2", "61.3"))[1:-1])


# --- the log

ERASES: Edit = ("scene.yml", "  decision: none held", "  decision: would alter and was left\n  start_erases: yes")


def test_a_start_that_erases_the_log_is_refused() -> None:
    assert_fires(
        "booted-though-log-erases",
        [ERASES],
        at=("sheets.yml", "S-touch: > from"),
        says="I-1 was started at 2026-03-05 13:20 -06:00, which erases the log",
    )


def test_a_log_that_was_read_before_is_safe() -> None:
    gate = "  G-14: {gate: logs read, items: [I-1], at: 2026-03-05 12:50 -06:00, by: examiner}\n"
    edit = ("gates.yml", "  G-13:", gate + "  G-13:")
    assert_silent("booted-though-log-erases", [ERASES, edit])
    late = ("gates.yml", "  G-13:", gate.replace("12:50", "15:00") + "  G-13:")
    assert_fires("booted-though-log-erases", [ERASES, late], at=("sheets.yml", "S-touch: > from"))


def test_an_answer_of_the_maker_is_enough() -> None:
    edit = ("scene.yml", "  decision: none held", "  decision: asked\n  start_erases: yes\n  asked: [N-1]")
    assert_silent("booted-though-log-erases", [edit])


# --- swaps

SWAP: Edit = ("sheets.yml", "accessories: [I-2, I-3]\n  instrument: M-3", "accessories: [I-2, I-4]\n  instrument: M-3")
NOT_AS_FOUND: Edit = (
    "sheets.yml",
    "  repeats_of: S-flow\n  as_found_settings: yes",
    "  repeats_of: S-flow\n  as_found_settings: no",
)


def test_an_exemplar_is_no_as_found_accessory() -> None:
    assert_fires(
        "swapped-part-not-returned",
        [SWAP],
        at=("sheets.yml", "accessories: [I-2, I-4]"),
        says="I-4 stands in the place of I-3",
    )


def test_a_swap_that_is_put_away_again_passes() -> None:
    assert_silent("swapped-part-not-returned", [SWAP, NOT_AS_FOUND])


def test_a_swap_that_nobody_put_away_is_refused() -> None:
    edits = [SWAP, NOT_AS_FOUND, ("custody.csv", "7,I-1 I-2 I-3 I-4,", "7,I-1 I-2 I-3,")]
    assert_fires(
        "swapped-part-not-returned",
        edits,
        at=("sheets.yml", "accessories: [I-2, I-4]"),
        says="after the swap of I-3 for I-4 the log does not put I-4 away again",
    )


# --- the scene


def test_a_hand_on_the_controls_that_the_scene_keeps_silent_about_warns() -> None:
    edit = ("scene.yml", "The ward nurse stopped the pump and clamped the set. Nothing else was touched.", "Nothing.")
    assert_fires(
        "touched-not-in-scene",
        [edit],
        at=("scene.yml", "touched_since"),
        level=Level.WARN,
        says="the ward nurse [W-1] touched controls, and the record of the scene speaks of others only",
    )


@pytest.mark.parametrize("said", ["As told in [W-1].", "The Ward Nurse stopped it."])
def test_a_citation_or_the_role_is_enough(said: str) -> None:
    edit = ("scene.yml", "The ward nurse stopped the pump and clamped the set. Nothing else was touched.", f'"{said}"')
    assert_silent("touched-not-in-scene", [edit])


# --- the state a thing was measured in

ALTERED: Edit = (
    "gates.yml",
    "  G-13: {gate: rechecked, at: 2026-03-10 10:00 -05:00, by: reviewer}\n",
    "  G-13: {gate: rechecked, at: 2026-03-10 10:00 -05:00, by: reviewer}\n"
    "steps:\n  B-1: {items: [I-1], what: door opened, tier: changes, at: 2026-03-05 17:00 -06:00, by: examiner, "
    "why: To look., order: [E-4]}\n",
)


def test_readings_behind_a_step_are_not_of_the_thing_as_received() -> None:
    assert_fires(
        "moment-misstated",
        [ALTERED],
        at=("sheets.yml", "S-flow-again:"),
        says="as received, and B-1 altered it at 2026-03-05 17:00 -06:00",
    )


def test_readings_said_to_be_after_adjustment_pass() -> None:
    moment = ("sheets.yml", "  repeats_of: S-flow\n", "  repeats_of: S-flow\n  moment: after adjustment\n")
    assert_silent("moment-misstated", [ALTERED, moment])


def test_readings_on_the_bench_are_not_of_the_scene() -> None:
    moment = ("sheets.yml", "  repeats_of: S-flow\n", "  repeats_of: S-flow\n  moment: scene\n")
    assert_fires("moment-misstated", [moment], at=("sheets.yml", "moment: scene"), says="moved at 2026-03-02 12:00")


def test_readings_before_the_first_move_are_of_the_scene() -> None:
    edits = [
        ("sheets.yml", "  repeats_of: S-flow\n", "  repeats_of: S-flow\n  moment: scene\n"),
        ("sheets.yml", *moved("2026-03-06 09:00", "2026-03-06 12:00", "2026-03-02 11:30", "2026-03-02 11:40")),
    ]
    assert_silent("moment-misstated", edits)
