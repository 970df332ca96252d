"""The clocks of three narratives on one base of time; the corrections are worked by hand from each clock's offset."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.model.placing import Order, Placing
from tests.weighing.narratives import NARRATIVES, Narrative
from tests.weighing.test_narratives import assessed, edited, rejects


def narrative(name: str) -> Narrative:
    return next(told for told in NARRATIVES if told.name == name)


def placing(name: str) -> Placing:
    dossier = assessed(narrative(name)).dossier
    assert dossier is not None
    return dossier.core.placing


def clock_time(found: Placing, event: str) -> str:
    one = found.placed(event)
    assert one is not None and one.at is not None
    return one.at.text[11:19]


def test_a_unit_and_a_chart_that_differ_by_seven_minutes_twenty() -> None:
    """Unit 6 min 20 s behind, chart 1 min ahead.

    Shown 6 min 40 s apart with the unit first, they lie 40 s apart with the chart first; and since the chart is told to
    a minute, the order is not settled at all.
    """
    found = placing("d3")
    assert (clock_time(found, "T-1"), clock_time(found, "T-2")) == ("03:11:40", "03:11:00")
    assert found.order("T-1", "T-2") is Order.OPEN
    # On one clock, 2 min 20 s apart and each known to a second.
    assert found.order("T-1", "T-3") is Order.BEFORE


def test_a_pump_eleven_minutes_slow_started_when_the_nurse_says() -> None:
    """11 min 0 s behind on the 19th and 11 min 2 s on the 22nd make 10 min 58 s on the 16th: 09:29 is 09:39:58.

    The ward's clock is 20 s ahead, and the nurse said 09:40 ± 2 min.
    """
    found = placing("d2")
    assert (clock_time(found, "T-1"), clock_time(found, "T-2")) == ("09:39:58", "09:39:40")
    assert found.order("T-1", "T-2") is Order.OPEN
    assert found.order("T-3", "T-1") is Order.AFTER


def test_a_ventilator_log_two_minutes_ten_behind() -> None:
    """10:05:20 is 10:07:30; the watch is 20 s ahead, so 10:10 is 10:09:40: 2 min 10 s apart, against 2 min of doubt."""
    found = placing("d7")
    assert (clock_time(found, "T-1"), clock_time(found, "T-2")) == ("10:07:30", "10:09:40")
    assert found.order("T-1", "T-2") is Order.BEFORE


@pytest.mark.parametrize("words", ["[T-1] came before [T-2]", "[T-2] came before [T-1]"])
def test_an_order_of_those_two_is_refused_either_way(words: str, tmp_path: Path) -> None:
    finding = f"F-99:\n  text: The first try {words}.\n  about: [I-1]\n  rests_on: [T-1, T-2]\nF-1:\n"
    found = edited(narrative("d3"), tmp_path, ("findings.yml", "F-1:\n", finding))
    assert "order-not-supported" in {problem.rule for problem in rejects(found)}


def test_without_its_comparisons_the_unit_has_no_time_and_a_citation_of_it_is_refused(tmp_path: Path) -> None:
    folder = narrative("d3").folder / "clocks.yml"
    text = folder.read_text("utf-8")
    start, end = text.index("  comparisons:\n"), text.index("  daylight_saving:")
    finding = "F-99:\n  text: The key was pressed [T-1].\n  about: [I-1]\n  rests_on: [T-1]\nF-1:\n"
    edits = (("clocks.yml", text[:end], text[:start]), ("findings.yml", "F-1:\n", finding))
    found = edited(narrative("d3"), tmp_path, *edits)
    assert "clock-not-compared" in {problem.rule for problem in rejects(found)}
    assert found.dossier is not None
    one = found.dossier.core.placing.placed("T-1")
    assert one is not None and one.at is None
