"""The packaged limits for infant incubators and radiant warmers against the published figures, one row a figure.

Written out by hand, not taken from the data. IEC 60601-2-19 (only its scope was read) and
IEC 60601-2-21 (not read): every figure here is `from memory`.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits import build_book, packaged
from asfound.measure.units import convert, unit
from asfound.model.base import Amount
from asfound.model.limits import Book, Bound, Fixed, Limit, LimitKind, Sense
from asfound.model.verdict import Outcome
from tests.reference.test_limits_at_work import computed, verdicts

MEMORY = "from memory"
INCUBATOR, WARMER = "iec-60601-2-19-2020", "iec-60601-2-21-2020"

# set, limit, test, what is allowed from (None: no lower end), up to, unit, conditions.
ROWS: list[tuple[str, str, str, str | None, str, str, dict[str, tuple[str, ...]]]] = [
    # Mean air within 1.5 °C of the setting, so 30.5 to 33.5 at 32 and 34.5 to 37.5 at 36 (from memory; computed).
    (INCUBATOR, "air-mean-low", "air-control", "30.5", "33.5", "degC", {"setting": ("32 °C",), "what": ("mean",)}),
    (INCUBATOR, "air-mean-high", "air-control", "34.5", "37.5", "degC", {"setting": ("36 °C",), "what": ("mean",)}),
    (INCUBATOR, "air-steadiness", "air-steadiness", None, "0.5", "K", {}),
    (INCUBATOR, "air-uniformity-level", "air-uniformity", "-0.8", "0.8", "K", {"mattress": ("level",)}),
    (INCUBATOR, "air-uniformity-tilted", "air-uniformity", "-2.0", "2.0", "K", {"mattress": ("tilted",)}),
    (INCUBATOR, "air-overshoot", "air-overshoot", None, "2", "K", {}),
    (INCUBATOR, "air-shown", "air-shown", "-0.8", "0.8", "K", {}),
    # Skin sensor ±0.3 °C, at 36 °C (from memory; computed).
    (INCUBATOR, "skin-sensor", "probe-in-bath", "35.7", "36.3", "degC", {"bath": ("36 °C",)}),
    (INCUBATOR, "cut-out", "cut-out-temperature", None, "38", "degC", {"range": ("normal",)}),
    (INCUBATOR, "cut-out-override", "cut-out-temperature", None, "40", "degC", {"range": ("override",)}),
    (INCUBATOR, "surface-metal", "incubator-surfaces", None, "40", "degC", {"material": ("metal",)}),
    (INCUBATOR, "surface-other", "incubator-surfaces", None, "43", "degC", {"material": ("other",)}),
    (INCUBATOR, "carbon-dioxide", "carbon-dioxide", None, "0.5", "%", {}),
    (INCUBATOR, "air-speed", "air-speed", None, "0.35", "m/s", {}),
    (INCUBATOR, "sound-inside", "sound-inside", None, "60", "dB(A)", {"source": ("unit running",)}),
    (WARMER, "mattress-uniformity", "mattress-uniformity", "-2", "2", "K", {}),
    (WARMER, "surface-metal", "warmer-surfaces", None, "40", "degC", {"material": ("metal",)}),
    (WARMER, "surface-other", "warmer-surfaces", None, "43", "degC", {"material": ("other",)}),
    (WARMER, "skin-sensor", "warmer-probe-in-bath", "35.7", "36.3", "degC", {"bath": ("36 °C",)}),
    # At least every quarter of an hour in manual mode (from memory).
    (WARMER, "manual-timer-alarm", "warmer-manual-timer", None, "15", "min", {"answer": ("alarm",)}),
]
SPOKEN = {(set_name, name) for set_name, name, *_ in ROWS} | {(INCUBATOR, "alarm-at-fault")}


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


def amount(bound: Bound | None, symbol: str) -> Decimal:
    assert isinstance(bound, Fixed)
    value: Amount = bound.value
    from_, to = unit(value.unit), unit(symbol)
    assert from_ is not None and to is not None
    return convert(value.value, from_, to)


@pytest.mark.parametrize(("set_name", "name", "test", "low", "high", "symbol", "when"), ROWS, ids=lambda v: str(v)[:30])
def test_figure(
    book: Book, set_name: str, name: str, test: str, low: str | None, high: str, symbol: str,
    when: dict[str, tuple[str, ...]],
) -> None:  # fmt: skip
    limit: Limit = book.sets[set_name].limits[name]
    assert (limit.test, limit.when, str(limit.status)) == (test, when, MEMORY)
    if low is None:
        assert limit.sense is Sense.AT_MOST
        assert amount(limit.bound, symbol) == Decimal(high)
    else:
        assert limit.sense is Sense.BETWEEN
        assert (amount(limit.low, symbol), amount(limit.high, symbol)) == (Decimal(low), Decimal(high))


def test_no_limit_of_the_two_sets_is_unwatched(book: Book) -> None:
    """A figure that stands in the data and not in this file would be nobody's."""
    assert {(one, name) for one in (INCUBATOR, WARMER) for name in book.sets[one].limits} == SPOKEN


def test_alarm_at_a_fault(book: Book) -> None:
    """A fan that stands, a closed way, a lost probe or supply are announced (IEC 60601-2-19, from memory)."""
    limit = book.sets[INCUBATOR].limits["alarm-at-fault"]
    assert (limit.sense, limit.answer, str(limit.status)) == (Sense.ANSWER, "yes", MEMORY)
    known = book.protocols["incubator"].tests["incubator-alarms"].conditions["fault"].values
    assert set(limit.when["fault"]) < set(known)
    assert not any(fault.startswith("skin") for fault in limit.when["fault"]), "no figure of theirs is known for sure"


def test_only_the_type_test_of_a_new_design_is_for_reference(book: Book) -> None:
    """Carbon dioxide is let in by the type test's own arrangement (IEC 60601-2-19, from memory): no bench verdict."""
    kinds = {name: limit.kind for one in (INCUBATOR, WARMER) for name, limit in book.sets[one].limits.items()}
    assert {name for name, kind in kinds.items() if kind.reference_only} == {"carbon-dioxide"}
    assert set(kinds.values()) == {LimitKind.PRODUCT_STANDARD, LimitKind.TYPE_TEST}


@pytest.mark.parametrize(
    ("shown", "outcome"),
    [("35.7", Outcome.PASS), ("35.6", Outcome.FAIL), ("36.3", Outcome.PASS), ("34.6", Outcome.FAIL)],
)
def test_skin_sensor_at_work(book: Book, shown: str, outcome: Outcome) -> None:
    """±0.3 °C at 36 °C (IEC 60601-2-19, from memory; computed), the very end allowed."""
    made = computed(book, [INCUBATOR], "probe-in-bath", "degC", [(shown, {"probe": "subject", "bath": "36.00 °C"})])
    assert verdicts(made)["skin-sensor"][0] is outcome


def test_bath_of_another_temperature_is_not_held_to_it(book: Book) -> None:
    """The bound is written for 36 °C; a reading at 34 °C finds no limit instead of a wrong one."""
    made = computed(book, [INCUBATOR], "probe-in-bath", "degC", [("34.0", {"probe": "subject", "bath": "34.00 °C"})])
    assert {one.outcome for one in made.verdicts} == {Outcome.NO_REQUIREMENT}


@pytest.mark.parametrize(
    ("reading", "range_", "outcome"),
    [("37.9", "normal", Outcome.PASS), ("39.9", "normal", Outcome.FAIL), ("39.9", "override", Outcome.PASS)],
)
def test_cut_out_goes_with_its_range(book: Book, reading: str, range_: str, outcome: Outcome) -> None:
    """38 °C, or 40 °C where the range above 37 °C was chosen (IEC 60601-2-19, from memory)."""
    made = computed(book, [INCUBATOR], "cut-out-temperature", "degC", [(reading, {"range": range_})])
    assert [one.outcome for one in made.verdicts if one.limit] == [outcome]


def test_stored_record_comes_before_all_that_could_write_over_it(book: Book) -> None:
    """Logs are read before function tests (common practice, no source)."""
    for name, first in (("incubator", ("stored-trend", "stored-alarms")), ("radiant-warmer", ("warmer-trend",))):
        order = book.protocols[name].order
        tests = book.protocols[name].tests
        assert order[: len(first)] == first
        running = [at for at, test in enumerate(order) if test in tests and tests[test].functional]
        assert max(order.index(one) for one in first) < min(running)
        assert set(tests) <= set(order), "every test has its place in the order of work"


def test_a_suspect_connector_is_read_at_rest_first_and_parted_last(book: Book) -> None:
    """Unmating a suspect connector changes it (ASTM E860-22, 1.1 to 1.3, confirmed for the principle)."""
    for name, rest, parted in (
        ("incubator", "connector-resistance", "connector-cycled"),
        ("radiant-warmer", "warmer-connector", "warmer-connector-cycled"),
    ):
        protocol = book.protocols[name]
        assert (protocol.tests[rest].alters, protocol.tests[parted].alters) == ("none", "changes")
        assert not protocol.tests[rest].energised and not protocol.tests[parted].energised
        assert protocol.order.index(rest) < protocol.order.index(parted) == len(protocol.order) - 1
        assert "cycles" in protocol.tests[parted].conditions


def test_the_swap_table_changes_one_part_at_a_time(book: Book) -> None:
    """Probe, socket and device are conditions of the bath test, so that an error is seen to go along with one of them
    (common practice, no source)."""
    for name, test in (("incubator", "probe-in-bath"), ("radiant-warmer", "warmer-probe-in-bath")):
        one = book.protocols[name].tests[test]
        assert {"probe", "bath", "socket", "device"} <= set(one.conditions)
        assert set(one.coverage) >= {"probe", "bath"}
