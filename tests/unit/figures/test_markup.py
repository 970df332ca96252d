"""The figure of a page: order of reading, links, and data that no page swap can run."""

from __future__ import annotations

import html
import json
import re

import pytest
from msgspec import structs

from asfound.figures import figure, interactive, still
from asfound.figures.packed import unpacked

from .examples import ALL, leakage, output


def link(ref: str) -> str:
    return f"../record/#{ref}"


@pytest.mark.parametrize("make", ALL)
def test_the_template_holds_the_live_copy(make) -> None:
    chart = make()
    page = figure(chart, link)
    found = re.search("<template>(.*?)</template>", page, re.S)
    assert found
    held = unpacked(html.unescape(found[1]))
    assert held["layout"] == json.loads(json.dumps(interactive(chart)["layout"]))
    addresses = [told[1] for trace in held["data"] for told in trace.get("customdata", [])]
    timed = (*chart.stretches, *chart.events, *chart.sights)
    if timed:  # a long band answers at several places
        assert set(addresses) == {link(one.ref) if one.ref else "" for one in timed}
        return
    if chart.shown:
        marks = (*chart.shown.bars, *chart.shown.dots)
        assert addresses == [link(one.ref) if one.ref else "" for one in marks]
        return
    assert addresses == [link(p.ref) for s in chart.series for p in s.points]
    assert "<script" not in page and "style=" not in page


def test_result_first_then_table_with_links() -> None:
    page = figure(leakage(), link)
    assert page.index("<svg") < page.index("<figcaption><b>With the protective") < page.index("<details")
    assert '<a href="../record/#R-leak-3">R-leak-3</a>' in page
    assert '<td class="af-gap">not measured</td>' in page
    assert 'tabindex="0" role="region" aria-label="Table behind the chart: Equipment leakage by condition"' in page


def test_ids_are_unique_in_the_figure() -> None:
    ids = re.findall(r' id="([^"]+)"', figure(output(), link))
    assert len(ids) == len(set(ids)) == 3


def test_a_page_handed_over_has_nothing_that_runs() -> None:
    page = still(output(), link)
    assert "<template" not in page and "var(--" not in page and "data-af-chart" not in page


def test_hostile_words_stay_words() -> None:
    evil = "</template><img src=x onerror=alert(1)>"
    page = figure(structs.replace(output(), result=evil, note=evil, title=evil), link)
    assert "<img" not in page and page.count("</template>") == 1
