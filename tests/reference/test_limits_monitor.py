"""The packaged limits and protocols of patient monitors, leads and electrodes against published figures.

Written out by hand from the documents named, as in `test_limits.py`, each with its source and status. None of the
particular standards was readable: what is said of them is from memory, and said to be.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits import build_book, packaged
from asfound.limits.protocol_checks import closure
from asfound.measure.units import unit
from asfound.model.base import Amount
from asfound.model.limits import Book, Bound, Fixed, Greatest, Limit, LimitKind, Percent, Sense
from asfound.model.limits import Test as ProtocolTest

MEMORY, SECONDARY, PRACTICE = "from memory", "secondary source", "common practice, no source"
STUDIES, CUFF, CUSTOM = "monitor-studies", "iec-80601-2-30-2018", "common-practice-monitoring"

# set, limit, fixed part, share of the setting in per cent: whichever is greater. All from memory.
# IEC 60601-2-27 (rate), IEC 80601-2-30 (cuff), IEC 60601-2-34 (line in a vessel).
GREATER = (
    ("iec-60601-2-27-2011", "heart-rate", "5 /min", "10"),
    (CUFF, "pressure-static", "3 mmHg", "2"),
    ("iec-60601-2-34-2011", "invasive-pressure", "4 mmHg", "4"),
)
# set, limit, half-width. ISO 80601-2-56 and ASTM E1112 from 37.0 to 39.0 degC (from memory).
TEMPERATURE = (("thermometers", "temperature", "0.3 K"), ("thermometers", "temperature-narrow", "0.1 K"))
# set, limit, bound, kind, status. IEC 60601-2-27, alarm at the latest (from memory); IEC 80601-2-30, highest pressure
# (from memory); ISO 80601-2-61 (from memory); guidance in the United States of 2013 (read on a page for clinicians);
# ISO 81060-2:2018, criterion 1, standard deviation (read in an open review's table).
AT_MOST = (
    ("iec-60601-2-27-2011", "alarm-time", "10 s", LimitKind.PRODUCT_STANDARD, MEMORY),
    (CUFF, "pressure-highest", "300 mmHg", LimitKind.PRODUCT_STANDARD, MEMORY),
    (CUFF, "pressure-highest-neonate", "150 mmHg", LimitKind.PRODUCT_STANDARD, MEMORY),
    (CUFF, "pressure-highest-fault", "330 mmHg", LimitKind.TYPE_TEST, MEMORY),
    (CUFF, "pressure-highest-fault-neonate", "165 mmHg", LimitKind.TYPE_TEST, MEMORY),
    (STUDIES, "oximeter", "4.0 %", LimitKind.TYPE_TEST, MEMORY),
    (STUDIES, "oximeter-transmission", "3.0 %", LimitKind.TYPE_TEST, SECONDARY),
    (STUDIES, "oximeter-reflectance", "3.5 %", LimitKind.TYPE_TEST, SECONDARY),
    (STUDIES, "pressure-deviation", "8 mmHg", LimitKind.TYPE_TEST, SECONDARY),
    (CUSTOM, "pressure-leak", "6 mmHg", LimitKind.COMMON_PRACTICE, PRACTICE),
)

SPOKEN = (
    {(set_name, name) for set_name, name, *_ in (*GREATER, *TEMPERATURE, *AT_MOST)}
    | {(STUDIES, "pressure-mean")}
    | {(CUSTOM, "lead-resistor")}
)
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


def _fixed(bound: Bound | None) -> Amount:
    assert isinstance(bound, Fixed)
    return bound.value


def _limit(book: Book, set_name: str, name: str) -> Limit:
    return book.sets[set_name].limits[name]


@pytest.mark.parametrize(("set_name", "name", "fixed", "share"), GREATER)
def test_whichever_is_greater(book: Book, set_name: str, name: str, fixed: str, share: str) -> None:
    limit = _limit(book, set_name, name)
    assert (limit.sense, limit.around, str(limit.status)) == (Sense.WITHIN, "setting", MEMORY)
    assert isinstance(limit.bound, Greatest)
    amount, percent = limit.bound.among
    assert _fixed(amount).text == fixed
    assert isinstance(percent, Percent) and (percent.percent, percent.of) == (Decimal(share), "setting")
    assert limit.kind is LimitKind.PRODUCT_STANDARD


@pytest.mark.parametrize(("set_name", "name", "half"), TEMPERATURE)
def test_temperature(book: Book, set_name: str, name: str, half: str) -> None:
    limit = _limit(book, set_name, name)
    assert (_fixed(limit.low).text, _fixed(limit.high).text) == (f"-{half}", half)
    assert (limit.sense, str(limit.status)) == (Sense.BETWEEN, MEMORY)
    if name.endswith("narrow"):
        assert book.sets[set_name].authority(name) == ("ASTM E1112", "2000")
        points = [Amount.read(one).value for one in limit.only["setting"]]
        assert (min(points), max(points)) == (37, 39)


@pytest.mark.parametrize(("set_name", "name", "bound", "kind", "status"), AT_MOST)
def test_at_most(book: Book, set_name: str, name: str, bound: str, kind: LimitKind, status: str) -> None:
    limit = _limit(book, set_name, name)
    assert (limit.sense, _fixed(limit.bound).text) == (Sense.AT_MOST, bound)
    assert (limit.kind, str(limit.status)) == (kind, status)


def test_mean_error_of_pressure(book: Book) -> None:
    """ISO 81060-2:2018, criterion 1 (read in an open review's table): 5 mmHg either way."""
    limit = _limit(book, STUDIES, "pressure-mean")
    assert (_fixed(limit.low).text, _fixed(limit.high).text) == ("-5 mmHg", "5 mmHg")


def test_studies_on_people_are_no_limits_of_the_bench(book: Book) -> None:
    """ISO 80601-2-61 and ISO 81060-2 ask for studies on people (from memory): no test in which a device is read has a
    limit from them, and their own tests measure nothing."""
    tests = book.protocols["patient-monitor"].tests
    for limit in book.sets[STUDIES].limits.values():
        assert limit.kind.reference_only
        test = tests[limit.test]
        assert (test.energised, test.connects) == (False, "nothing") and "reference only" in test.title
    held = {limit.test for one in book.sets.values() for limit in one.limits.values()}
    assert "oximeter-function" not in held, "a simulator cannot show accuracy"


def test_a_second_limit_of_a_lead_is_asked_of_its_own_kind_only(book: Book) -> None:
    """Common practice, no source: 1 kohm in a lead made for use with high-frequency surgery; others have none."""
    limit = _limit(book, CUSTOM, "lead-resistor")
    assert str(limit.sense) == "at least", "the resistor is there to limit a current"
    assert _fixed(limit.bound).text == "1 kΩ" and limit.only == {
        "lead set": ("made for use with high-frequency surgery",)
    }


@pytest.mark.parametrize("name", ["lead-electrode-burn", "patient-monitor"])
def test_order_of_work(book: Book, name: str) -> None:
    """Before it dries, before power, electrical safety before what is connected, records before what overwrites them,
    the event's own current before the rest, and the suspect joint last (common practice, no source; volatile data
    first: NIST SP 800-86, from memory)."""
    order, tests = book.protocols[name].order, _tests(book, name)
    assert order[0] == "electrode-area" and set(order) <= set(tests)
    powered = [one for one in order if tests[one].energised]
    assert order.index("lead-series-resistance") < order.index(powered[0])
    assert powered[:2] == ["equipment-leakage", "touch-current"]
    simulated = [one for one in order if tests[one].connects in {"analyser", "simulator"} and tests[one].energised]
    assert order.index("activation-record") < order.index(simulated[0]) and simulated[0] == "lead-rf-current"
    if name == "patient-monitor":
        assert powered[2] == "alarm-history"
    altering = [one for one in order if tests[one].alters in {"changes", "destroys"}]
    papers = {"oximeter-study", "pressure-study"}
    assert [one for one in order if one not in papers][-len(altering) :] == altering
    assert altering[0] == "return-cable-flexed", "without power before with it: an arc burns the faces of a joint"


def test_the_swap_table(book: Book) -> None:
    """Lead × return path × way of activation (common practice, no source)."""
    swap = book.protocols["lead-electrode-burn"].tests["lead-rf-current"]
    assert swap.coverage == ("lead", "return", "activation")
    assert swap.conditions["return"].values[0] == "good", "the combination of the event comes first"
    assert swap.alters == "reversible" and "switch in line" in (swap.note or "")


def test_three_currents_by_three_ways(book: Book) -> None:
    """Mains, direct and high-frequency current do not speak for one another: of seven electrode burns five were of
    high-frequency and two of direct current (J Clin Monit Comput 2004;18:25-32, abstract confirmed)."""
    tests = book.protocols["lead-electrode-burn"].tests
    reached = [set(tests[f"lead-{one}-current"].reaches) for one in ("mains", "direct", "rf")]
    assert not (reached[0] & reached[1] or reached[0] & reached[2] or reached[1] & reached[2])


def test_the_part_stands_beside_the_generators_protocol(book: Book) -> None:
    """No test and no checklist line of one name in both, so that a plan may choose the two together."""
    both = [set(closure(name, book.protocols)) for name in ("lead-electrode-burn", "high-frequency-surgical")]
    mine, other = (book.protocols["lead-electrode-burn"], [book.protocols[one] for one in both[1] - both[0]])
    for one in other:
        assert not set(one.tests) & set(mine.tests)
        assert not set(one.checklist) & set(mine.checklist)
        for topic in set(one.topics) & set(mine.topics):
            assert one.topics[topic] == mine.topics[topic]


@pytest.mark.parametrize("name", ["lead-electrode-burn", "patient-monitor"])
def test_every_test_says_what_a_pass_does_not_show(book: Book, name: str) -> None:
    topics = {topic for one in closure(name, book.protocols) for topic in book.protocols[one].topics}
    for test in book.protocols[name].tests.values():
        assert test.cannot_reach and test.purpose and unit(test.unit) is not None
        assert test.reaches and set(test.reaches) <= topics
    reached = {topic for test in _tests(book, name).values() for topic in test.reaches}
    assert set(book.protocols[name].topics) <= reached


def test_lines_offered_for_a_lesion_can_be_reached(book: Book) -> None:
    """Small contact and electrolysis of the starter list for lesions name topics these tests reach."""
    (lines,) = (one.lines for one in packaged().starters.values() if one.starter == "skin-lesion")
    reached = {topic for test in _tests(book, "lead-electrode-burn").values() for topic in test.reaches}
    assert set(lines["small-contact"].topics) | set(lines["electrolysis"].topics) <= reached


def _tests(book: Book, name: str) -> dict[str, ProtocolTest]:
    return {key: test for one in closure(name, book.protocols) for key, test in book.protocols[one].tests.items()}
