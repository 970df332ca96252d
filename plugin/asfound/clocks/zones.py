"""What a zone does with a time that was written down: whether it fits, came twice, or never came.

The zones themselves are handed in; this floor reads nothing.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

from asfound.model.base import Moment
from asfound.model.placing import Change, Hour

ZoneOf = Callable[[str], dt.tzinfo | None]
"""A zone by its name in the zone data; None for a name that is none."""

_FIXED = re.compile(r"([+\-−])(\d{2}):(\d{2})", re.ASCII)
_HOUR = 3600
_YEARS = (1900, 2199)
_ENOUGH = 20
"""Ten years of daylight saving: nobody needs a longer list to see that there were changes."""
_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)


def zone(text: str | None, zone_of: ZoneOf) -> dt.tzinfo | None:
    """The zone a clock shows: a name of the zone data, or an offset such as `-06:00`; None where it is neither."""
    if text is None:
        return None
    if text.strip() in {"Z", "UTC"}:
        return dt.UTC
    fixed = _FIXED.fullmatch(text.strip())
    if fixed is None:
        return zone_of(text.strip())
    hours, minutes = int(fixed[2]), int(fixed[3])
    if hours > 14 or minutes > 59:
        return None
    shift = dt.timedelta(hours=hours, minutes=minutes)
    return dt.timezone(shift if fixed[1] == "+" else -shift)


def hour(moment: Moment, text: str | None, zone_of: ZoneOf) -> Hour:
    """How a time fits the zone of the clock it was read off."""
    if text is None:
        return Hour.NO_ZONE
    shows = zone(text, zone_of)
    if shows is None:
        return Hour.UNKNOWN_ZONE
    wall = moment.at.replace(tzinfo=None)
    early, late = (wall.replace(tzinfo=shows, fold=fold).utcoffset() for fold in (0, 1))
    if early is not None and late is not None and early < late:
        # Before a gap the earlier reading has the old offset: both are answers for a time that does not exist.
        return Hour.NEVER
    if moment.at.utcoffset() not in {early, late}:
        return Hour.OTHER
    return Hour.FITS if early == late else Hour.TWICE


def changes(shows: dt.tzinfo | None, start: dt.datetime, end: dt.datetime) -> tuple[Change, ...]:
    """The changes of a zone's offset after `start` and up to `end`, found to the second; the first twenty."""
    if shows is None or end <= start:
        return ()
    found: list[Change] = []
    low, last = int(start.timestamp()), int(end.timestamp())
    step = 14 * 24 * _HOUR
    while low < last and len(found) < _ENOUGH:
        high = min(low + step, last)
        if _shift(shows, low) != _shift(shows, high):
            a, b = low, high
            while b - a > 1:
                middle = (a + b) // 2
                a, b = (middle, b) if _shift(shows, middle) == _shift(shows, a) else (a, middle)
            found.append(Change(as_moment(instant(b, shows)), _shift(shows, b) - _shift(shows, b - 1)))
        low = high
    return tuple(found)


def _shift(shows: dt.tzinfo, at: int) -> int:
    offset = instant(at, shows).utcoffset()
    return 0 if offset is None else int(offset.total_seconds())


def instant(seconds: float, zone: dt.tzinfo) -> dt.datetime:
    """A time by its seconds since 1970; before 1970 as well, which not every system's own routine can."""
    return (_EPOCH + dt.timedelta(seconds=seconds)).astimezone(zone)


def as_moment(at: dt.datetime) -> Moment:
    """A time as a moment of a case, with a fixed offset."""
    offset = at.utcoffset() or dt.timedelta()
    # Offsets of the nineteenth century have seconds, which no moment of a case can be written with.
    fixed = dt.timezone(dt.timedelta(minutes=round(offset.total_seconds() / 60)))
    there = at.astimezone(fixed)
    if not _YEARS[0] <= there.year <= _YEARS[1]:
        # At the very edge of what a moment can say, the zone that still says it.
        there = at.astimezone(dt.timezone(dt.timedelta(hours=14 if there.year < _YEARS[0] else -14)))
    text = there.strftime("%Y-%m-%d %H:%M:%S") + (f".{there.microsecond // 100_000}" if there.microsecond else "")
    shift = there.strftime("%z")
    return Moment.read(f"{text} {shift[:3]}:{shift[3:5]}")
