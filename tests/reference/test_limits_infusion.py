"""The packaged limits and protocols of infusion pumps against published figures, each with its source and status.

Written out by hand from the documents named, as in `test_limits.py`. IEC 60601-2-24 was not readable: what is said of
it is from memory, and said to be.
"""

from __future__ import annotations

import pytest

from asfound.limits import build_book, packaged
from asfound.limits.protocol_checks import closure
from asfound.measure.units import unit
from asfound.model.limits import Book, Fixed, LimitKind, Percent, Sense
from asfound.model.limits import Test as ProtocolTest
from asfound.model.verdict import Outcome
from tests.reference.test_limits_at_work import computed, single

MEMORY, PRACTICE = "from memory", "common practice, no source"
STANDARD, CUSTOM = "iec-60601-2-24-2012", "common-practice-infusion"

# limit, test, answer asked for. IEC 60601-2-24:2012 (from memory, clause numbers too).
ANSWERS = (
    ("misloaded-alarm", "syringe-detection", "yes"),
    ("misloaded-set-alarm", "set-detection", "yes"),
    ("no-free-flow", "set-removed-flow", "no"),
)
# limit, sense, bound, when. IEC 60601-2-24:2012, battery depletion (from memory): 30 min of warning, 3 min of alarm.
BATTERY = (
    ("battery-low", "at least", "30 min", {"from": ("low battery",)}),
    ("battery-last", "at least", "3 min", {"from": ("last alarm",)}),
)
# limit, share of the setting. Common practice, no source; neither edition of IEC 60601-2-24 sets one (from memory).
SHARES = (("rate-accuracy", 5), ("lots-agree", 5))

SPOKEN = (
    {(STANDARD, name) for name, *_ in (*ANSWERS, *BATTERY)}
    | {(CUSTOM, name) for name, _ in SHARES}
    | {(CUSTOM, "occlusion-bolus-small")}
)
"""Every limit that is held against its source here; `test_limits.py` asks for it."""


@pytest.fixture(scope="module")
def book() -> Book:
    have = packaged()
    made, faults = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    assert faults == ()
    return made


@pytest.mark.parametrize(("name", "test", "answer"), ANSWERS)
def test_what_the_standard_asks_of_loading(book: Book, name: str, test: str, answer: str) -> None:
    limit = book.sets[STANDARD].limits[name]
    assert (limit.sense, limit.test, limit.answer, str(limit.status)) == (Sense.ANSWER, test, answer, MEMORY)
    assert limit.kind is LimitKind.PRODUCT_STANDARD


@pytest.mark.parametrize(("name", "sense", "bound", "when"), BATTERY)
def test_battery(book: Book, name: str, sense: str, bound: str, when: dict[str, tuple[str, ...]]) -> None:
    limit = book.sets[STANDARD].limits[name]
    assert isinstance(limit.bound, Fixed)
    assert (str(limit.sense), limit.bound.value.text, limit.when, str(limit.status)) == (sense, bound, when, MEMORY)


@pytest.mark.parametrize(("name", "percent"), SHARES)
def test_accuracy_is_custom_and_gives_way(book: Book, name: str, percent: int) -> None:
    limit = book.sets[CUSTOM].limits[name]
    assert isinstance(limit.bound, Percent)
    assert (limit.bound.percent, limit.bound.of, limit.around) == (percent, "setting", "setting")
    assert limit.gives_way_to == ("stated value", "maker's limit")
    assert (limit.kind, str(limit.status)) == (LimitKind.COMMON_PRACTICE, PRACTICE)


def test_bolus_is_custom(book: Book) -> None:
    """Common practice, no source: below a millilitre; the standard asks for it to be disclosed and sets none."""
    limit = book.sets[CUSTOM].limits["occlusion-bolus-small"]
    assert isinstance(limit.bound, Fixed) and (str(limit.sense), limit.bound.value.text) == ("at most", "1 mL")
    assert (limit.kind, str(limit.status)) == (LimitKind.COMMON_PRACTICE, PRACTICE)


def test_the_standard_sets_no_figure_where_the_maker_discloses_one(book: Book) -> None:
    """IEC 60601-2-24:1998 and 2012 (from memory): accuracy, time to the alarm, its pressure and the bolus are disclosed
    by the maker; a verdict on them by the standard would be made up."""
    disclosed = {
        "flow-rate", "flow-swap", "start-up", "counter-pressure", "occlusion-time", "occlusion-pressure",
        "occlusion-bolus", "gravity-flow",
    }  # fmt: skip
    assert not disclosed & {limit.test for limit in book.sets[STANDARD].limits.values()}


@pytest.mark.parametrize("name", ["infusion-syringe", "infusion-volumetric"])
def test_the_record_is_read_before_a_run_writes_over_it(book: Book, name: str) -> None:
    """Volatile data first (NIST SP 800-86, from memory); what is left first of all, since a line drips (common
    practice, no source); and earth and leakage before an analyser is connected (common practice, no source)."""
    order = book.protocols[name].order
    assert order[0] == "volume-left"
    assert order.index("protective-earth") < order.index("touch-current") < order.index("pump-log")
    tests = _tests(book, name)
    for one in order[order.index("pump-log") + 1 :]:
        assert tests[one].alters in {"none", "reversible"}, (
            "nothing here alters more, and consent is asked for the rest"
        )
    running = [one for one in order if tests[one].energised and one not in {"equipment-leakage", "touch-current"}]
    assert running[0] == "pump-log", running
    assert running[1] == "flow-rate", "the setting of the event comes first"


@pytest.mark.parametrize("name", ["infusion-syringe", "infusion-volumetric"])
def test_every_test_says_what_a_pass_does_not_show(book: Book, name: str) -> None:
    for one in closure(name, book.protocols)[:2]:
        for test in book.protocols[one].tests.values():
            assert test.cannot_reach and test.purpose and unit(test.unit) is not None
            assert test.reaches


@pytest.mark.parametrize("name", ["infusion-syringe", "infusion-volumetric"])
def test_topics_are_those_of_the_starter_list(book: Book, name: str) -> None:
    """The lines offered for an infusion that gave too much or too little name topics; each is one a test can reach, or
    one that stands on papers alone: the content of the container, a line taken for another, a clock."""
    (starter,) = (one for one in packaged().starters.values() if one.starter == "infusion")
    lines = starter.lines.values()
    topics = {topic for one in closure(name, book.protocols) for topic in book.protocols[one].topics}
    asked = {topic for line in lines for topic in line.topics}
    assert asked <= topics, asked - topics
    reached = {topic for test in _tests(book, name).values() for topic in test.reaches}
    assert asked - reached == {"content", "line-swap", "clock-error"}


def test_the_swap_table_parts_pump_and_disposable(book: Book) -> None:
    """A deviation goes with the pump or with the disposable: both are crossed (common practice, no source)."""
    swap = book.protocols["infusion"].tests["flow-swap"]
    assert swap.coverage == ("pump", "disposable")
    assert swap.conditions["pump"].values == ("of the event", "exemplar")
    assert "second lot" in swap.conditions["disposable"].values


def test_three_heights(book: Book) -> None:
    """Flow by gravity is covered over height (common practice, no source: two points make any line, three test it)."""
    gravity = book.protocols["infusion"].tests["gravity-flow"]
    assert gravity.coverage == ("height",) and gravity.reaches == ("free-flow",) and not gravity.energised


# --- from the typed value to the verdict; computed by hand from the figures above


@pytest.mark.parametrize(
    ("value", "seat", "outcome"),
    [
        ("5.24", "seated", Outcome.PASS),
        ("5.25", "seated", Outcome.PASS),
        ("5.26", "seated", Outcome.FAIL),
        ("4.74", "seated", Outcome.FAIL),
        ("70.0", "as found", Outcome.NO_REQUIREMENT),
    ],
)
def test_five_per_cent_of_the_setting(book: Book, value: str, seat: str, outcome: Outcome) -> None:
    """±5 % of 5.0 mL/h is 4.75 to 5.25 mL/h, the ends inside (common practice, no source); a syringe that is not seated
    is not judged by it."""
    made = computed(book, [CUSTOM], "flow-rate", "mL/h", [(value, {"setting": "5.0", "seat": seat})],
                    units={"setting": "mL/h"})  # fmt: skip
    assert single(made).outcome is outcome


@pytest.mark.parametrize(
    ("value", "from_", "outcome"),
    [
        ("30", "low battery", Outcome.PASS),
        ("29", "low battery", Outcome.FAIL),
        ("3", "last alarm", Outcome.PASS),
        ("2.9", "last alarm", Outcome.FAIL),
    ],
)
def test_half_an_hour_of_warning(book: Book, value: str, from_: str, outcome: Outcome) -> None:
    """IEC 60601-2-24:2012 (from memory): 30 min of warning and 3 min of alarm at least, 30 and 3 among them."""
    made = computed(book, [STANDARD], "battery-warning", "min", [(value, {"from": from_, "setting": "5.0"})])
    assert single(made).outcome is outcome


@pytest.mark.parametrize(
    ("value", "step", "outcome"),
    [
        ("no", "set taken out", Outcome.PASS),
        ("yes", "door opened", Outcome.FAIL),
        ("yes", "flow stop opened by hand", Outcome.NO_REQUIREMENT),
    ],
)
def test_no_free_flow(book: Book, value: str, step: str, outcome: Outcome) -> None:
    """IEC 60601-2-24:2012 (from memory): no flow when the set leaves the pump; a stop opened by hand is not asked."""
    made = computed(book, [STANDARD], "set-removed-flow", "1", [(value, {"step": step})])
    assert single(made).outcome is outcome


def _tests(book: Book, name: str) -> dict[str, ProtocolTest]:
    return {key: test for one in closure(name, book.protocols) for key, test in book.protocols[one].tests.items()}
