"""The packaged limits and protocols of rooms, isolated supplies, fluid warmers and powered supports.

Written out by hand from the documents named, as in `test_limits.py`, each with its source and status. None of the
standards was readable: what is said of them is from memory, and said to be; the alarm at 5 mA stands in another text.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits import build_book, packaged
from asfound.limits.protocol_checks import closure
from asfound.measure.units import convert, unit
from asfound.model.limits import Book, Fixed, LimitKind, Sense
from asfound.model.limits import Test as ProtocolTest

MEMORY, SECONDARY, PRACTICE = "from memory", "secondary source", "common practice, no source"
WIRING, IT_SYSTEM, WARMING = "nfpa-99-2012-wiring", "iec-60364-7-710", "common-practice-fluid-warming"

# set, limit, sense, bound, status. NFPA 99:2012, chapter 6: grounding system and receptacle testing (from memory);
# IEC 60364-7-710: 0.2 ohm of bonding in rooms of group 2 (from memory); 42 degC: common practice, no source.
ROWS = (
    (WIRING, "socket-earth-new", Sense.AT_MOST, "0.1 Ω", MEMORY),
    (WIRING, "socket-earth-existing", Sense.AT_MOST, "0.2 Ω", MEMORY),
    (WIRING, "earth-difference-new", Sense.AT_MOST, "20 mV", MEMORY),
    (WIRING, "earth-difference-critical", Sense.AT_MOST, "40 mV", MEMORY),
    (WIRING, "earth-difference-general", Sense.AT_MOST, "500 mV", MEMORY),
    (WIRING, "socket-retention", Sense.AT_LEAST, "1.13 N", MEMORY),
    (IT_SYSTEM, "socket-earth", Sense.AT_MOST, "0.2 Ω", MEMORY),
    (WARMING, "fluid-temperature", Sense.AT_MOST, "42 °C", PRACTICE),
)
# set, limit, answer asked for, status. The alarm at 5.0 mA: NFPA 99, 6.3.2.6.3 (read in another text).
ANSWERS = (
    (WIRING, "monitor-alarms", "yes", SECONDARY),
    (WIRING, "socket-polarity", "yes", MEMORY),
    (WARMING, "cord-sound", "no", PRACTICE),
)
SPOKEN = {(one, name) for one, name, *_ in (*ROWS, *ANSWERS)}
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


@pytest.mark.parametrize(("set_name", "name", "sense", "bound", "status"), ROWS)
def test_figure(book: Book, set_name: str, name: str, sense: Sense, bound: str, status: str) -> None:
    limit = book.sets[set_name].limits[name]
    assert (limit.sense, str(limit.status)) == (sense, status)
    assert isinstance(limit.bound, Fixed) and limit.bound.value.text == bound


@pytest.mark.parametrize(("set_name", "name", "answer", "status"), ANSWERS)
def test_answer(book: Book, set_name: str, name: str, answer: str, status: str) -> None:
    limit = book.sets[set_name].limits[name]
    assert (limit.sense, limit.answer, str(limit.status)) == (Sense.ANSWER, answer, status)


def test_nothing_else_stands_in_these_sets(book: Book) -> None:
    assert {(one, name) for one in (WIRING, WARMING) for name in book.sets[one].limits} == SPOKEN - {
        (IT_SYSTEM, "socket-earth")
    }


def test_the_force_is_the_weight_of_the_mass_in_the_document(book: Book) -> None:
    """4 oz is 113.4 g and is printed as 115 g (from memory); its weight at 9.80665 m/s2 is 1.128 N (computed)."""
    bound = book.sets[WIRING].limits["socket-retention"].bound
    assert isinstance(bound, Fixed)
    assert float(bound.value.value) == pytest.approx(0.115 * 9.80665, abs=0.003)


def test_the_resistor_of_the_alarm_is_200_ohm_for_each_volt(book: Book) -> None:
    """200 ohm for each volt draws 5.0 mA at any voltage (NFPA 99, secondary); 120 V ask for 24.0 kohm (computed)."""
    (resistor,) = book.sets[WIRING].limits["monitor-alarms"].when["resistor"]
    ohms = convert(Decimal(resistor.removesuffix(" kΩ")), unit("kΩ"), unit("Ω"))
    assert ohms == Decimal(120 * 200) and Decimal(120) / ohms == Decimal("0.005")


def test_age_and_use_of_a_room_decide_and_one_that_is_not_told_gets_the_older_figure_of_earth_only(book: Book) -> None:
    """New wiring 20 mV and 0.1 ohm, older 40 or 500 mV and 0.2 ohm (NFPA 99, from memory).

    Where the age is not told no voltage is judged: the three figures differ by twenty-five times.
    """
    limits = book.sets[WIRING].limits
    assert set(limits["socket-earth-new"].only) == {"construction"} and not limits["socket-earth-existing"].only
    assert set(limits["socket-earth-existing"].unless) == {"construction"}
    for name in ("earth-difference-critical", "earth-difference-general"):
        assert set(limits[name].only) == {"area", "construction"}


def test_what_workshops_use_is_no_limit(book: Book) -> None:
    assert {limit.kind for limit in book.sets[WARMING].limits.values()} == {LimitKind.COMMON_PRACTICE}


# --- protocols: common practice, no source


def _tests(book: Book, protocol: str) -> dict[str, ProtocolTest]:
    return {name: test for one in closure(protocol, book.protocols) for name, test in book.protocols[one].tests.items()}


ORDERED = (
    ("powered-support", "support-record", "unwanted-movement"),
    ("powered-support", "key-line-resistance", "unwanted-movement"),
    ("powered-support", "unwanted-movement", "control-cable-flexed"),
    ("powered-support", "control-cable-flexed", "plug-opened"),
    ("powered-support", "plug-opened", "damp-trials"),
    ("isolated-power", "monitor-record", "monitor-alarms"),
    ("isolated-power", "hazard-shown", "hazard-by-device"),
    ("isolated-power", "hazard-by-device", "monitor-alarms"),
    ("room-wiring", "socket-map", "socket-retention"),
    ("room-wiring", "earth-to-earth-open", "earth-to-earth-loaded"),
    ("room-wiring", "reach-difference", "socket-retention"),
    ("isolated-power-load", "body-current", "swap"),
    ("isolated-power-load", "touch-current", "cord-earth-flexed"),
    ("fluid-warmer", "warmer-record", "heater-temperature"),
    ("fluid-warmer", "case-insulation", "insulation-warm"),
    ("fluid-warmer", "body-current", "fluid-temperature"),
)


@pytest.mark.parametrize(("protocol", "first", "then"), ORDERED)
def test_what_would_be_lost_comes_first(book: Book, protocol: str, first: str, then: str) -> None:
    order = list(book.protocols[protocol].order)
    assert order.index(first) < order.index(then)


@pytest.mark.parametrize(
    ("protocol", "name"),
    [
        ("powered-support", "plug-opened"),
        ("powered-support", "damp-trials"),
        ("powered-support", "control-cable-flexed"),
        ("isolated-power-load", "cord-earth-flexed"),
        ("fluid-warmer", "insulation-warm"),
        ("fluid-warmer", "overheat-cutout"),
    ],
)
def test_what_cannot_be_undone_needs_every_party(book: Book, protocol: str, name: str) -> None:
    """Unmating a plug with residue, flexing and warming a damp insulation change evidence (ASTM E860-22, confirmed for
    the principle)."""
    assert _tests(book, protocol)[name].alters == "changes"


def test_the_plug_at_rest_and_the_exemplar_change_nothing(book: Book) -> None:
    tests = _tests(book, "powered-support")
    assert {tests[name].alters for name in ("key-line-resistance", "acting-resistance", "unwanted-movement")} == {
        "none"
    }
    assert "exemplar" in tests["acting-resistance"].cautions


def test_the_swap_table_crosses_device_socket_and_earth(book: Book) -> None:
    swap = _tests(book, "fluid-warmer")["swap"]
    assert tuple(swap.coverage) == ("device", "socket", "earth")
    assert swap.conditions["earth"].values == ("made", "open", "not applicable")


def test_a_floating_voltage_cannot_reach_a_current_through_a_person(book: Book) -> None:
    """The trap of the 60 V: only a reading through a load reaches what flowed (IEC 60601-1, figure 12, from memory)."""
    tests = _tests(book, "isolated-power-load")
    assert "case-current" not in tests["case-voltage"].reaches and "case-current" in tests["body-current"].reaches
    assert "case-current" not in tests["touch-current"].reaches  # a grounded bench does not repeat an isolated room


def test_a_monitor_of_current_and_one_of_resistance_stay_apart(book: Book) -> None:
    """A line-isolation monitor alarms at 5 mA, an insulation monitor at 50 kohm (both from memory).

    Neither limit stands on a test of the other.
    """
    alarm = book.sets[IT_SYSTEM].limits["insulation-alarm"]
    assert alarm.test == "insulation-monitor" and isinstance(alarm.bound, Fixed) and alarm.bound.value.text == "50 kΩ"
    assert book.sets[WIRING].limits["monitor-alarms"].test == "monitor-alarms"


def test_every_reading_of_a_support_that_moves_warns_of_it(book: Book) -> None:
    for name, test in book.protocols["powered-support"].tests.items():
        if test.energised and test.functional:
            assert "moves-by-itself" in test.cautions, name
