"""Which days are no work days: weekends, Federal holidays as observed, closings the organisation names."""

from __future__ import annotations

import datetime as dt
from calendar import monthrange
from collections.abc import Iterable, Mapping
from functools import cache

from asfound.model.reporting import Closing, WorkCalendar

_WEEKEND = {5: "Saturday", 6: "Sunday"}


COUNTED = range(2021, 2100)
"""Years that are counted out: from the one in which the nineteenth of June was added to the statute, to where the
library ends too, beyond which nobody should trust a list of today."""
_FIXED = (
    (1, 1, "New Year's Day"),
    (6, 19, "Juneteenth National Independence Day"),
    (7, 4, "Independence Day"),
    (11, 11, "Veterans Day"),
    (12, 25, "Christmas Day"),
)
"""Month, day, name."""
_WEEKDAYS = (
    (1, 0, 3, "Martin Luther King Jr. Day"),
    (2, 0, 3, "Washington's Birthday"),
    (5, 0, -1, "Memorial Day"),
    (9, 0, 1, "Labor Day"),
    (10, 0, 2, "Columbus Day"),
    (11, 3, 4, "Thanksgiving Day"),
)
"""Month, weekday (Monday is 0), which of the month (-1 is the last), name."""


@cache
def federal_holidays(year: int) -> Mapping[dt.date, str]:
    """Federal holidays of the United States that are kept on a day of `year`: 5 USC 6103(a), on the day observed.

    A holiday on a Saturday is kept on the Friday before it, on a Sunday on the Monday after: New Year's Day of 2028 is
    kept on 31 December 2027. One-off closings by order and Inauguration Day, which is kept around the capital only, are
    not among them. For the years of `COUNTED` by the statute (confirmed) and the days on which they are kept by 5 USC
    6103(b) and Executive Order 11582 (from memory); for others from the library `holidays`, whose names these are, and
    empty where that knows nothing.
    """
    if year not in COUNTED:
        # It costs several times what the interpreter needs to start: it holds the holidays of every country.
        import holidays

        # The next year's first holiday may be kept in this one.
        told = holidays.country_holidays("US", years=(year, year + 1), observed=True)
        return {day: str(name) for day, name in sorted(told.items()) if day.year == year}
    found = {}
    for of in (year, year + 1):
        for month, number, name in _FIXED:
            day = dt.date(of, month, number)
            found[day] = name
            if away := {5: -1, 6: 1}.get(day.weekday()):
                found[day + dt.timedelta(days=away)] = f"{name} (observed)"
        found.update({_which(of, month, weekday, which): name for month, weekday, which, name in _WEEKDAYS})
    return {day: found[day] for day in sorted(found) if day.year == year}


def _which(year: int, month: int, weekday: int, which: int) -> dt.date:
    """The first, second, ... or last weekday of a month."""
    last = which < 0
    start = dt.date(year, month, monthrange(year, month)[1] if last else 1)
    if last:
        return start - dt.timedelta(days=(start.weekday() - weekday) % 7)
    return start + dt.timedelta(days=(weekday - start.weekday()) % 7 + 7 * (which - 1))


def why_closed(day: dt.date, calendar: WorkCalendar, closings: Mapping[dt.date, str]) -> str:
    """Why a day is no work day; empty for one that is."""
    if day.weekday() in _WEEKEND:
        return _WEEKEND[day.weekday()]
    if calendar is WorkCalendar.US_FEDERAL and day in federal_holidays(day.year):
        return federal_holidays(day.year)[day]
    return closings.get(day, "")


def closed_days(closings: Iterable[Closing]) -> dict[dt.date, str]:
    """Closings by day; of several for one day the first is named."""
    found: dict[dt.date, str] = {}
    for one in closings:
        found.setdefault(one.day, one.why)
    return found
