"""Events on one base of time, and their order."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from asfound.model.placing import Hour, Order, Placing
from tests.unit.clocks.support import compared, placed

CHICAGO = "America/Chicago"
NOON = "2026-03-02 12:00 -06:00"
WALL = {"zone": CHICAGO, "comparisons": [compared(NOON, "1 min 10 s")]}
LOG = {"zone": "-06:00", "comparisons": [compared(NOON, "-2 min 40 s")]}


def at(placing: Placing, event: str) -> str:
    found = placing.placed(event)
    assert found is not None and found.at is not None
    return found.at.text


def test_an_event_is_moved_by_its_clock_and_told_in_the_zone_of_the_base() -> None:
    result = placed(
        {"K-1": WALL, "K-2": LOG},
        [("K-1", "2026-03-02 13:00 -06:00", "1 min", "E-1"), ("K-2", "2026-03-02 13:00:00 -06:00", "1 s", "E-1")],
    )
    assert at(result, "T-1") == "2026-03-02 12:58:50 -06:00"
    assert at(result, "T-2") == "2026-03-02 13:02:40 -06:00"
    assert result.order("T-1", "T-2") is Order.BEFORE
    assert result.order("T-2", "T-1") is Order.AFTER
    assert result.unordered == ()
    assert [one.event for one in result.events] == ["T-1", "T-2"]


def test_two_events_on_one_clock_are_ordered_better_than_their_intervals_say() -> None:
    """The clock is known to ten minutes, the two lines of its log a second apart are still one after the other."""
    log = {"zone": "-06:00", "comparisons": [compared(NOON, "0 s", "10 min")]}
    events = [("K-2", f"2026-03-02 13:00:0{s} -06:00", "0.2 s", "E-1") for s in (1, 2)]
    result = placed({"K-2": log}, events)
    one, other = result.events
    assert one.latest is not None and other.earliest is not None and one.latest > other.earliest
    assert result.order("T-1", "T-2") is Order.BEFORE
    apart = placed({"K-2": log, "K-3": log}, [events[0], ("K-3", *events[1][1:])])
    assert apart.order("T-1", "T-2") is Order.OPEN
    assert apart.groups == (("T-1", "T-2"),)


def test_clocks_set_beside_one_reference_share_its_doubt() -> None:
    """A reference off by up to an hour moves both alike; two references of an hour's doubt do not."""

    def clocks(other: str) -> dict[str, dict[str, object]]:
        wide = {"reference_doubt": "1 h"}
        return {
            "K-1": {"zone": CHICAGO, "comparisons": [compared(NOON, "0 s", reference="the old clock", **wide)]},
            "K-2": {"zone": CHICAGO, "comparisons": [compared(NOON, "0 s", reference=other, **wide)]},
        }

    events = [("K-1", "2026-03-02 12:10:00 -06:00", "1 s", "E-1"), ("K-2", "2026-03-02 12:11:00 -06:00", "1 s", "E-1")]
    assert placed(clocks("The  old clock"), events).order("T-1", "T-2") is Order.BEFORE
    assert placed(clocks("another clock"), events).order("T-1", "T-2") is Order.OPEN


def test_a_clock_compared_with_a_clock_of_the_case_goes_through_it() -> None:
    pump = {"zone": CHICAGO, "comparisons": [compared(NOON, "-11 min", "5 s", "K-1")]}
    result = placed({"K-1": WALL, "K-2": pump}, [("K-2", "2026-03-02 12:00:00 -06:00", "1 s", "E-1")])
    # 11 min behind a clock that is 1 min 10 s ahead: 9 min 50 s behind.
    assert at(result, "T-1") == "2026-03-02 12:09:50 -06:00"


def test_clocks_that_only_know_each_other_are_unknown_and_say_so() -> None:
    ring = {
        "K-1": {"zone": CHICAGO, "comparisons": [compared(NOON, "5 s", reference="K-2")]},
        "K-2": {"zone": CHICAGO, "comparisons": [compared(NOON, "-5 s", reference="K-1")]},
    }
    result = placed(ring, [("K-1", NOON, "1 s", "E-1"), ("K-2", NOON, "1 s", "E-1")])
    assert all(one.at is None for one in result.events)
    assert any("that tells nothing" in note for state in result.clocks for note in state.notes)


def test_an_unknown_clock_orders_its_own_events_and_no_others() -> None:
    events = [
        ("K-9", "2026-03-02 13:00:00 -06:00", "1 s", "E-1"),
        ("K-9", "2026-03-02 13:05:00 -06:00", "1 s", "E-1"),
        ("K-1", "2026-03-02 17:00:00 -06:00", "1 s", "E-1"),
    ]
    result = placed({"K-1": WALL, "K-9": {"zone": CHICAGO}}, events)
    assert result.order("T-1", "T-2") is Order.BEFORE
    assert result.order("T-1", "T-3") is result.order("T-2", "T-3") is Order.OPEN
    assert [one.event for one in result.events] == ["T-3", "T-1", "T-2"]
    assert result.groups == (("T-3",),)
    state = result.state("K-9")
    assert state is not None and not state.known and "Nothing tells" in state.notes[0]


def test_the_base_is_a_clock_of_the_case_where_one_is_named() -> None:
    """Everything moves by what the base is ahead of the outside, and what hangs on the base alone loses that doubt."""
    clocks = {
        "K-1": {"zone": CHICAGO, "base": "yes", "comparisons": [compared(NOON, "1 min", "5 min")]},
        "K-2": {"zone": CHICAGO, "comparisons": [compared(NOON, "10 s", "2 s", "K-1")]},
        "K-3": {"zone": CHICAGO, "comparisons": [compared(NOON, "0 s", "2 s", "other time")]},
    }
    events = [(clock, NOON, "0 s", "E-1") for clock in ("K-1", "K-2", "K-3")]
    result = placed(clocks, events)
    assert at(result, "T-1") == NOON.replace("12:00", "12:00:00")
    assert at(result, "T-2") == "2026-03-02 11:59:50 -06:00"
    assert at(result, "T-3") == "2026-03-02 12:01:00 -06:00"
    doubts = [result.placed(event).doubt for event in ("T-1", "T-2", "T-3")]  # type: ignore[union-attr]
    assert doubts[0] == 0.0
    assert doubts[1] == pytest.approx(2.0, rel=1e-4)
    assert doubts[2] == pytest.approx((2**2 + 300**2 + 1**2 + 1**2) ** 0.5, rel=1e-3)
    assert result.base == "K-1, a clock"


def test_a_base_nobody_compared_is_still_the_base_of_what_was_set_beside_it() -> None:
    clocks = {
        "K-1": {"zone": CHICAGO, "base": "yes"},
        "K-2": {"zone": CHICAGO, "comparisons": [compared(NOON, "10 s", "2 s", "K-1")]},
        "K-3": {"zone": CHICAGO, "comparisons": [compared(NOON, "0 s")]},
    }
    result = placed(clocks, [(clock, NOON, "1 s", "E-1") for clock in clocks])
    assert at(result, "T-2") == "2026-03-02 11:59:50 -06:00"
    assert result.placed("T-3").at is None  # type: ignore[union-attr]


# --- doubts of an event's own


@pytest.mark.parametrize(
    ("doubt", "source", "seconds", "words"),
    [
        ("1 min", "E-1", 60.0, "as stated"),
        ("2 min", "W-1", 120.0, "as stated"),
        ("1 s", "W-1", 60.0, "our least for a told time"),
        ("", "W-1 W-2", 600.0, "our figure for a time that a person told"),
        ("", "", 600.0, "our figure for a time that a person told"),
        ("not known", "W-1 E-1", 0.0, "the step it was written in"),
    ],
)
def test_a_told_time_is_not_instrument_grade(doubt: str, source: str, seconds: float, words: str) -> None:
    found = placed({"K-1": WALL}, [("K-1", "2026-03-02 13:00 -06:00", doubt, source)]).events[0]
    assert found.shown == seconds
    assert words in found.why


def test_the_step_of_a_clock_counts_as_even_odds_either_way() -> None:
    """A step of 1 min: 60 / sqrt(3) = 34.6 s, twice that at 95 %.

    JCGM 100:2008, 4.3.7 (confirmed).
    """
    clock = {**WALL, "resolution": "1 min"}
    found = placed({"K-1": clock}, [("K-1", NOON, "", "E-1")], reference_seconds="0").events[0]
    assert found.step == 60.0
    assert found.doubt == pytest.approx((4 * 3600 / 3 + 2**2) ** 0.5, rel=1e-4)


@pytest.mark.parametrize(("text", "step"), [("12:00 -06:00", 60.0), ("12:00:05 Z", 1.0), ("12:00:05.25 +01:00", 0.01)])
def test_a_time_is_no_finer_than_it_was_written(text: str, step: float) -> None:
    assert placed({"K-1": WALL}, [("K-1", f"2026-03-02 {text}", "", "E-1")]).events[0].step == step


# --- a clock that was set


def test_a_clock_set_forward_by_hand_is_two_clocks() -> None:
    clock = {
        "zone": CHICAGO,
        "comparisons": [compared("2026-03-10 12:00 -05:00", "30 s")],
        "was_set": [{"at": "2026-03-09 08:00 -05:00", "by": "10 min"}],
    }
    events = [("K-1", "2026-03-09 07:00 -05:00", "1 s", "E-1"), ("K-1", "2026-03-09 09:00 -05:00", "1 s", "E-1")]
    result = placed({"K-1": clock}, events)
    assert at(result, "T-1") == "2026-03-09 07:09:30 -05:00"
    assert at(result, "T-2") == "2026-03-09 08:59:30 -05:00"
    assert "taken as exact" in result.clocks[0].notes[0]
    clock["was_set"] = [{"at": "2026-03-09 08:00 -05:00"}]
    without = placed({"K-1": clock}, events)
    assert without.placed("T-1").at is None  # type: ignore[union-attr]
    assert at(without, "T-2") == "2026-03-09 08:59:30 -05:00"


def test_how_far_a_clock_was_set_has_a_doubt_of_its_own() -> None:
    """± 40 s for what it was set by, ± 2 s of reading, ± 1 s of the reference, and 5 s a day of drift for 29 hours."""
    clock = {
        "zone": CHICAGO,
        "comparisons": [compared("2026-03-10 12:00 -05:00", "30 s")],
        "was_set": [{"at": "2026-03-09 08:00 -05:00", "by": "10 min", "doubt": "40 s"}],
    }
    result = placed({"K-1": clock}, [("K-1", "2026-03-09 07:00 -05:00", "0 s", "E-1")])
    days = 29 / 24
    assert result.events[0].doubt == pytest.approx((40**2 + 2**2 + 1**2 + (5 * days) ** 2) ** 0.5, rel=1e-2)
    assert result.clocks[0].notes[0].endswith("follows from what it was set by.")


def test_a_clock_compared_twice_with_the_base_drifts_against_it() -> None:
    """10 s ahead on the 2nd and 20 s on the 12th: 15 s in the middle, though nobody knows how far the base is off."""
    clocks = {
        "K-1": {"zone": CHICAGO, "base": "yes"},
        "K-2": {
            "zone": CHICAGO,
            "comparisons": [
                compared(NOON, "10 s", reference="K-1"),
                compared("2026-03-12 13:00 -05:00", "20 s", reference="K-1"),
            ],
        },
    }
    result = placed(clocks, [("K-2", "2026-03-07 12:00:15 -06:00", "0 s", "E-1")])
    assert at(result, "T-1") == "2026-03-07 12:00:00 -06:00"
    (piece,) = result.clocks[1].pieces
    assert piece.drift == pytest.approx(1.0) and piece.compared == 2


def test_a_time_that_a_clock_showed_twice_is_doubted_by_what_lies_between() -> None:
    clock = {
        "zone": CHICAGO,
        "comparisons": [compared("2026-03-10 12:00 -05:00", "0 s")],
        "was_set": [{"at": "2026-03-09 08:00 -05:00", "by": "-30 min"}],
    }
    found = placed({"K-1": clock}, [("K-1", "2026-03-09 08:10 -05:00", "1 s", "E-1")]).events[0]
    assert found.doubt is not None and found.doubt >= 1800.0


# --- daylight saving


def test_a_clock_that_shows_standard_time_differs_by_exactly_an_hour() -> None:
    """The same digits, read as the zone's and as standard time, lie one hour apart in summer and nowhere in winter."""
    for day, gap in (("2026-07-01", 3600), ("2026-01-15", 0)):
        summer = "-05:00" if gap else "-06:00"
        follows = placed({"K-1": WALL}, [("K-1", f"{day} 12:00:00 {summer}", "1 s", "E-1")])
        fixed = placed({"K-1": {**WALL, "zone": "-06:00"}}, [("K-1", f"{day} 12:00:00 -06:00", "1 s", "E-1")])
        one, other = follows.events[0].at, fixed.events[0].at
        assert one is not None and other is not None
        assert (other.at - one.at) == dt.timedelta(seconds=gap)


@pytest.mark.parametrize(
    ("zone", "text", "hour"),
    [
        (CHICAGO, "2026-03-08 01:59 -06:00", Hour.FITS),
        (CHICAGO, "2026-03-08 02:30 -06:00", Hour.NEVER),
        (CHICAGO, "2026-03-08 02:30 -05:00", Hour.NEVER),
        (CHICAGO, "2026-03-08 03:00 -05:00", Hour.FITS),
        (CHICAGO, "2026-03-08 03:00 -06:00", Hour.OTHER),
        (CHICAGO, "2026-11-01 01:30 -05:00", Hour.TWICE),
        (CHICAGO, "2026-11-01 01:30 -06:00", Hour.TWICE),
        ("-06:00", "2026-03-08 02:30 -06:00", Hour.FITS),
        ("-06:00", "2026-07-08 02:30 -05:00", Hour.OTHER),
        ("Europe/Berlin", "2026-03-29 02:15 +01:00", Hour.NEVER),
        ("Europe/Berlin", "2026-10-25 02:15 +02:00", Hour.TWICE),
        ("Central time", "2026-03-08 01:59 -06:00", Hour.UNKNOWN_ZONE),
        ("../../etc/passwd", "2026-03-08 01:59 -06:00", Hour.UNKNOWN_ZONE),
        ("+15:00", "2026-03-08 01:59 -06:00", Hour.UNKNOWN_ZONE),
    ],
)
def test_how_a_time_fits_its_zone(zone: str, text: str, hour: Hour) -> None:
    assert placed({"K-1": {**WALL, "zone": zone}}, [("K-1", text, "1 s", "E-1")]).events[0].hour is hour


# --- properties

_EVENTS = st.lists(
    st.tuples(st.sampled_from(["K-1", "K-2", "K-3"]), st.integers(0, 1200), st.integers(0, 300)), min_size=2, max_size=7
)


def _placed(events: list[tuple[str, int, int]], more: int = 0) -> Placing:
    clocks = {
        "K-1": {"zone": CHICAGO, "comparisons": [compared(NOON, "40 s", "20 s")]},
        "K-2": {
            "zone": CHICAGO,
            "comparisons": [compared(NOON, "-90 s", "1 min"), compared("2026-03-12 12:00 -05:00", "60 s", "30 s")],
        },
        "K-3": {"zone": CHICAGO},
    }
    clocks["K-2"]["comparisons"][0]["offset"] = "-1 min 30 s"  # type: ignore[index]
    rows = []
    for clock, second, doubt in events:
        time = (dt.datetime(2026, 3, 2, 13) + dt.timedelta(seconds=second)).strftime("%Y-%m-%d %H:%M:%S")
        rows.append((clock, f"{time} -06:00", f"{doubt + more} s", "E-1"))
    return placed(clocks, rows)


@settings(deadline=None)
@given(_EVENTS)
def test_the_order_is_antisymmetric_and_transitive(events: list[tuple[str, int, int]]) -> None:
    result = _placed(events)
    names = [one.event for one in result.events]
    for a, b in itertools.permutations(names, 2):
        one, other = result.order(a, b), result.order(b, a)
        assert {one, other} in ({Order.BEFORE, Order.AFTER}, {Order.OPEN})
    for a, b, c in itertools.permutations(names, 3):
        if result.order(a, b) is Order.BEFORE and result.order(b, c) is Order.BEFORE:
            assert result.order(a, c) is Order.BEFORE


@settings(deadline=None)
@given(_EVENTS, st.integers(1, 500))
def test_more_doubt_never_makes_an_order(events: list[tuple[str, int, int]], more: int) -> None:
    less, wider = _placed(events), _placed(events, more)
    open_before = {frozenset(pair) for pair in less.unordered}
    assert open_before <= {frozenset(pair) for pair in wider.unordered}


@settings(deadline=None)
@given(_EVENTS)
def test_groups_hold_every_placed_event_once_and_follow_one_another(events: list[tuple[str, int, int]]) -> None:
    result = _placed(events)
    assert [ref for group in result.groups for ref in group] == [one.event for one in result.events if one.at]
    for early, late in itertools.combinations(result.groups, 2):
        assert all(result.order(a, b) is Order.BEFORE for a in early for b in late)


# --- what people may write

_LENGTHS = st.builds(
    lambda sign, number, name: f"{sign}{number} {name}",
    st.sampled_from(["", "-"]),
    st.sampled_from([0, 1, 59, 3600, 36525, 99999]),
    st.sampled_from(["s", "min", "h"]),
)
_TIMES = st.sampled_from(
    ["1900-01-01 00:00 +14:00", "1900-01-01 00:00 -14:00", "2199-12-31 23:59:59.999999 -14:00", "1969-12-31 23:59:59 Z",
     "2026-03-02 12:00 -06:00", "2026-03-02 12:00:00.000001 -06:00", "2026-11-01 01:30 -05:00"]
)  # fmt: skip
_REFERENCES = st.sampled_from(["network time", "K-1", "K-2", "K-3", "K-4"])
_CLOCKS = st.fixed_dictionaries(
    {
        "comparisons": st.lists(
            st.fixed_dictionaries({"at": _TIMES, "offset": _LENGTHS, "doubt": _LENGTHS, "reference": _REFERENCES}),
            max_size=3,
        ),
        "zone": st.sampled_from([CHICAGO, "-06:00", "Pacific/Apia", "Nowhere", "Europe/London"]),
        "was_set": st.lists(
            st.fixed_dictionaries({"at": _TIMES}, optional={"by": _LENGTHS, "doubt": _LENGTHS}), max_size=2
        ),
        "base": st.sampled_from(["yes", "no", "no"]),
    },
    optional={"drift_per_day": _LENGTHS, "resolution": st.sampled_from(["1 s", "1 min", "3 W"])},
)


@settings(deadline=None)
@given(
    st.dictionaries(st.sampled_from(["K-1", "K-2", "K-3"]), _CLOCKS, min_size=1),
    st.lists(st.tuples(st.sampled_from(["K-1", "K-2", "K-3", "K-9"]), _TIMES, _LENGTHS, st.just("E-1")), max_size=4),
)
def test_whatever_is_written_gives_a_result_that_reads_back(clocks: dict, events: list) -> None:  # type: ignore[type-arg]
    result = placed(clocks, events)
    assert {one.event for one in result.events} == {f"T-{n}" for n in range(1, len(events) + 1)}
    adapter = TypeAdapter(Placing)
    data = adapter.dump_json(result)
    assert b"NaN" not in data and b"Infinity" not in data and b"inf" not in data
    assert adapter.validate_json(data) == result


def test_the_order_of_a_file_has_no_say() -> None:
    ring = {
        "K-2": {"zone": CHICAGO, "comparisons": [compared(NOON, "5 s", reference="K-1"), compared(NOON, "9 s")]},
        "K-1": {"zone": CHICAGO, "comparisons": [compared(NOON, "-5 s", reference="K-2"), compared(NOON, "2 s")]},
    }
    events = [("K-1", NOON, "1 s", "E-1"), ("K-2", NOON, "1 s", "E-1")]
    assert placed(ring, events) == placed(dict(reversed(ring.items())), events)


def test_a_long_chain_of_clocks_ends_in_words() -> None:
    chain = {
        f"K-{n}": {"zone": CHICAGO, "comparisons": [compared(NOON, "1 s", reference=f"K-{n + 1}")]}
        for n in range(1, 300)
    }
    chain["K-300"] = WALL
    result = placed(chain, [("K-1", NOON, "1 s", "E-1"), ("K-299", NOON, "1 s", "E-1")])
    assert result.placed("T-1").at is None  # type: ignore[union-attr]
    assert at(result, "T-2").startswith("2026-03-02 11:58:49")
