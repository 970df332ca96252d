"""Which days are no work days: weekends, Federal holidays as observed, closings the organisation names."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from functools import cache

from asfound.model.reporting import Closing, WorkCalendar

_WEEKEND = {5: "Saturday", 6: "Sunday"}


@cache
def federal_holidays(year: int) -> Mapping[dt.date, str]:
    """Federal holidays of the United States that are kept on a day of `year`: 5 USC 6103(a), on the day observed.

    A holiday on a Saturday is kept on the Friday before it, on a Sunday on the Monday after: New Year's Day of 2028 is
    kept on 31 December 2027. One-off closings by order and Inauguration Day, which is kept around the capital only, are
    not among them. From the library `holidays`; empty for a year that it knows nothing of.
    """
    # It costs several times what the interpreter needs to start; a case of another jurisdiction never pays for it.
    import holidays

    # The next year's first holiday may be kept in this one.
    found = holidays.country_holidays("US", years=(year, year + 1), observed=True)
    return {day: str(name) for day, name in sorted(found.items()) if day.year == year}


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
