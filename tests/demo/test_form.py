"""The form of the report as a whole: what every page bears, and what every chart shows."""

from __future__ import annotations

import re
from functools import cache

import pytest

from asfound.figures.scale import rulers
from asfound.figures.spec import Chart
from asfound.model.dossier import Dossier
from asfound.pages import Options, case_pages, standalone
from asfound.pages.charts import charts_of
from asfound.pages.texts import Texts
from tests.demo.test_cases import assessed
from tests.support import twins


@cache
def dossier() -> Dossier:
    found = assessed(twins.GOOD).dossier
    assert found is not None
    return found


@cache
def charts() -> dict[str, Chart]:
    texts = Texts(dossier())
    plan = texts.case.plan
    assert plan is not None
    tests = {name: test for one in texts.core.protocols.values() for name, test in one.tests.items()}
    return {chart.id: chart for name in plan.tests for chart in charts_of(texts, name, tests[name.partition("--")[0]])}


def test_every_page_names_the_report_says_what_it_speaks_of_and_where_it_ends() -> None:
    """ISO/IEC 17025:2017, 7.8.2.1 d and l (confirmed)."""
    pages = {page.uri: page.body for page in case_pages(dossier(), {}, Options())}
    pages["alone"] = standalone(dossier(), {})
    assert len(pages) > 10
    for uri, body in pages.items():
        (close,) = re.findall(r'<p class="af-close">(.*?)</p>', body)
        assert "relate only to the items listed" in close, uri
        assert "Case return-pad-lesion" in close and dossier().core.digests.case[:8] in close.replace(" ", ""), uri
        assert close.endswith("End."), uri
        assert not body.split('<p class="af-close">')[1].count("<h2"), uri
        assert "<span>internal</span>" in body.split("<h1>")[0], uri


def test_there_are_charts_to_ask() -> None:
    assert len(charts()) >= 5


@pytest.mark.parametrize("name", sorted(charts()))
def test_no_axis_is_cut_so_that_a_pass_looks_like_a_fail(name: str) -> None:
    """Whatever is drawn, readings with their doubt and limits, lies within the axes. Common practice, no source."""
    chart = charts()[name]
    across, up = rulers(chart)
    for series in chart.series:
        for point in series.points:
            assert across.low <= point.x <= across.high and up.low <= point.y <= up.high
    for line in chart.lines:
        for x, y in line.points:
            assert across.low <= x <= across.high and up.low <= y <= up.high, line.label
    for band in chart.bands:
        for x, y in (*band.lower, *band.upper):
            assert across.low <= x <= across.high and up.low <= y <= up.high


@pytest.mark.parametrize("name", sorted(charts()))
def test_a_chart_of_judged_readings_draws_what_they_were_judged_by(name: str) -> None:
    chart = charts()[name]
    refs = {point.ref for series in chart.series for point in series.points}
    judged = {
        verdict.subject
        for verdict in dossier().core.verdicts
        if verdict.subject in refs and (verdict.lower is not None or verdict.upper is not None)
    }
    if judged:
        assert chart.lines or chart.bands or chart.spans, sorted(judged)
