"""The packaged limits for ventilators against the published figures, and what the protocol asks before what.

Written out by hand, not taken from the data. ISO 80601-2-12 and ISO 80601-2-55 were not read: their figures are `from
memory`. The order of work and the swap table: common practice, no source, where nothing else is named.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits import build_book, packaged
from asfound.model.limits import Book, Fixed, LimitKind, Percent, Sense, Sum
from asfound.model.verdict import Outcome
from tests.reference.test_limits_at_work import computed, verdicts

MEMORY = "from memory"
VENTILATOR, OXYGEN = "iso-80601-2-12-2020", "iso-80601-2-55-2018"


SPOKEN = {
    (VENTILATOR, "airway-pressure-shown"), (OXYGEN, "oxygen-shown"), (OXYGEN, "agent-shown"),
    (OXYGEN, "carbon-dioxide-shown"),
}  # fmt: skip
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


@pytest.mark.parametrize(
    ("set_name", "name", "test", "fixed", "unit", "share"),
    [
        # Airway pressure ± (2 cmH2O + 4 %) (ISO 80601-2-12, from memory).
        (VENTILATOR, "airway-pressure-shown", "airway-pressure-shown", "2", "cmH2O", "4"),
        # Oxygen ± (2.5 vol% + 2.5 % of the level) (ISO 80601-2-55, from memory).
        (OXYGEN, "oxygen-shown", "oxygen-monitor", "2.5", "%", "2.5"),
        # Halogenated agent ± (0.2 vol% + 15 %), carbon dioxide ± (0.43 vol% + 8 %) (ISO 80601-2-55, from memory).
        (OXYGEN, "agent-shown", "agent-shown", "0.2", "%", "15"),
        (OXYGEN, "carbon-dioxide-shown", "carbon-dioxide-shown", "0.43", "%", "8"),
    ],
)
def test_figure(book: Book, set_name: str, name: str, test: str, fixed: str, unit: str, share: str) -> None:
    watched = {one for at, one in SPOKEN if at == set_name}
    assert set(book.sets[set_name].limits) == watched, "no figure stands there that nobody watches"
    limit = book.sets[set_name].limits[name]
    assert (limit.test, limit.sense, limit.around, str(limit.status)) == (test, Sense.WITHIN, "reference", MEMORY)
    assert limit.kind is LimitKind.PRODUCT_STANDARD
    assert limit.gives_way_to == ("maker's limit",), "the maker's own statement goes first"
    assert isinstance(limit.bound, Sum)
    first, second = limit.bound.terms
    assert isinstance(first, Fixed)
    assert isinstance(second, Percent)
    assert (first.value.value, first.value.unit) == (Decimal(fixed), unit)
    assert (second.percent, second.of) == (Decimal(share), "reference")


@pytest.mark.parametrize(
    ("reference", "shown", "outcome"),
    [
        # At 20 cmH2O: 2 + 0.8 = 2.8 either way (computed from the figure from memory).
        ("20 cmH2O", "22.8", Outcome.PASS),
        ("20 cmH2O", "22.9", Outcome.FAIL),
        ("20 cmH2O", "17.2", Outcome.PASS),
        # At 5 cmH2O: 2.2.
        ("5 cmH2O", "7.2", Outcome.PASS),
        ("5 cmH2O", "7.3", Outcome.FAIL),
    ],
)
def test_airway_pressure_at_work(book: Book, reference: str, shown: str, outcome: Outcome) -> None:
    made = computed(book, [VENTILATOR], "airway-pressure-shown", "cmH2O", [(shown, {"reference": reference})])
    assert verdicts(made)["airway-pressure-shown"][0] is outcome


@pytest.mark.parametrize(
    ("reference", "shown", "outcome"),
    # At 40 %: 2.5 + 1.0 = 3.5 per cent by volume either way (computed from the figure from memory).
    [("40 %", "43.5", Outcome.PASS), ("40 %", "43.6", Outcome.FAIL), ("21 %", "18.0", Outcome.PASS)],
)
def test_oxygen_at_work(book: Book, reference: str, shown: str, outcome: Outcome) -> None:
    made = computed(book, [OXYGEN], "oxygen-monitor", "%", [(shown, {"reference": reference})])
    assert verdicts(made)["oxygen-shown"][0] is outcome


@pytest.mark.parametrize(
    ("name", "reference", "shown", "outcome"),
    [
        # Agent at 2 %: 0.2 + 0.3 = 0.5; carbon dioxide at 5 %: 0.43 + 0.4 = 0.83 (computed; figures from memory).
        ("agent-shown", "2 %", "2.5", Outcome.PASS),
        ("agent-shown", "2 %", "2.51", Outcome.FAIL),
        ("agent-shown", "0 %", "0.21", Outcome.FAIL),
        ("carbon-dioxide-shown", "5 %", "4.17", Outcome.PASS),
        ("carbon-dioxide-shown", "5 %", "4.16", Outcome.FAIL),
    ],
)
def test_agent_and_carbon_dioxide_at_work(book: Book, name: str, reference: str, shown: str, outcome: Outcome) -> None:
    made = computed(book, [OXYGEN], name, "%", [(shown, {"reference": reference})])
    assert verdicts(made)[name][0] is outcome


def test_no_packaged_figure_speaks_to_a_volume(book: Book) -> None:
    """The maker states ± (a mL + b %); there is no universal tenth (ISO 80601-2-12, from memory)."""
    tests = {limit.test for one in book.sets.values() for limit in one.limits.values()}
    assert "delivered-volume" not in tests
    made = computed(
        book, [VENTILATOR], "delivered-volume", "mL", [("402", {"setting": "450 mL", "gas condition": "ATPD"})]
    )
    assert {one.outcome for one in made.verdicts} == {Outcome.NO_REQUIREMENT}


def test_a_volume_is_asked_for_its_gas_condition(book: Book) -> None:
    """A volume without its condition says nothing (ISO 80601-2-12 practice, from memory)."""
    columns = book.protocols["ventilator"].tests["delivered-volume"].conditions
    assert columns["gas condition"].required
    assert set(columns["gas condition"].values) >= {"BTPS", "ATPD", "STPD"}


def test_record_first_and_the_event_before_other_settings(book: Book) -> None:
    protocol = book.protocols["ventilator"]
    order, tests = list(protocol.order), protocol.tests
    record = [name for name in order if name in tests and {"device-record"} & set(tests[name].reaches)]
    assert order[: len(record)] == record, "logs are read before all else (common practice, no source)"
    running = [at for at, name in enumerate(order) if name in tests and tests[name].functional]
    assert min(running) == order.index("open-circuit-pressure"), "the circuit of the event comes first"
    assert order.index("open-circuit-alarm") < order.index("delivered-volume")
    assert set(tests) <= set(order), "every test has its place in the order of work"


def test_what_alters_comes_last_and_the_pull_last_of_all(book: Book) -> None:
    """Altering steps come behind what can be read at rest (ASTM E860-22, 1.1 to 1.3, confirmed for the idea)."""
    protocol = book.protocols["ventilator"]
    order, tests = protocol.order, protocol.tests
    altering = [name for name, test in tests.items() if test.alters in {"changes", "destroys"}]
    assert sorted(altering) == ["battery-runs", "connector-pull-off"]
    assert list(order[-2:]) == ["battery-runs", "connector-pull-off"]
    assert tests["connector-pull-off"].alters == "changes", "a force on exemplars destroys nothing of the event"


def test_swap_table_is_tube_by_circuit_by_limit(book: Book) -> None:
    one = book.protocols["ventilator"].tests["open-circuit-alarm"]
    assert set(one.conditions) == {"tube", "limit", "circuit"}
    assert set(one.coverage) == {"tube", "limit"}
    assert {"subject", "none"} <= set(one.conditions["tube"].values)


def test_every_line_of_the_starter_list_can_be_reached(book: Book) -> None:
    """A rival that no test of the protocol speaks to could never be ruled out."""
    protocol = book.protocols["ventilator"]
    reached = {topic for test in protocol.tests.values() for topic in test.reaches}
    known = set(protocol.topics)
    starter = next(one for one in packaged().starters.values() if one.starter == "ventilation")
    for name, line in starter.lines.items():
        mine = set(line.topics) & known
        assert mine, f"{name}: {line.topics}"
        assert mine <= reached, name


@pytest.mark.parametrize("name", ["circuit-leak", "tube-back-pressure", "open-circuit-pressure", "open-circuit-alarm"])
def test_circuit_of_the_event_is_asked_for(book: Book, name: str) -> None:
    assert "circuit-of-the-event" in book.protocols["ventilator"].tests[name].cautions
