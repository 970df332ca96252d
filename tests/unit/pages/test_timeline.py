"""The page of clocks and timeline says what was computed, and what is not known."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from asfound.assess import assess_case
from asfound.model.dossier import Dossier
from asfound.model.placing import Placing
from asfound.pages.build import case_pages
from asfound.pages.lanes import order_words, timeline_chart
from asfound.pages.page import Options
from asfound.pages.texts import Texts
from tests.support import twins
from tests.unit.clocks.support import compared, placed

ROOT = Path(__file__).parents[3]
NOON = "2026-03-02 12:00 -06:00"
WALL = {"zone": "America/Chicago", "comparisons": [compared(NOON, "1 min 10 s")]}


def good() -> Dossier:
    found = assess_case(ROOT, ROOT / twins.GOOD, dt.date(2026, 3, 20)).dossier
    assert found is not None
    return found


def page(dossier: Dossier) -> str:
    return next(page.body for page in case_pages(dossier, {}, Options()) if page.uri.endswith("/timeline.md"))


def test_the_page_shows_each_event_corrected_with_its_doubt() -> None:
    body = page(good())
    # 12:25:04 by a record 2 min 37 s behind, written with -06:00: 13:27:41 in the zone of the base.
    assert "2026-03-09 13:27:41 −05:00 (Mon) ±\u00a04.6\u00a0s" in body and "+2\u00a0min 37\u00a0s" in body
    assert 'id="T-2"' in body and 'id="K-2"' in body and 'id="chart-timeline"' in body
    assert "2\u00a0min 42\u00a0s behind, ±\u00a01.7\u00a0s" in body
    for figure in ("± 10 min", "± 60 s", "± 1 s", "± 5 s a day"):
        assert figure in body


def test_the_chart_has_a_lane_a_clock_with_the_log_and_gates_and_custody_beneath() -> None:
    dossier = good()
    chart = timeline_chart(Texts(dossier))
    assert chart is not None
    assert [name.split()[0] for name in chart.y.categories] == ["K-1", "K-2", "K-3", "K-5", "Gates", "Custody"]
    assert sum(one.ref.startswith("R-log-") for one in chart.events) == 31
    assert {one.row for one in chart.events if one.ref.startswith("R-log-")} == {1}
    assert {one.ref for one in chart.events} >= {"G-1", "G-2", "C-1", "C-3"}
    assert chart.result == "The order of all twelve events is settled by their clocks."


def test_an_open_order_is_a_region_and_a_sentence() -> None:
    events = [
        ("K-1", "2026-03-02 13:00 -06:00", "5 min", "W-1"),
        ("K-1", "2026-03-02 13:02 -06:00", "5 min", "W-1"),
        ("K-1", "2026-03-02 15:00 -06:00", "1 min", "E-1"),
        ("K-9", "2026-03-02 15:00 -06:00", "1 min", "E-1"),
    ]
    placing = placed({"K-1": WALL, "K-9": {}}, events)
    assert order_words(placing) == (
        "The order of three events is settled but for T-1 and T-2; "
        "T-4 has none, since the offset of the clock is not known."
    )
    dossier = good()
    shown = replace(dossier, core=replace(dossier.core, placing=placing))
    chart = timeline_chart(Texts(shown))
    assert chart is not None and [span.words for span in chart.spans] == ["order not settled: T-1 and T-2"]
    body = page(shown)
    assert "not settled with T-2 and T-4" in body and "no place: the offset of its clock is not known" in body


def test_a_dossier_of_before_shows_what_the_clocks_showed() -> None:
    dossier = good()
    body = page(replace(dossier, core=replace(dossier.core, placing=Placing())))
    assert "frozen without a common base of time" in body and "2026-03-09 12:25:04 −06:00" in body
