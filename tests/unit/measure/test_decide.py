"""Decisions: sides of a limit, the two rules, bounds, and the laws that must hold whatever the numbers."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

import asfound.measure as m
from asfound.measure import DecisionRule, Outcome
from asfound.model.number import Value, read_value

D = Decimal
SIMPLE, GUARD = DecisionRule.SIMPLE, DecisionRule.GUARD_BAND
O = Outcome  # noqa: E741

numbers = st.decimals(min_value=-1000, max_value=1000, places=3, allow_nan=False, allow_infinity=False)
doubts = st.decimals(min_value=D("0.001"), max_value=500, places=3, allow_nan=False, allow_infinity=False)
rules = st.sampled_from([SIMPLE, GUARD])


@st.composite
def limits(draw: st.DrawFn) -> dict[str, Any]:
    one, two = draw(numbers), draw(numbers)
    low, high = min(one, two), max(one, two)
    shape = draw(st.sampled_from(["lower", "upper", "both"]))
    return {
        "lower": None if shape == "upper" else low,
        "upper": None if shape == "lower" else high,
        "strict_lower": draw(st.booleans()),
        "strict_upper": draw(st.booleans()),
    }


def value(text: str) -> Value:
    got = read_value(text)
    assert isinstance(got, Value)
    return got


@pytest.mark.parametrize(
    ("y", "simple", "guarded"),
    [
        ("460", O.PASS, O.PASS),
        ("470", O.PASS, O.CONDITIONAL_PASS),
        ("480", O.PASS, O.CONDITIONAL_PASS),
        ("500", O.PASS, O.CONDITIONAL_PASS),
        ("500.0001", O.FAIL, O.CONDITIONAL_FAIL),
        ("530", O.FAIL, O.CONDITIONAL_FAIL),
        ("530.0001", O.FAIL, O.FAIL),
    ],
)
def test_four_states(y: str, simple: Outcome, guarded: Outcome) -> None:
    assert m.decide(D(y), 30.0, upper=D(500)).outcome is simple
    assert m.decide(D(y), 30.0, upper=D(500), rule=GUARD).outcome is guarded


def test_a_strict_limit_is_not_met_by_itself() -> None:
    assert m.decide(D("0.50"), 0.01, upper=D("0.5"), strict_upper=True).outcome is O.FAIL
    assert m.decide(D("0.50"), 0.01, upper=D("0.5"), strict_upper=True, rule=GUARD).outcome is O.CONDITIONAL_FAIL
    assert m.decide(D("0.50"), 0.01, upper=D("0.5"), rule=GUARD).outcome is O.CONDITIONAL_PASS
    assert m.decide(D("2"), 0.01, lower=D("2.0"), strict_lower=True).outcome is O.FAIL
    assert m.decide(D("2"), 0.01, lower=D("2.0")).outcome is O.PASS


def test_sides_are_exact_where_binary_numbers_are_not() -> None:
    """0.1 + 0.2 is not 0.3 in binary; and 30 digits do not fit a double."""
    assert m.decide(D("0.1") + D("0.2"), None, upper=D("0.3")).outcome is O.PASS
    tiny = D("0.100000000000000000000000000001")
    assert m.decide(tiny, None, upper=D("0.1")).outcome is O.FAIL
    assert m.decider(upper=D("0.1"))(tiny, 1e-9)[0] is O.FAIL
    found = m.decide(D("1e30"), None, upper=D("1000000000000000000000000000000.1"))
    assert found.margin == D("0.1")


def test_the_numbers_of_a_decision() -> None:
    found = m.decide(D(82), 5.0, 2.5, lower=D(80), upper=D(120), rule=GUARD, r=D("0.83"))
    assert (found.side, found.margin, found.guard) == ("lower", 2, D("4.15"))
    assert found.outcome is O.CONDITIONAL_PASS and not found.doubt_missing and not found.why
    assert found.chance == pytest.approx(scipy.stats.norm.cdf(1.0), rel=1e-9)


def test_a_band_without_room_never_passes() -> None:
    found = m.decide(D(100), 30.0, lower=D(90), upper=D(110), rule=GUARD)
    assert found.outcome is O.CONDITIONAL_PASS and found.guard == 30


def test_without_a_doubt() -> None:
    simple = m.decide(D(480), None, upper=D(500))
    assert simple.outcome is O.PASS and simple.chance is None and simple.doubt_missing and simple.guard is None
    guarded = m.decide(D(480), None, upper=D(500), rule=GUARD)
    assert guarded.outcome is O.NOT_ASSESSABLE and guarded.doubt_missing and "doubt" in guarded.why
    assert guarded.margin == 20


def test_without_a_limit() -> None:
    for rule in (SIMPLE, GUARD):
        assert m.decide(D(3), 1.0, rule=rule).outcome is O.NO_REQUIREMENT
        assert m.decide_value(value("no output"), None, rule=rule).outcome is O.NO_REQUIREMENT
        assert m.decide_value(value("<3"), None, rule=rule).outcome is O.NO_REQUIREMENT
        assert m.decider(rule=rule)(D(3), 1.0) == (O.NO_REQUIREMENT, None)


def test_a_doubt_of_nothing() -> None:
    assert m.decide(D(5), 0.0, upper=D(5)).chance == 1.0
    assert m.decide(D(5), 0.0, upper=D(5), strict_upper=True).chance == 0.0
    assert m.decide(D(6), 0.0, upper=D(5), rule=GUARD).outcome is O.FAIL


@pytest.mark.parametrize(
    ("text", "limit", "U", "rule", "outcome"),
    [
        ("<0.5", {"upper": D("0.5")}, None, SIMPLE, O.PASS),
        ("<0.5", {"upper": D("0.5"), "strict_upper": True}, None, SIMPLE, O.PASS),
        ("<0.6", {"upper": D("0.5")}, None, SIMPLE, O.NOT_ASSESSABLE),
        ("<0.5", {"lower": D("0.5")}, None, SIMPLE, O.FAIL),
        ("<0.5", {"lower": D("0.4")}, None, SIMPLE, O.NOT_ASSESSABLE),
        ("<0.5", {"lower": D("0.1"), "upper": D("2")}, None, SIMPLE, O.NOT_ASSESSABLE),
        ("<0.5", {"lower": D("0.5"), "upper": D("2")}, None, SIMPLE, O.FAIL),
        (">20", {"lower": D("20")}, None, SIMPLE, O.PASS),
        (">20", {"lower": D("21")}, None, SIMPLE, O.NOT_ASSESSABLE),
        (">20", {"upper": D("20")}, None, SIMPLE, O.FAIL),
        (">20", {"upper": D("21")}, None, SIMPLE, O.NOT_ASSESSABLE),
        (">20", {"lower": D("10"), "upper": D("30")}, None, SIMPLE, O.NOT_ASSESSABLE),
        (">20", {"upper": D("10"), "lower": D("1")}, None, SIMPLE, O.FAIL),
        ("<10", {"upper": D("500")}, 30.0, GUARD, O.PASS),
        ("<480", {"upper": D("500")}, 30.0, GUARD, O.NOT_ASSESSABLE),
        ("<470", {"upper": D("500")}, 30.0, GUARD, O.PASS),
        (">530", {"upper": D("500")}, 30.0, GUARD, O.FAIL),
        (">510", {"upper": D("500")}, 30.0, GUARD, O.NOT_ASSESSABLE),
        ("<10", {"upper": D("500")}, None, GUARD, O.NOT_ASSESSABLE),
    ],
)
def test_bounds_decide_only_where_they_settle_it(
    text: str,
    limit: dict[str, Any],
    U: float | None,
    rule: DecisionRule,
    outcome: Outcome,
) -> None:
    found = m.decide_value(value(text), U, rule=rule, **limit)
    assert found.outcome is outcome
    assert found.chance is None
    assert bool(found.why) == (outcome is O.NOT_ASSESSABLE)
    assert found.strict_upper == limit.get("strict_upper", False)


@given(
    numbers,
    limits(),
    st.one_of(st.none(), doubts),
    rules,
    st.booleans(),
    st.lists(st.decimals(0, 500, places=3), min_size=8, max_size=8),
)
def test_a_bound_never_says_more_than_every_reading_beyond_it(
    bound: Decimal, limit: dict[str, Any], size: Decimal | None, rule: DecisionRule, below: bool, steps: list[Decimal]
) -> None:
    found = m.decide_value(value(f"{'<' if below else '>'}{bound}"), size, rule=rule, **limit)
    if found.outcome is O.NOT_ASSESSABLE:
        return
    for step in (D("0.001"), *steps):
        if step > 0:
            beyond = bound - step if below else bound + step
            assert m.decide(beyond, size, rule=rule, **limit).outcome is found.outcome


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "No value"),
        ("no output", "no output"),
        ("over range", "over range"),
        ("under range", "under range"),
        ("yes", "not a number"),
        ("3 of 10", "not a number"),
        ("not measured: part missing", "part missing"),
        ("not obtainable: no adapter", "no adapter"),
    ],
)
def test_what_is_no_number_is_not_assessable_and_says_why(text: str, words: str) -> None:
    found = m.decide_value(value(text), 1.0, upper=D(5))
    assert found.outcome is O.NOT_ASSESSABLE
    assert words in found.why and found.why.endswith(".")
    assert found.y is None and found.chance is None


def test_a_number_goes_the_plain_way() -> None:
    assert m.decide_value(value("480"), 30.0, upper=D(500)) == m.decide(D(480), 30.0, upper=D(500))


@given(numbers, doubts, limits(), rules, st.integers(-9, 9))
def test_the_unit_makes_no_difference(
    y: Decimal, size: Decimal, limit: dict[str, Any], rule: DecisionRule, power: int
) -> None:
    scaled = {key: val.scaleb(power) if isinstance(val, Decimal) else val for key, val in limit.items()}
    one = m.decide(y, size, rule=rule, **limit)
    two = m.decide(y.scaleb(power), size.scaleb(power), rule=rule, **scaled)
    assert one.outcome is two.outcome
    assert one.chance == pytest.approx(two.chance, rel=1e-9, abs=1e-12)


@given(numbers, doubts, doubts, limits())
def test_more_doubt_never_decides_what_was_undecided(
    y: Decimal, one: Decimal, two: Decimal, limit: dict[str, Any]
) -> None:
    less, more = min(one, two), max(one, two)
    undecided = (O.CONDITIONAL_PASS, O.CONDITIONAL_FAIL)
    if m.decide(y, less, rule=GUARD, **limit).outcome in undecided:
        assert m.decide(y, more, rule=GUARD, **limit).outcome in undecided


@given(numbers, doubts, st.booleans())
def test_on_the_limit_the_chance_is_one_half(limit: Decimal, size: Decimal, upper: bool) -> None:
    found = m.decide(limit, size, **({"upper": limit} if upper else {"lower": limit}))
    assert found.chance == 0.5


@given(numbers, doubts, limits())
def test_guarded_and_simple_never_contradict(y: Decimal, size: Decimal, limit: dict[str, Any]) -> None:
    simple = m.decide(y, size, **limit).outcome
    guarded = m.decide(y, size, rule=GUARD, **limit).outcome
    assert (simple is O.PASS) == (guarded in (O.PASS, O.CONDITIONAL_PASS))


@given(numbers, doubts, limits())
def test_a_guarded_pass_keeps_its_risk(y: Decimal, size: Decimal, limit: dict[str, Any]) -> None:
    """ILAC-G8:09/2019 (from memory): beyond w = U at k = 2 at most 2.275 % lie on the wrong side of each limit."""
    found = m.decide(y, size, rule=GUARD, **limit)
    assert found.chance is not None
    if found.outcome is O.PASS:
        assert found.chance >= 1 - 2 * 0.02276
    if found.outcome is O.FAIL:
        assert found.chance <= 0.02276


@given(numbers, doubts, limits())
def test_chance_against_scipy(y: Decimal, size: Decimal, limit: dict[str, Any]) -> None:
    """scipy.stats.norm as oracle."""
    u = float(size) / 2
    high = 1.0 if limit["upper"] is None else scipy.stats.norm.cdf(float(limit["upper"] - y) / u)
    low = 0.0 if limit["lower"] is None else scipy.stats.norm.cdf(float(limit["lower"] - y) / u)
    assert m.decide(y, size, **limit).chance == pytest.approx(high - low, abs=1e-12)


def test_far_tails_keep_their_digits() -> None:
    """Ten standard deviations out, a difference of two numbers near 1 would be 0."""
    found = m.decide(D(200), 16.0, lower=D(80), upper=D(120)).chance
    assert found == pytest.approx(scipy.stats.norm.sf(10.0), rel=1e-9)


@given(
    numbers,
    st.one_of(st.none(), st.just(D(0)), doubts),
    limits(),
    rules,
    st.sampled_from([D(0), D("0.83"), D(1), D(3)]),
)
def test_the_fast_road_is_the_slow_road(
    y: Decimal, size: Decimal | None, limit: dict[str, Any], rule: DecisionRule, r: Decimal
) -> None:
    number = None if size is None else float(size)
    slow = m.decide(y, number, 2.2, rule=rule, r=r, **limit)
    outcome, chance = m.decider(rule=rule, r=r, k=2.2, **limit)(y, number)
    assert outcome is slow.outcome
    assert chance == pytest.approx(slow.chance, rel=1e-9, abs=1e-14) if slow.chance is not None else chance is None


@given(limits(), doubts, st.sampled_from([-1, 0, 1]), st.sampled_from(["limit", "in", "out"]), st.integers(1, 25))
def test_the_fast_road_at_the_edges(limit: dict[str, Any], size: Decimal, step: int, where: str, places: int) -> None:
    """At a limit, at the edges of the guard band, and one unit of a far digit beside them."""
    edge = limit["upper"] if limit["upper"] is not None else limit["lower"]
    shift = {"limit": D(0), "in": -size, "out": size}[where]
    y = edge + shift + D(step).scaleb(-places)
    for rule in (SIMPLE, GUARD):
        slow = m.decide(y, float(size), rule=rule, **limit)
        outcome, chance = m.decider(rule=rule, **limit)(y, float(size))
        assert outcome is slow.outcome
        assert slow.chance is not None and chance == pytest.approx(slow.chance, rel=1e-7, abs=1e-12)


def test_a_float_doubt_counts_as_it_is_printed() -> None:
    """0.3 is the decimal 0.3, not its binary neighbour: at the edge the reader's sum and ours agree."""
    found = m.decide(D("0.7"), 0.3, upper=D(1), rule=GUARD)
    assert found.guard == D("0.3") and found.outcome is O.CONDITIONAL_PASS


@pytest.mark.parametrize(
    "call",
    [
        lambda: m.decide(D(1), 1.0, lower=D(2), upper=D(1)),
        lambda: m.decide(D(1), -1.0, upper=D(1)),
        lambda: m.decide(D(1), math.nan, upper=D(1)),
        lambda: m.decide(D(1), 1.0, 0.0, upper=D(1)),
        lambda: m.decide(D(1), 1.0, upper=D(1), r=D(-1)),
        lambda: m.decider(lower=D(2), upper=D(1)),
        lambda: m.decider(upper=D(1))(D(1), math.nan),
    ],
)
def test_what_cannot_be_is_refused(call: Any) -> None:
    with pytest.raises(ValueError):
        call()


@pytest.mark.parametrize("far", [3.0, 9.0, 30.0])
def test_a_chance_far_outside_is_small_and_not_none(far: float) -> None:
    """Between two limits one apart, seen from `far` doubts beyond: the difference of two tails (scipy's own)."""
    exact = scipy.stats.norm.sf(far) - scipy.stats.norm.sf(far + 1.0)
    assert exact > 0.0
    assert m.conformance(far + 1.0, 1.0, 0.0, 1.0) == pytest.approx(exact, rel=1e-9)
    assert m.conformance(-far, 1.0, 0.0, 1.0) == pytest.approx(exact, rel=1e-9)
    for y in (D(far) + 1, -D(far)):
        quick = m.decider(lower=D(0), upper=D(1))(y, 2.0)[1]
        assert quick == pytest.approx(exact, rel=1e-9)
