"""The packaged limits and protocols for lifts and slings against what stands behind them, from the plan to the verdict.

ISO 10535 was not read: what is said of it here is `from memory`, and it has more figures than are remembered. All else
is `common practice, no source`. The masses and ways are invented, and each bound is worked by hand.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from asfound.desk.plan_tests import protocols_for, sets_for
from asfound.desk.plan_tests import tests_of as asked_by
from asfound.limits.protocol_checks import closure
from asfound.measure.units import convert, unit
from asfound.model.checklist import checklist
from asfound.model.event import CaseHead
from asfound.model.limits import Book, Fixed, LimitKind, Percent, Sense
from asfound.model.limits import Test as Asked
from asfound.model.verdict import Outcome
from asfound.model.work import Tier
from tests.reference.test_limits_at_work import computed

STANDARD, TRADE = "iso-10535-2006", "common-practice-lifting"
ANSWERS = {
    (STANDARD, "lowered-without-power"): ("emergency-lowering", "yes"),
    (TRADE, "sling-belongs"): ("sling-fit", "yes"),
    (TRADE, "latch-works"): ("latch-closes", "yes"),
    (TRADE, "seated-loop-stays"): ("loop-holds", "yes"),
    (TRADE, "stays-where-it-is"): ("uncommanded-lift", "no"),
    (TRADE, "stop-stops"): ("lift-stop", "yes"),
    (TRADE, "ends-by-itself"): ("lift-end-stop", "yes"),
    (TRADE, "legs-stay-spread"): ("legs-hold", "yes"),
}
# Speed with and without a load (ISO 10535:2006, from memory; the clause is not remembered).
SPEEDS = {"speed-rated-load": ("0.15", "rated load"), "speed-unloaded": ("0.25", "unloaded")}
# What is asked of the maker's record, and on which side of it a reading has to lie (common practice, no source).
STATED = {
    "sink-stated": ("lift-load-held", Sense.AT_MOST), "run-on-stated": ("run-on", Sense.AT_MOST),
    "bar-play-stated": ("bar-play", Sense.AT_MOST), "mast-play-stated": ("mast-play", Sense.AT_MOST),
    "key-force-stated": ("control-key-force", Sense.AT_LEAST), "current-stated": ("actuator-current", Sense.AT_MOST),
    "battery-stated": ("lift-battery-voltage", Sense.AT_LEAST), "brake-stated": ("castor-brake", Sense.AT_LEAST),
    "stability-stated": ("static-stability", Sense.AT_LEAST),
}  # fmt: skip

SPOKEN = {
    *ANSWERS, *((STANDARD, one) for one in SPEEDS), *((TRADE, one) for one in STATED), (TRADE, "load-within-rating"),
}  # fmt: skip


@pytest.fixture(scope="module")
def tests(book: Book) -> dict[str, Asked]:
    return asked_by(book, ["patient-lift"])


def test_every_figure_and_answer_of_the_two_sets_is_watched(book: Book) -> None:
    """A figure that stands in the data and not in this file would be nobody's."""
    known = {*ANSWERS, *((STANDARD, one) for one in SPEEDS), *((TRADE, one) for one in STATED)}
    assert {(one, name) for one in (STANDARD, TRADE) for name in book.sets[one].limits} == {
        *known, (TRADE, "load-within-rating"),
    }  # fmt: skip
    for (one, name), (test, answer) in ANSWERS.items():
        limit = book.sets[one].limits[name]
        assert (limit.test, limit.answer) == (test, answer), name
    for name, (figure, loading) in SPEEDS.items():
        limit = book.sets[STANDARD].limits[name]
        assert isinstance(limit.bound, Fixed) and limit.when == {"loading": (loading,)}
        from_, to = unit(limit.bound.value.unit), unit("m/s")
        assert from_ is not None and to is not None
        assert convert(limit.bound.value.value, from_, to) == Decimal(figure) and limit.sense is Sense.AT_MOST
    for name, (test, sense) in STATED.items():
        limit = book.sets[TRADE].limits[name]
        assert (limit.test, limit.sense) == (test, sense), name
        assert isinstance(limit.bound, Percent) and (limit.bound.percent, limit.bound.of) == (Decimal(100), "stated")


def test_what_was_not_read_is_said_to_be_from_memory(book: Book) -> None:
    standard, trade = book.sets[STANDARD], book.sets[TRADE]
    assert {str(one.status) for one in standard.limits.values()} == {"from memory"}
    assert all("not remembered" in (one.clause or "") for one in standard.limits.values())
    assert {one.kind for one in trade.limits.values()} == {LimitKind.COMMON_PRACTICE}
    assert {str(one.status) for one in trade.limits.values()} == {"common practice, no source"}


# --- what a plan for a lift asks for (common practice, no source)


def test_a_lift_has_its_own_protocol_and_a_bed_keeps_its_own(book: Book) -> None:
    assert protocols_for(book, "patient-lift") == ("patient-lift",)
    assert closure("patient-lift", book.protocols) == ("patient-lift", "lifting", "electrical-safety", "generic")
    assert protocols_for(book, "powered-bed") == ("powered-support",)
    assert {STANDARD, TRADE, "iec-62353-2014"} <= set(sets_for(book, asked_by(book, ["patient-lift"])))


WANTED = {
    "sling-fit": "sling-fit", "sling-strength": "loop-length", "loop-seating": "loop-holds",
    "loop-release": "latch-closes", "spreader-bar": "bar-play", "boom-mast": "mast-play", "castors": "castor-brake",
    "legs": "leg-spread", "tipping": "static-stability", "emergency-lowering": "emergency-lowering",
    "lift-stop": "lift-stop", "overload": "rated-load-of-part", "lift-end-stop": "lift-end-stop",
    "lift-control": "control-key-force", "actuator": "actuator-current", "lift-battery": "lift-battery-voltage",
    "sinking": "lift-load-held", "lift-runaway": "run-on",
}  # fmt: skip


@pytest.mark.parametrize(("topic", "test"), WANTED.items())
def test_each_way_a_person_comes_to_fall_has_a_test_that_can_see_it(
    topic: str, test: str, tests: dict[str, Asked]
) -> None:
    assert topic in tests[test].reaches and tests[test].alters is Tier.NONE, "planned unasked, since it alters nothing"


def test_the_sling_comes_first_then_the_lift_without_power_then_loads(book: Book) -> None:
    protocol = book.protocols["patient-lift"]
    order, known = list(protocol.order), asked_by(book, ["patient-lift"])
    own = {*protocol.tests, *book.protocols["lifting"].tests}
    assert own <= set(order), "every test has its place in the order of work"
    assert order[:3] == ["rated-load-of-part", "sling-fit", "loop-length"]
    assert order.index("bar-play") < order.index("protective-earth") < order.index("uncommanded-lift")
    loaded = [
        name for name in own if "loading" in known[name].conditions and known[name].conditions["loading"].required
    ]
    assert loaded and all(order.index("touch-current") < order.index(name) for name in loaded)
    altering = [name for name in order if known[name].alters not in (Tier.NONE, Tier.REVERSIBLE)]
    assert altering == order[-3:] == ["control-line-flexed", "overload-answer", "sling-pull"]
    assert known["sling-pull"].alters is Tier.DESTROYS
    assert all("altering-step" in known[name].cautions for name in altering)


def test_nobody_is_hung_in_it_to_try_it(book: Book, tests: dict[str, Asked]) -> None:
    """Whatever is loaded or moved under power warns of persons and of what hangs; what may lean, of tipping."""
    own = {*book.protocols["patient-lift"].tests, *book.protocols["lifting"].tests}
    for name in own:
        test = tests[name]
        assert test.connects != "person"
        if {"loading", "load"} & set(test.conditions) and name != "lift-battery-voltage":
            assert {"never-a-person", "raised-load"} <= set(test.cautions), name
        if test.energised and test.functional:
            assert {"never-a-person", "raised-load"} <= set(test.cautions), name
    assert all("may-tip" in tests[name].cautions for name in ("static-stability", "castor-brake", "boom-swing"))
    assert {"never-a-person", "raised-load", "stored-energy", "local-codes"} <= set(book.protocols["lifting"].cautions)


def test_the_sling_is_asked_of_what_was_attached_and_the_hand_control_of_a_cable_too(book: Book) -> None:
    lines = checklist(book.protocols[one] for one in closure("patient-lift", book.protocols))
    for name in ("sling-label", "sling-washing", "sling-stitching", "sling-loops"):
        assert set(lines[name].roles) == {"accessory", "consumable"}, name
    assert set(lines["hand-control"].roles) == {"main device", "accessory", "cable"}
    for name in ("hooks-and-latches", "bar-bearing", "boom-pivot", "mast-fastening", "castors-and-brakes"):
        assert lines[name].roles == ("main device",), name


def test_what_is_worked_by_hand_is_asked_for_no_key_no_battery_and_no_mains(tests: dict[str, Asked]) -> None:
    """IEC 60601-1 covers electrical equipment alone (from memory): a lift on a hand pump has no class."""
    by_hand = {"drive": "by hand", "class": "not electrical"}
    left = {
        name for name, test in tests.items() if any(by_hand.get(key) in words for key, words in test.unless.items())
    }
    assert {
        "control-line", "control-key-force", "lift-battery-voltage", "charger-output", "lift-stop", "run-on",
        "protective-earth", "equipment-leakage", "touch-current", "applied-part-leakage", "insulation-resistance",
    } <= left  # fmt: skip
    assert not {"lift-load-held", "emergency-lowering", "static-stability", "sling-fit", "rated-load-of-part"} & left
    by_mains = {name for name, test in tests.items() if "mains" in test.unless.get("drive", ())}
    assert by_mains == {"lift-battery-voltage", "charger-output"}


def test_every_rival_explanation_can_be_found_in_the_starters(book: Book) -> None:
    made = book.starters["patient-lift"]
    event = {"kind": "mechanical", "told_at": "2026-03-10 08:00 +00:00", "time_source": "none", "where": "here",
             "account": "A person slid."}  # fmt: skip
    head = CaseHead.model_validate(
        {"case": "c", "title": "T", "harmed": "none", "device_kind": "patient-lift", "event": event}
    )
    assert made.is_for(head)
    lines = {str(line.line) for line in made.lines.values()}
    assert {
        "device", "accessory or consumable", "use", "room and supply", "patient or procedure effect",
        "not a device-made injury",
    } <= lines  # fmt: skip
    known = {topic for one in closure("patient-lift", book.protocols) for topic in book.protocols[one].topics}
    assert {topic for line in made.lines.values() for topic in line.topics} <= known
    head = CaseHead.model_validate({**head.model_dump(), "answers": {"driven-by-power": "no", "on-wheels": "no"}})
    gone = set(made.lines) - set(made.in_play(head))
    assert gone == {"ran-away", "tipped"}


# --- a filled sheet judged, right and wrong


def judged(
    book: Book, test: str, symbol: str, rows: list[tuple[str, dict[str, str]]], item: dict[str, Any] | None = None
) -> list[tuple[str, Outcome]]:
    """Each reading that a limit speaks to, with the limit and what comes of it; by simple acceptance."""
    made = computed(book, [STANDARD, TRADE], test, symbol, rows, item=item)
    return [
        (one.limit.id.partition("/")[2] if one.limit else "", one.outcome)
        for one in made.verdicts
        if one.subject.startswith("R-")
    ]


def test_the_weakest_part_is_held_against_the_load_of_the_event(book: Book) -> None:
    """118 kg in a sling marked 115 kg below a lift marked 175 kg: the sling fails; at 115 kg all parts pass."""
    rows = [("175", {"part": "lift"}), ("200", {"part": "spreader bar"}), ("115", {"part": "sling"})]
    found = judged(book, "rated-load-of-part", "kg", rows, {"characteristics": {"load_at_event": "118 kg"}})
    assert found == [("load-within-rating", Outcome.PASS)] * 2 + [("load-within-rating", Outcome.FAIL)]
    found = judged(book, "rated-load-of-part", "kg", rows, {"characteristics": {"load_at_event": "115 kg"}})
    assert {outcome for _, outcome in found} == {Outcome.PASS}
    found = judged(book, "rated-load-of-part", "kg", rows)
    assert {outcome for _, outcome in found} == {Outcome.NOT_ASSESSABLE}, "nobody wrote down what was lifted"


@pytest.mark.parametrize(
    ("speed", "loading", "outcome"),
    [
        ("150", "rated load", Outcome.PASS), ("151", "rated load", Outcome.FAIL),
        ("250", "unloaded", Outcome.PASS), ("251", "unloaded", Outcome.FAIL),
    ],
)  # fmt: skip
def test_speed_at_work(book: Book, speed: str, loading: str, outcome: Outcome) -> None:
    """0.15 m/s at the rated load, 0.25 m/s without one (ISO 10535:2006, from memory), read in mm/s."""
    found = judged(book, "lift-speed", "mm/s", [(speed, {"direction": "down", "loading": loading})])
    assert [one for _, one in found] == [outcome]


def test_a_load_that_is_neither_the_rated_one_nor_none_is_held_to_no_speed(book: Book) -> None:
    rows = [("400", {"direction": "down", "loading": "load of the event"})]
    assert [one for _, one in judged(book, "lift-speed", "mm/s", rows)] == [Outcome.NO_REQUIREMENT]


def test_how_far_it_may_sink_is_the_makers_to_say(book: Book) -> None:
    """12 mm in ten minutes is not assessable while the maker stated nothing; where 10 mm are stated, it fails."""
    at = {"loading": "rated load", "load": "175", "waited": "10"}
    rows = [("12", at), ("9.8", at)]
    assert {one for _, one in judged(book, "lift-load-held", "mm", rows)} == {Outcome.NOT_ASSESSABLE}
    stated = {"stated": [{"quantity": "lift-load-held", "when": {"loading": "rated load"}, "value": "10 mm",
                          "source": "the maker's answer of a worked example"}]}  # fmt: skip
    assert judged(book, "lift-load-held", "mm", rows, stated) == [
        ("sink-stated", Outcome.FAIL), ("sink-stated", Outcome.PASS),
    ]  # fmt: skip


def test_it_has_to_stand_at_least_on_the_slope_that_is_stated(book: Book) -> None:
    """A wheel that leaves the plate at 4.6° where 5° are stated fails, 5.2° passes (the slope is invented)."""
    stated = {"stated": [{"quantity": "static-stability", "when": {"direction": "sideways"}, "value": "5 °",
                          "source": "the maker's answer of a worked example"}]}  # fmt: skip
    rows = [(value, {"direction": "sideways", "legs": "closed"}) for value in ("4.6", "5.2")]
    assert [one for _, one in judged(book, "static-stability", "°", rows, stated)] == [Outcome.FAIL, Outcome.PASS]


@pytest.mark.parametrize(("one", "name"), ANSWERS)
def test_each_answer_decides_both_ways(one: str, name: str, book: Book) -> None:
    limit, (test, right) = book.sets[one].limits[name], ANSWERS[one, name]
    conditions = {key: words[0] for key, words in limit.when.items()}
    rows = [(answer, conditions) for answer in ("yes", "no")]
    found = dict(zip(("yes", "no"), judged(book, test, "1", rows), strict=True))
    assert found[right] == (name, Outcome.PASS)
    assert found["no" if right == "yes" else "yes"] == (name, Outcome.FAIL)


def test_a_loop_that_comes_off_once_in_twenty_fails_seated_and_is_a_finding_half_seated(book: Book) -> None:
    rows = [("19 of 20", {"seating": seating, "movement": "swung"}) for seating in ("fully seated", "half seated")]
    assert [one for _, one in judged(book, "loop-holds", "1", rows)] == [Outcome.FAIL, Outcome.NO_REQUIREMENT]
