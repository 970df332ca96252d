"""The order of thought as the times of a case tell it, without git; times are those of the base case."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.account import How, Turn, order_of_thought, planned_sheets
from asfound.model.past import Past
from tests.rules.support import Edit

from .test_states import case

LAST = "2026-03-06 12:00 -06:00"
"""When the last planned readings ended."""


def weighed(*times: str) -> Edit:
    """Gates by which the explanations were weighed, in this order in the file."""
    rows = "".join(
        f"  G-{number}: {{gate: weighed, at: {at}, by: examiner}}\n" for number, at in enumerate(times, 20)
    )  # fmt: skip
    return ("gates.yml", "  G-12: {gate: weighed, at: 2026-03-09 10:00 -05:00, by: examiner}\n", rows)


@pytest.mark.parametrize(
    "times",
    [("2026-03-09 10:00 -05:00", "2026-03-10 09:00 -05:00"), ("2026-03-10 09:00 -05:00", "2026-03-09 10:00 -05:00")],
)  # fmt: skip
def test_of_several_the_first_by_time_is_when_it_was_weighed(tmp_path: Path, times: tuple[str, str]) -> None:
    thought = order_of_thought(case(tmp_path, weighed(*times)), Past())
    assert [one.turn for one in thought.taken] == [Turn.PLAN, Turn.READINGS, Turn.OPENED, Turn.WEIGHED]
    texts = [one.at.text if one.at else "" for one in thought.taken]
    assert texts == ["2026-03-05 11:20 -06:00", LAST, "2026-03-09 09:00 -05:00", "2026-03-09 10:00 -05:00"]


@pytest.mark.parametrize(
    "times",
    [("2026-03-05 12:00 -06:00", "2026-03-04 09:00 -06:00"), ("2026-03-04 09:00 -06:00", "2026-03-05 12:00 -06:00")],
)  # fmt: skip
def test_of_several_that_came_too_early_the_earliest_is_told(tmp_path: Path, times: tuple[str, str]) -> None:
    order = order_of_thought(case(tmp_path, weighed(*times)), Past()).order(Turn.WEIGHED)
    assert order is not None and order.how is How.AGAINST and order.times
    assert "weighed at 2026-03-04 09:00" in order.why


def test_what_was_weighed_again_after_a_later_account_is_not_contradicted(tmp_path: Path) -> None:
    """As before an amendment: weighed on 9 March, an account opened on the 11th, weighed again on the 12th."""
    opened: Edit = (
        "statements.yml",
        "opened_to_examiner_at: 2026-03-09 09:00 -05:00",
        "opened_to_examiner_at: 2026-03-11 09:00 -05:00",
    )
    once = order_of_thought(case(tmp_path / "once", opened), Past()).order(Turn.WEIGHED)
    assert once is not None and once.how is How.AGAINST
    times = weighed("2026-03-09 10:00 -05:00", "2026-03-12 10:00 -05:00")
    again = order_of_thought(case(tmp_path / "again", opened, times), Past()).order(Turn.WEIGHED)
    assert again is not None and again.how is not How.AGAINST


@pytest.mark.parametrize(
    ("opened", "against"), [(LAST, False), ("2026-03-06 11:59 -06:00", True), ("2026-03-09 09:00 -05:00", False)]
)
def test_a_statement_is_opened_when_the_last_reading_is_in(tmp_path: Path, opened: str, against: bool) -> None:
    edit: Edit = (
        "statements.yml",
        "opened_to_examiner_at: 2026-03-09 09:00 -05:00",
        f"opened_to_examiner_at: {opened}",
    )
    order = order_of_thought(case(tmp_path, edit), Past()).order(Turn.OPENED)
    assert order is not None and (order.how is How.AGAINST) == against


@pytest.mark.parametrize(
    ("written", "sealed", "how"),
    [
        ("2026-03-05 13:00 -06:00", "2026-03-05 13:00 -06:00", How.PAPER),
        ("2026-03-05 13:01 -06:00", "2026-03-05 13:01 -06:00", How.AGAINST),
        ("2026-03-05 11:00 -06:00", "2026-03-05 13:01 -06:00", How.AGAINST),
    ],
)
def test_a_plan_is_sealed_no_later_than_the_first_reading(tmp_path: Path, written: str, sealed: str, how: How) -> None:
    """The first sheet began at 13:00 on 5 March."""
    edits: list[Edit] = [
        ("plan.yml", "written_at: 2026-03-05 11:00 -06:00", f"written_at: {written}"),
        ("plan.yml", "  at: 2026-03-05 11:20 -06:00", f"  at: {sealed}"),
    ]
    order = order_of_thought(case(tmp_path, *edits), Past()).order(Turn.READINGS)
    assert order is not None and order.how is how


def test_a_test_that_was_added_later_is_not_asked(tmp_path: Path) -> None:
    added = "    item: I-1\n    why: The event is about the volume delivered.\n"
    edit: Edit = ("plan.yml", added, added + "    added: the flow was asked for\n")
    read = case(tmp_path, edit)
    assert planned_sheets(read) == ("S-earth", "S-touch")
    texts = [one.at.text if one.at else "" for one in order_of_thought(read, Past()).taken]
    assert texts[1] == "2026-03-05 13:50 -06:00"
