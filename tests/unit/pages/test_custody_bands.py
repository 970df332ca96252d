"""The bands on the items page say what the custody log of the demonstration case says, and show a gap as one."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from asfound.account import Keeping, account_of, accounts
from asfound.assess import assess_case
from asfound.figures.spec import Look
from asfound.model.base import Moment
from asfound.model.things import CustodyKind, CustodyLine
from asfound.pages.build import case_pages
from asfound.pages.custody import custody_chart, result_words, ticks
from asfound.pages.page import Options
from asfound.pages.texts import Texts
from tests.support import twins

ROOT = Path(__file__).parents[3]
ON = dt.date(2026, 3, 20)


def dossier(folder: str):  # type: ignore[no-untyped-def]
    found = assess_case(ROOT, ROOT / folder, ON).dossier
    assert found is not None
    return found


def test_the_items_page_shows_one_band_an_item_and_the_table_behind() -> None:
    good = dossier(twins.GOOD)
    chart = custody_chart(Texts(good))
    assert chart is not None
    assert [name.split()[0] for name in chart.y.categories] == [f"I-{n}" for n in range(1, 13)]
    assert chart.result.startswith(
        "For each of twelve items the log leads from holder to holder without a gap; I-4 and I-6"
    )
    assert chart.x.title == "time at \u221205:00" and chart.x.ticks[0].text == "11 Mar"
    (page,) = [page for page in case_pages(good, {}, Options()) if page.uri.endswith("/items.md")]
    assert 'id="chart-custody"' in page.body and "sealed store" in page.body


def test_a_hole_in_the_log_is_a_gap_in_the_band_and_in_the_sentence() -> None:
    chart = custody_chart(Texts(dossier(twins.WEAK.folder)))
    assert chart is not None and chart.result.startswith(
        "For I-4 (1\u00a0h 10\u00a0min) the log does not say who had it"
    )
    (gap,) = [one for one in chart.stretches if one.look is Look.GAP]
    assert (gap.ref, gap.length) == ("C-15", "1\u00a0h 10\u00a0min")


def test_every_gate_of_an_item_is_a_tick_under_it() -> None:
    good = dossier(twins.GOOD)
    chart = custody_chart(Texts(good))
    assert chart is not None
    gates = {ref for ref, gate in good.core.case.gates.gates.items() if gate.items}
    assert {event.ref for event in chart.events} == gates


def test_the_bands_are_the_account_and_nothing_else() -> None:
    good = dossier(twins.GOOD)
    chart = custody_chart(Texts(good))
    assert chart is not None
    known = accounts(good.core.case)
    assert len(chart.stretches) == sum(len(one.stretches) for one in known.values())
    stored = [one for account in known.values() for one in account.stretches if one.keeping is Keeping.STORED]
    assert sum(one.look is Look.STORED for one in chart.stretches) == len(stored)


def test_a_case_without_a_log_has_no_figure() -> None:
    assert custody_chart(Texts(dossier("tests/cases/hour-one"))) is None


def test_a_gap_that_is_still_open_is_said_to_be() -> None:
    at = Moment.read("2026-03-02 10:00 -06:00")
    none = ("", "", "", "", "", "", "", "", (), "")
    lines = [
        CustodyLine("C-1", 1, ("I-1",), CustodyKind.COLLECTED, at, at, "", "keeper", *none),  # type: ignore[arg-type]
        CustodyLine("C-2", 2, ("I-1",), CustodyKind.TRANSFER, None, None, "keeper", "x", *none),  # type: ignore[arg-type]
    ]
    assert result_words({"I-1": account_of("I-1", lines)}) == (
        "For I-1 (still open) the log does not say who had it all the time."
    )


@pytest.mark.parametrize(
    ("hours", "first", "last"),
    [
        (0.5, "2 Mar 22:15", "22:30"),
        (6, "2 Mar 23:00", "04:00"),
        (40, "3 Mar 00:00", "12:00"),
        (24 * 400, "27 Apr 2026", "29 Mar"),
    ],
)
def test_ticks_stand_at_round_times_and_name_the_day_once_it_changes(hours: float, first: str, last: str) -> None:
    start = dt.datetime(2026, 3, 2, 22, 10, tzinfo=dt.timezone(dt.timedelta(hours=-6)))
    found = ticks(start, hours)
    assert 1 < len(found) <= 10 and all(0 <= tick.value <= hours for tick in found)
    assert found[0].text == first and found[-1].text == last
