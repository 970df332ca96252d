"""The table holds every reading of the chart, and nothing that was not given."""

from __future__ import annotations

import pytest

from asfound.figures import rows
from asfound.figures.kinds import Row, leakage_by_condition
from asfound.figures.spec import Point

from .examples import ALL, deviations, leakage, long_line, output


@pytest.mark.parametrize("make", ALL)
def test_every_record_of_the_chart_is_in_the_table(make) -> None:
    chart = make()
    table = rows(chart)
    refs = [p.ref for s in chart.series for p in s.points] + [w.ref for w in chart.words]
    refs += [one.ref for one in chart.stretches] + [one.ref for one in (*chart.events, *chart.sights)]
    if chart.shown:
        refs += [one.ref for one in (*chart.shown.dots, *chart.shown.bars)]
        refs += [curve.ref for curve in chart.shown.curves for _ in curve.told]
    assert sorted(r.ref for r in table.rows if r.ref) == sorted(ref for ref in refs if ref)
    assert all(len(r.cells) == len(table.header) for r in table.rows)


def test_rows_read_as_they_stand() -> None:
    table = rows(leakage())
    assert table.header == ("condition", "equipment leakage current", "doubt", "verdict", "record", "remark")
    assert table.rows[2].cells == ("protective earth open", "512\u00a0µA", "18\u00a0µA", "fail", "R-leak-3", "")
    gap = next(r for r in table.rows if r.cells[1] == "not measured")
    assert gap.cells[-1] == "would have altered the suspect plug before the joint examination" and gap.ref == "S-2"
    assert [r.cells[0] for r in table.rows][3:5] == ["protective earth open, polarity reversed"] * 2


def test_columns_without_content_are_left_out() -> None:
    assert "series" in rows(output()).header and "remark" in rows(output()).header
    assert rows(deviations()).header == ("setting", "deviation from the setting", "doubt", "verdict", "record")


def test_points_without_a_text_show_their_number() -> None:
    assert rows(long_line()).rows[1].cells[:2] == ("1", "53.7")
    assert rows(leakage_by_condition("c", "t", "r.", (Row("a", (Point(12345.5, 0),)),), label="l", unit="µA")).rows[
        0
    ].cells[:2] == ("a", "12\u202f345.5")
