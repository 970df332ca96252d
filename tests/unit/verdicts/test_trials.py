"""What counts of trials leave room for, against closed forms, worked examples and another library's incomplete beta."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy import stats

from asfound.measure import interval, upper_bound
from asfound.model.verdict import Result

from .bench import judged

ANSWERED = {"quantity": "resistance"}


def trials(*rows: str) -> tuple[Result, ...]:
    return tuple(one for one in judged(list(rows)).results if one.kind == "trials")


def test_none_in_fifty_nine() -> None:
    """1 - 0.05^(1/59) = 4.95 per cent (computed from the closed form; Clopper and Pearson 1934, confirmed)."""
    (result,) = trials("0 of 59")
    assert result.id == "Y-x-trials"
    assert (result.value, result.unit, result.of) == (Decimal("4.95"), "%", ("R-x-1",))
    assert result.text == (
        "Seen in 0 of 59 trials: the chance in one such trial is below 4.95\u00a0% (95 %, exact binomial (Clopper and "
        "Pearson)). It speaks of trials like these, at the bench, and is no rate in use."
    )


def test_one_of_ten_has_two_sides() -> None:
    """0.25 to 44.5 per cent (computed; the usual tables give the same, secondary)."""
    (result,) = trials("1 of 10")
    assert result.value is None
    assert result.numbers == (("chance in one trial", "between 0.25\u00a0% and 44.5\u00a0%"),)


def test_all_of_twenty_has_a_lower_bound() -> None:
    """0.05^(1/20) = 86.1 per cent (computed from the closed form)."""
    (result,) = trials("20 of 20")
    assert (result.value, result.numbers[0][1]) == (Decimal("86.09"), "above 86.1\u00a0%")


@pytest.mark.parametrize(
    ("count", "value", "said"),
    [
        # By the closed form 1 - 0.05^(1/n), which is near -ln 0.05 / n = 2.9957 / n (the rule of three).
        ("0 of 29000", "0.010", "below 0.010\u00a0%"),
        ("0 of 100000", "0.0030", "below 0.0030\u00a0%"),
        ("0 of 999999999", "0.00000030", "below 0.000\u202f000\u202f30\u00a0%"),
        ("2000 of 2000", "99.85", "above 99.85\u00a0%"),
        ("100000 of 100000", "99.9970", "above 99.9970\u00a0%"),
    ],
)
def test_no_count_of_trials_shows_that_a_thing_is_impossible(count: str, value: str, said: str) -> None:
    """None of 100 000 leaves room for three in a hundred thousand, which is not "below 0.00 %"."""
    (result,) = trials(count)
    assert (f"{result.value:f}", result.numbers[0][1]) == (value, said)


def test_each_count_of_a_sheet_has_its_own_and_a_number_has_none() -> None:
    assert [one.id for one in trials("3 of 10", "142", "0 of 8")] == ["Y-x-trials-1", "Y-x-trials-2"]
    assert trials("142") == ()
    assert [one.id for one in trials("0 of 0", "3 of 10")] == ["Y-x-trials-2"], "no trial says nothing"


@pytest.mark.parametrize("n", [1, 2, 8, 10, 22, 59, 300, 1000])
def test_bounds_agree_with_the_beta_distribution(n: int) -> None:
    """scipy.stats.beta and binomtest (reference library, confirmed): quantiles of the same bound by another road."""
    assert upper_bound(0, n) == pytest.approx(stats.beta.ppf(0.95, 1, n), rel=1e-9)
    for seen in {0, 1, n // 3, n - 1, n}:
        low, high = interval(seen, n)
        exact = stats.binomtest(seen, n).proportion_ci(confidence_level=0.95, method="exact")
        assert (low, high) == (pytest.approx(exact.low, abs=1e-9), pytest.approx(exact.high, abs=1e-9))
        # By its meaning: so few (many) would be seen with a chance of a fortieth at the bound.
        if seen < n:
            assert stats.binom.cdf(seen, n, high) == pytest.approx(0.025, rel=1e-6)
        if seen:
            assert stats.binom.sf(seen - 1, n, low) == pytest.approx(0.025, rel=1e-6)
