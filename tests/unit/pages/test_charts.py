"""What a chart says of readings: their signs, their doubts, and what its marks mean."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.figures import rows as table_of
from asfound.figures.spec import Bound, Chart
from asfound.model.limits import LimitKind
from asfound.model.outcome import Outcome
from asfound.model.verdict import Verdict
from asfound.pages.charts import charts_of
from asfound.pages.texts import Texts

ROOT = Path(__file__).parents[3]
ARROWS = "An arrow leads to where the value lies of a reading that is known on one side only."
BARS = "Bars show the doubt of the reading (k = 2, or more where it was read a few times over)."


@cache
def _charts(case: str, planned: str) -> tuple[Chart, ...]:
    found = assess_case(ROOT, ROOT / "cases" / case, dt.date(2026, 5, 30)).dossier
    assert found is not None
    base = planned.partition("--")[0]
    test = next(one.tests[base] for one in found.core.protocols.values() if base in one.tests)
    return charts_of(Texts(found), planned, test)


def test_a_reading_beyond_the_meters_range_has_its_sign_and_no_doubt_on_the_chart() -> None:
    """What lies beyond a range is told as less or more than its end, without a doubt (common practice, no source)."""
    (chart,) = _charts("return-pad-lesion", "activation-leak")
    points = {point.ref: point for series in chart.series for point in series.points}
    assert {ref: " ".join(one.said.split()) for ref, one in points.items()} == {
        "R-pedals-1": "> 20 000 kΩ",
        "R-pedals-2": "< 0.01 kΩ",
        "R-pedals-3": "> 20 000 kΩ",
        "R-pedals-4": "< 0.01 kΩ",
    }
    assert {one.doubt for one in points.values()} == {None}
    assert [row.cells[1] for row in table_of(chart).rows] == [one.text for one in points.values()]
    assert chart.note.startswith(ARROWS) and BARS not in chart.note


@pytest.mark.parametrize(("case", "planned"), [("return-pad-lesion", "output-power")])
def test_measured_readings_keep_their_bars_and_are_told_of_no_arrow(case: str, planned: str) -> None:
    for chart in _charts(case, planned):
        points = [point for series in chart.series for point in series.points]
        assert points and all(point.bound is Bound.EXACT and point.doubt for point in points)
        assert chart.note.startswith(BARS) and ARROWS not in chart.note


def test_a_chart_does_not_say_of_readings_without_a_limit_that_they_lie_within_one() -> None:
    """Of three paths one is held against the limit from chassis to ground pin; of eight currents two stand for four."""
    (earth,) = _charts("return-pad-lesion", "protective-earth")
    assert earth.result == "Every reading lies within its limits where there are any; to 2 of 3 readings none speaks."
    (touch,) = _charts("return-pad-lesion", "touch-current")
    assert touch.result == "Every reading lies within its limits where there are any; to 2 of 8 readings none speaks."
    for chart in _charts("return-pad-lesion", "output-power"):
        assert "none speaks" not in chart.result


def test_readings_outside_are_counted_as_readings_and_not_as_verdicts() -> None:
    """The worst of readings under one limit is judged for all of them: of four, two of 5.7 mA lie above 500 µA."""
    (first,) = _charts("tingle-isolated-room", "touch-current")
    assert first.result == "2 of 4 readings lie outside their limits."
    (second,) = _charts("tingle-isolated-room", "touch-current--second")
    assert second.result == "All 3 readings lie outside the limit."


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (LimitKind.MAKER, "Handbook of the generator HG-120 (invented for this demonstration), from 110"),
        (LimitKind.COMMON_PRACTICE, "common practice, from 110"),
    ],
)
def test_a_window_says_whose_it_is(kind: LimitKind, words: str) -> None:
    """A custom has no document, and a drawing must not pass it for one's."""
    found = assess_case(ROOT, ROOT / "cases/return-pad-lesion", dt.date(2026, 5, 30)).dossier
    assert found is not None
    verdicts = tuple(
        one._replace(limit=replace(one.limit, kind=kind)) if one.limit and one.test == "contact-monitor" else one
        for one in found.core.verdicts
    )
    test = found.core.protocols["high-frequency-surgical"].tests["contact-monitor"]
    (chart,) = charts_of(Texts(replace(found, core=replace(found.core, verdicts=verdicts))), "contact-monitor", test)
    (span,) = chart.spans
    assert (span.low, span.high) == (110.0, 140.0) and span.words.startswith(words)


def test_a_condition_that_names_itself_is_named_once() -> None:
    (chart,) = _charts("tingle-isolated-room", "swap")
    assert chart.y.categories[0].endswith("socket 6, earth open")
    assert not any("socket socket" in one for one in chart.y.categories)


def test_that_a_limit_is_not_assessable_hides_no_limit_that_is_met_nor_the_other_way_round() -> None:
    """Where the maker states no value, his limit is not assessable and the one of the standard is met all the same."""
    found = assess_case(ROOT, ROOT / "cases/return-pad-lesion", dt.date(2026, 5, 30)).dossier
    assert found is not None
    test = next(
        one.tests["protective-earth"] for one in found.core.protocols.values() if "protective-earth" in one.tests
    )
    (first,) = charts_of(Texts(found), "protective-earth", test)
    shown = {one.ref for series in first.series for one in series.points}
    met = next(one for one in found.core.verdicts if one.subject in shown and one.limit is not None)
    assert str(met.outcome) == "pass"
    open_ = met._replace(outcome=Outcome.NOT_ASSESSABLE, lower=None, upper=None)

    def chart(*verdicts: Verdict) -> Chart:
        left = [one for one in found.core.verdicts if one is not met]
        (made,) = charts_of(
            Texts(replace(found, core=replace(found.core, verdicts=(*left, *verdicts)))), "protective-earth", test
        )
        return made

    both = chart(met, open_)
    assert both.result == (
        "Every reading lies within its limits where there are any; to 2 of 3 readings none speaks; "
        "of 1 of 3 readings a limit is not assessable."
    )
    assert [one.outcome for series in both.series for one in series.points if one.ref == met.subject] == [
        "pass, another limit not assessable"
    ]
    alone = chart(open_)
    assert alone.result == "Every reading is shown as measured; the limit that speaks to it is not assessable."
    assert [one.outcome for series in alone.series for one in series.points if one.ref == met.subject] == [
        "not assessable"
    ]
