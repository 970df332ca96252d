"""Clocks against the outside: sampling, the zone data, and the worked cases of the trade.

Sources and how well they were read stand beside each check.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from asfound import intake
from asfound.clocks.zones import changes
from asfound.model.placing import Order, Placing
from tests.unit.clocks.support import Event, compared, placed

CHICAGO = "America/Chicago"
DRAWS = 40_000


def when(placing: Placing, event: str) -> dt.datetime:
    found = placing.placed(event)
    assert found is not None and found.at is not None
    return found.at.at


def doubt(placing: Placing, event: str) -> float:
    found = placing.placed(event)
    assert found is not None and found.doubt is not None
    return found.doubt


# --- sampling: JCGM 101:2008, propagation of distributions by a Monte Carlo method. Status: confirmed (method); the
# sampler below shares no line with what it checks: it fits with numpy's polyfit and compares spreads.

HOURS = (0.0, 70.0, 190.0)
OFFSETS = (62.0, 66.0, 71.0)
DOUBTS = (6.0, 3.0, 9.0)
START = dt.datetime(2026, 3, 9, 12, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


def _text(hours: float) -> str:
    return (START + dt.timedelta(hours=hours)).strftime("%Y-%m-%d %H:%M:%S -05:00")


def _sampled(rng: np.random.Generator, readings: np.ndarray, shared: np.ndarray) -> np.ndarray:
    """Offsets at the times read, one row a draw: each draw reads the comparisons anew and fits a line through them."""
    t = np.array(HOURS) * 3600.0
    seen = np.array(OFFSETS) + rng.normal(0.0, np.array(DOUBTS) / 2, (DRAWS, 3)) + shared[:, None]
    slope, middle = np.polyfit(t, seen.T, 1, w=2 / np.array(DOUBTS))
    return middle[:, None] + slope[:, None] * readings[None, :]


def test_doubts_and_order_against_sampling() -> None:
    """Two events before the first comparison on one clock, one on another clock beside the same reference."""
    rng = np.random.default_rng(20260309)
    comparisons = [
        compared(_text(hour), f"{offset} s", f"{much} s", reference_doubt="3 s")
        for hour, offset, much in zip(HOURS, OFFSETS, DOUBTS, strict=True)
    ]
    other = [compared(_text(-20), "-30 s", "4 s", reference_doubt="3 s")]
    clocks = {
        "K-1": {"zone": "-05:00", "comparisons": comparisons},
        "K-2": {"zone": "-05:00", "comparisons": other, "drift_per_day": "6 s"},
    }
    events: list[Event] = [
        ("K-1", _text(-48), "2 s", "E-1"),
        ("K-1", _text(-47.999), "2 s", "E-1"),
        ("K-2", _text(-48.025), "2 s", "E-1"),
    ]
    result = placed(clocks, events)

    reading = np.array([-48, -47.999]) * 3600.0
    own = rng.normal(0.0, 1.0, (DRAWS, 3))
    shared = rng.normal(0.0, 1.5, DRAWS)  # the reference is known to ± 3 s, and both clocks were set beside it
    first = reading[None, :] + own[:, :2] - _sampled(rng, reading, shared)
    offset = -30.0 + rng.normal(0.0, 2.0, DRAWS) + shared
    drift = rng.normal(0.0, 3.0, DRAWS) * (-48.025 + 20.0) / 24.0
    third = -48.025 * 3600.0 + own[:, 2] - offset - drift
    for number, draws in enumerate((first[:, 0], first[:, 1], third), 1):
        assert doubt(result, f"T-{number}") == pytest.approx(2 * draws.std(), rel=0.02)
        placed_at = (when(result, f"T-{number}") - START).total_seconds()
        assert placed_at == pytest.approx(draws.mean(), abs=0.6)  # times are told to the second
    # The first two are 3.6 s apart and each known to some 8 s, and still in order: 2 sqrt(1² + 1²) = 2.8 s.
    assert doubt(result, "T-1") > 7
    assert result.order("T-1", "T-2") is Order.BEFORE
    assert (first[:, 0] < first[:, 1]).mean() > 0.977
    for one, draws in (("T-1", first[:, 0]), ("T-2", first[:, 1])):
        gap = draws - third
        settled = abs(gap.mean()) > 2 * gap.std()
        assert not settled
        assert result.order(one, "T-3") is Order.OPEN


def test_the_interval_holds_the_truth_as_often_as_it_says() -> None:
    """Cases drawn with a true offset and drift: the interval must hold the true time in about 95.45 % of them."""
    rng = np.random.default_rng(7)
    held, cases = 0, 400
    for _ in range(cases):
        start, drift = rng.normal(0.0, 300.0), rng.normal(0.0, 20.0)
        sights = []
        for day in (3.0, 6.0):
            seen = start + drift * day + rng.normal(0.0, 1.0)
            sign = "-" if seen < 0 else ""
            at = (START + dt.timedelta(days=day)).strftime("%Y-%m-%d %H:%M:%S -05:00")
            sights.append(compared(at, f"{sign}{abs(seen):.3f} s", "2 s", reference_doubt="0 s"))
        shown = START + dt.timedelta(seconds=round(start + rng.normal(0.0, 1.0), 3))
        text = shown.strftime("%Y-%m-%d %H:%M:%S.%f -05:00")
        one = placed({"K-1": {"zone": "-05:00", "comparisons": sights}}, [("K-1", text, "2 s", "E-1")]).events[0]
        assert one.offset is not None and one.doubt is not None
        truth = (shown - START).total_seconds()
        held += abs(truth - one.offset) <= one.doubt
    # Binomial: 0.9545 of 400 is 381.8 with a standard deviation of 4.2; four of them either way.
    assert 365 <= held <= 398


# --- zones: IANA time zone database through Python's zoneinfo and tzdata. Status: confirmed.


@pytest.mark.parametrize(
    ("zone", "start", "end", "at", "by"),
    [
        # United States: second Sunday of March, 02:00 local (15 U.S.C. 260a; confirmed by the zone data).
        (CHICAGO, "2026-03-01", "2026-04-01", "2026-03-08 03:00:00 -05:00", 3600),
        (CHICAGO, "2026-10-15", "2026-12-01", "2026-11-01 01:00:00 -06:00", -3600),
        # European Union: last Sunday of March, 01:00 UTC (Directive 2000/84/EC; confirmed by the zone data).
        ("Europe/Berlin", "2026-03-01", "2026-04-15", "2026-03-29 03:00:00 +02:00", 3600),
        ("Europe/Dublin", "2026-03-01", "2026-04-15", "2026-03-29 02:00:00 +01:00", 3600),
        # Half an hour, Lord Howe Island (zone data; confirmed).
        ("Australia/Lord_Howe", "2026-03-15", "2026-05-01", "2026-04-05 01:30:00 +10:30", -1800),
    ],
)
def test_changes_of_zones_are_found_to_the_second(zone: str, start: str, end: str, at: str, by: int) -> None:
    day = [dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC) for text in (start, end)]
    found = changes(intake.zone_of(zone), *day)
    assert [(one.at.text, one.by) for one in found] == [(at, by)]


def test_a_zone_without_changes_has_none() -> None:
    day = [dt.datetime(year, 1, 1, tzinfo=dt.UTC) for year in (2020, 2026)]
    assert changes(intake.zone_of("America/Phoenix"), *day) == ()


# --- worked cases: invented; the arithmetic is done by hand in each. Status: confirmed (arithmetic).


def test_a_unit_and_a_chart_seven_minutes_twenty_apart() -> None:
    """The unit is 6 min 20 s behind the facility's clock, the chart 1 min ahead: their readings differ by 7 min 20 s.

    The chart writes the arrest at 14:00:00 and the unit its first charge at 13:55:00. Read as they stand, the charge
    came five minutes before the arrest; on one base it came 2 min 20 s after it.
    """
    clocks = {
        "K-1": {"what": "facility reference", "zone": CHICAGO, "base": "yes"},
        "K-2": {"zone": CHICAGO, "comparisons": [compared("2026-04-14 15:00 -05:00", "-6 min 20 s", "2 s", "K-1")]},
        "K-3": {"zone": CHICAGO, "comparisons": [compared("2026-04-14 15:00 -05:00", "1 min", "5 s", "K-1")]},
    }
    events: list[Event] = [
        ("K-3", "2026-04-14 14:00:00 -05:00", "30 s", "E-1"),
        ("K-2", "2026-04-14 13:55:00 -05:00", "1 s", "E-2"),
    ]
    result = placed(clocks, events)
    assert when(result, "T-1").strftime("%H:%M:%S") == "13:59:00"
    assert when(result, "T-2").strftime("%H:%M:%S") == "14:01:20"
    shown = dt.timedelta(minutes=5)
    assert when(result, "T-2") - when(result, "T-1") + shown == dt.timedelta(minutes=7, seconds=20)
    assert result.order("T-1", "T-2") is Order.BEFORE


def test_a_pump_eleven_minutes_slow() -> None:
    """The pump's log begins its rate at 08:49 by its own clock, 11 min slow: 09:00 on the base."""
    pump = {"zone": CHICAGO, "comparisons": [compared("2026-05-20 10:00 -05:00", "-11 min", "5 s")]}
    result = placed({"K-1": pump}, [("K-1", "2026-05-20 08:49:00 -05:00", "1 s", "E-1")])
    assert when(result, "T-1").strftime("%H:%M:%S") == "09:00:00"


def test_a_ventilator_log_two_minutes_ten_behind() -> None:
    """The log is 2 min 10 s behind; the alarm in it and the nurse's account of the disconnection are not settled."""
    clocks = {
        "K-1": {"zone": CHICAGO, "comparisons": [compared("2026-06-02 11:00 -05:00", "-2 min 10 s", "2 s")]},
        "K-2": {"zone": CHICAGO, "comparisons": [compared("2026-06-02 11:00 -05:00", "0 s", "5 s")]},
    }
    events: list[Event] = [
        ("K-1", "2026-06-02 09:10:00 -05:00", "1 s", "E-1"),
        ("K-2", "2026-06-02 09:13 -05:00", "", "W-1"),
    ]
    result = placed(clocks, events)
    assert when(result, "T-1").strftime("%H:%M:%S") == "09:12:10"
    assert result.order("T-1", "T-2") is Order.OPEN
    assert doubt(result, "T-2") == pytest.approx(600.0, abs=0.1)
