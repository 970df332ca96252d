"""The packaged limits for ultrasound units of physiotherapy against the published figures, written out by hand.

21 CFR 1050.10: paragraph (b) read in the code as of 1 April 2001, (c)(2) to (c)(5) in another printed edition of the
same text (confirmed); (c)(1)(ii) in the agency's compliance policy guide 397.100 (secondary); (c)(1)(i) from memory.
The survey behind common practice was read in its abstract alone (secondary). Of IEC 60601-2-5 the scope alone was read.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.limits.protocol_checks import closure
from asfound.model.limits import Book, Fixed, LimitKind, Percent, Sense
from asfound.model.verdict import Outcome
from asfound.model.work import Tier
from tests.reference.test_limits_at_work import computed, verdicts

US, IEC, PRACTICE = "us-21-cfr-1050-10", "iec-60601-2-5-2009", "common-practice-ultrasound"
STATUS = {
    (US, "power-continuous"): "from memory",
    (US, "power-pulsed"): "secondary source",
    (US, "time"): "confirmed",
    (US, "time-longest"): "confirmed",
    (US, "emission-indicator"): "confirmed",
    (IEC, "beam-nonuniformity"): "from memory",
    (PRACTICE, "power"): "secondary source",
    (PRACTICE, "time"): "secondary source",
    (PRACTICE, "emission-indicator"): "common practice, no source",
}
SPOKEN = set(STATUS)
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


def test_each_limit_says_how_well_it_was_read(book: Book) -> None:
    found = {
        (one, name): str(limit.status) for one in (US, IEC, PRACTICE) for name, limit in book.sets[one].limits.items()
    }
    assert found == STATUS


@pytest.mark.parametrize(
    ("name", "rated"), [("power-continuous", "rated_output"), ("power-pulsed", "rated_mean_output")]
)
def test_power_shown(book: Book, name: str, rated: str) -> None:
    """21 CFR 1050.10(c)(1): ±20 % of what is shown, for all emissions above 10 % of the maximum."""
    limit = book.sets[US].limits[name]
    assert isinstance(limit.bound, Percent) and (limit.bound.percent, limit.bound.of) == (20, "setting")
    assert (limit.sense, limit.around, limit.kind) == (Sense.WITHIN, "setting", LimitKind.PRODUCT_STANDARD)
    assert limit.exempt is not None
    exempt = limit.exempt
    assert (exempt.condition, exempt.at_or_below_percent, exempt.of) == ("setting", 10, rated)


@pytest.mark.parametrize(
    ("shown", "read", "outcome"),
    [
        ("5", "6.0", Outcome.PASS),
        ("5", "6.01", Outcome.FAIL),
        ("5", "4.0", Outcome.PASS),
        ("5", "3.99", Outcome.FAIL),
        # A tenth of 15 W is 1.5 W: at it nothing is asked, above it the fifth is.
        ("1.5", "9", Outcome.NO_REQUIREMENT),
        ("1.6", "9", Outcome.FAIL),
    ],
)
def test_power_at_work(book: Book, shown: str, read: str, outcome: Outcome) -> None:
    item = {"characteristics": {"rated_output": "15 W"}}
    made = computed(
        book, [US], "ultrasound-power", "W", [(read, {"setting": shown})], item=item, units={"setting": "W"}
    )
    assert {one.outcome for one in made.verdicts} == {outcome}


def test_continuous_output_in_a_pulsed_mode(book: Book) -> None:
    """1.5 W/cm² over 5 cm² are 7.5 W in the pulse; one part on and four off make 1.5 W of it on average (computed).

    A unit that does not pulse gives the 7.5 W all the time, and a unit that does gives 1.5 W, a fifth either way.
    """
    item = {"characteristics": {"rated_output": "15 W", "rated_mean_output": "3 W"}}
    for read, outcome in (("7.5", Outcome.FAIL), ("1.81", Outcome.FAIL), ("1.8", Outcome.PASS), ("1.2", Outcome.PASS)):
        rows = [(read, {"setting": "1.5", "ratio": "1 to 4"})]
        made = computed(book, [US], "ultrasound-power-pulsed", "W", rows, item=item, units={"setting": "W"})
        assert {one.outcome for one in made.verdicts} == {outcome}


@pytest.mark.parametrize("minutes", [2, 4, 5, 6, 8, 10, 12, 15, 20, 30])
def test_time_at_work(book: Book, minutes: int) -> None:
    """21 CFR 1050.10(c)(2): to within 0.5 min for less than 5 min, 10 % from 5 to 10 min, 1 min above (confirmed).

    The two limits together allow what the three ranges of the text do, a second this side and that of each bound.
    """
    allowed = 30 if minutes < 5 else 6 * minutes if minutes <= 10 else 60  # seconds
    for off, inside in ((allowed, True), (allowed + 1, False), (-allowed, True), (-allowed - 1, False)):
        made = computed(
            book, [US], "treatment-time", "s", [(str(60 * minutes + off), {"setting": str(minutes)})],
            units={"setting": "min"},
        )  # fmt: skip
        said = {name: outcome for name, (outcome, _) in verdicts(made).items()}
        assert set(said) == {"time", "time-longest"}
        assert (set(said.values()) == {Outcome.PASS}) is inside, (off, said)


def test_light_of_the_emission(book: Book) -> None:
    """21 CFR 1050.10(c)(5): an indicator when and only when energy is applied (confirmed). One lie of ten fails."""
    for name in (US, PRACTICE):
        limit = book.sets[name].limits["emission-indicator"]
        assert (limit.sense, limit.answer) == (Sense.ANSWER, "yes")
    for typed, outcome in (("yes", Outcome.PASS), ("no", Outcome.FAIL), ("9 of 10", Outcome.FAIL)):
        made = computed(book, [US], "emission-indicator", "1", [(typed, {"driven": "not driven"})])
        assert {one.outcome for one in made.verdicts} == {outcome}


def test_field(book: Book) -> None:
    """A ratio above 8 is called harmful by a public medical dictionary (read); the standard's figure from memory."""
    limit = book.sets[IEC].limits["beam-nonuniformity"]
    assert isinstance(limit.bound, Fixed) and limit.bound.value.value == 8 and limit.sense is Sense.AT_MOST


def test_survey(book: Book) -> None:
    """Survey of 64 units, 2008, abstract: inaccurate beyond ±20 % of power and ±10 % of time (secondary)."""
    for name, percent in (("power", 20), ("time", 10)):
        limit = book.sets[PRACTICE].limits[name]
        assert isinstance(limit.bound, Percent) and (limit.bound.percent, limit.around) == (percent, "setting")
        assert limit.kind is LimitKind.COMMON_PRACTICE
        assert limit.gives_way_to == ("stated value", "maker's limit"), "a maker's value goes before a survey's"


def test_force_of_a_watt(book: Book) -> None:
    """Force on a target that takes up all: power over the speed of sound, 1482 m/s to 1497 m/s from 20 °C to 25 °C.

    In water, from memory; weighed at 9.80665 m/s². The note says 0.67 mN and 68 mg.
    """
    note = str(book.protocols["ultrasound-therapy"].tests["ultrasound-power"].note)
    for speed in (Decimal("1482"), Decimal("1490"), Decimal("1497")):
        force = 1 / speed
        assert round(force * 1000, 2) in (Decimal("0.67"), Decimal("0.68"))
        assert 67 <= force / Decimal("9.80665") * 10**6 <= 70
    assert f"{1000 / Decimal(1490):.2f} mN" in note and f"{10**6 / Decimal(1490) / Decimal('9.80665'):.0f} mg" in note


def test_order_of_work(book: Book) -> None:
    """Record before output, electrical safety before both, the map last but what bends a cable.

    Source: ASTM E860-22, 4.1 (confirmed) for not altering first; the rest is common practice, no source.
    """
    protocol = book.protocols["ultrasound-therapy"]
    place = {key: at for at, key in enumerate(protocol.order)}
    assert set(protocol.tests) <= set(place), "every test has its place"
    driven = [key for key, test in protocol.tests.items() if test.energised and key != "therapy-record"]
    for safe in ("protective-earth", "equipment-leakage", "touch-current", "applied-part-leakage"):
        assert place[safe] < place["therapy-record"] < min(place[key] for key in driven)
    assert [key for key, test in protocol.tests.items() if test.alters is Tier.CHANGES] == [protocol.order[-1]]
    assert "electrical-safety" in closure("ultrasound-therapy", book.protocols)


def test_every_test_says_what_a_pass_does_not_show(book: Book) -> None:
    tests = book.protocols["ultrasound-therapy"].tests
    for key, test in tests.items():
        assert test.cannot_reach and test.bench_checks and test.reaches, key
        if test.connects != "nothing" and test.energised:
            assert "head-in-water" in test.cautions, f"{key}: a head in air heats itself"
    assert "ultrasound-hot-spot" not in tests["ultrasound-power"].reaches, "a balance cannot see a hot spot"
    reached = {topic for test in tests.values() for topic in test.reaches}
    # Contact, as it was on the person, is reached by what the unit does about its loss and by no other test.
    assert {key for key, test in tests.items() if "ultrasound-coupling" in test.reaches} == {"contact-control"}
    assert set(book.protocols["ultrasound-therapy"].topics) <= reached
