"""The short road for many rows gives what the full budget and the full decision give."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.measure.budget import INFINITE, RangeDoubt
from asfound.measure.decide import decide
from asfound.model.number import Value, ValueKind
from asfound.verdicts.doubts import RangeInUnit, doubt_of, quick_doubt, repeated_doubt, spread
from asfound.verdicts.measured import six
from tests.bench.readings import judged, table

size = st.floats(min_value=0.0, max_value=50.0, allow_subnormal=False)
reading = st.decimals(min_value=-400, max_value=400, places=3)


@settings(max_examples=200, deadline=None)
@given(
    reading, size, size, size, st.sampled_from([2.0, 4.0, 60.0, INFINITE]), st.lists(reading, min_size=2, max_size=9)
)
def test_a_spread_known_beforehand_gives_the_numbers_of_the_whole_budget(
    value: Decimal, percent: float, resolution: float, certificate: float, dof: float, repeats: list[Decimal]
) -> None:
    known = RangeDoubt(percent=percent, absolute=0.1, resolution=resolution, certificate=certificate, dof=dof)
    chosen = RangeInUnit(Decimal(-400), Decimal(400), known)
    values = [float(one) for one in repeats]
    whole = doubt_of(value, (chosen,), values)
    component = spread(values)
    assert whole is not None
    quick = repeated_doubt(float(value), chosen, component.contribution, component.dof)
    assert (quick.U, quick.k) == (whole.expanded, whole.k) and quick.dof == pytest.approx(whole.budget.dof_exact)
    alone = doubt_of(value, (chosen,))
    assert alone is not None
    assert quick_doubt(float(value), chosen) == alone.expanded


def test_equal_readings_share_a_verdict_that_each_would_have_had_alone() -> None:
    sheet, verdicts = judged(table(700))
    assert [verdict.subject for verdict in verdicts] == [row.id for row in sheet.rows]
    texts = [row.value.text for row in sheet.rows]
    assert len(set(texts)) < len(texts), "no two readings are equal, so nothing was shared"
    assert len({verdict.outcome for verdict in verdicts}) > 2
    for row, verdict in zip(sheet.rows, verdicts, strict=True):
        setting = Decimal(row.conditions["setting"])
        lower, upper = setting * Decimal("0.8"), setting * Decimal("1.2")
        alone = decide(
            Decimal(row.value.text), verdict.doubt, verdict.k or 0.0, lower=lower, upper=upper, rule=verdict.rule
        )  # type: ignore[arg-type]
        assert (verdict.outcome, verdict.margin) == (alone.outcome, alone.margin)
        assert (verdict.lower, verdict.upper, verdict.members) == (lower, upper, (row.id,))
        assert alone.chance is not None and verdict.chance == six(alone.chance)


def test_a_row_says_what_it_is() -> None:
    value = Value("1.10", ValueKind.NUMBER, Decimal("1.10"))
    assert value.is_number and repr(value).startswith("Value(text='1.10'")
