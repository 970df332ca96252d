"""Counting a time limit out, day by day. The day that starts a clock is day 0 and is never counted itself."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from asfound.duties.calendars import why_closed
from asfound.model.duties import DayCounted
from asfound.model.reporting import WorkCalendar


def work_days(
    start: dt.date, count: int, calendar: WorkCalendar, closings: Mapping[dt.date, str]
) -> tuple[DayCounted, ...]:
    """Every day from the one after `start` to the work day number `count`, those passed over with the reason.

    Raises ValueError for a count below 1.
    """
    _at_least_one(count)
    found: list[DayCounted] = []
    day, number = start, 0
    while number < count:
        day += dt.timedelta(days=1)
        why = why_closed(day, calendar, closings)
        number += not why
        found.append(DayCounted(day, 0 if why else number, why))
    return tuple(found)


def calendar_days(start: dt.date, count: int) -> tuple[DayCounted, ...]:
    """Every day from the one after `start` to the day number `count`. No day is passed over, and none is added.

    Raises ValueError for a count below 1.
    """
    _at_least_one(count)
    return tuple(DayCounted(start + dt.timedelta(days=number), number) for number in range(1, count + 1))


def hours(start: dt.datetime, count: int) -> dt.datetime:
    """The instant `count` hours on, in the offset of the start. Hours run day and night."""
    return start + dt.timedelta(hours=count)


def new_year(start: dt.date, count: int) -> dt.date:
    """The first of January `count` times on: of an event in 2026, with 1, it is 1 January 2027."""
    return dt.date(start.year + count, 1, 1)


def years_later(day: dt.date, years: int) -> dt.date:
    """The same day some years on; of 29 February, where that year has none, 1 March: rather kept a day too long."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return dt.date(day.year + years, 3, 1)


def left(due: dt.date, on: dt.date, calendar: WorkCalendar | None, closings: Mapping[dt.date, str]) -> int:
    """Days from `on` to the due day, which counts: 0 on the due day, negative after it.

    Work days of `calendar`; calendar days where that is None.
    """
    if calendar is None or due <= on:
        return (due - on).days
    between = (on + dt.timedelta(days=number) for number in range(1, (due - on).days + 1))
    return sum(1 for day in between if not why_closed(day, calendar, closings))


def _at_least_one(count: int) -> None:
    if count < 1:
        raise ValueError("a time limit counts at least one")
