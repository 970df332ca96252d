"""The register of reporting duties: the clocks as data, with their sources."""

from __future__ import annotations

from jinja2 import Environment

from asfound.measure import show_date
from asfound.model.reporting import CountedIn, Reporting, ReportingSet, Within, WorkCalendar
from asfound.pages.page import Entry, Options, Page
from asfound.pages.prose import Prose
from asfound.pages.texts import status_words

URI = "reporting.md"
CALENDARS = {
    WorkCalendar.US_FEDERAL: "weekdays that are no Federal holiday of the United States, on the day it is observed",
    WorkCalendar.WEEKENDS: "Monday to Friday",
}


def reporting_page(environment: Environment, reporting: Reporting, options: Options) -> Page:
    """The page. It speaks of the duties in general and of no case."""
    sets = list(reporting.sets.values())
    body = environment.get_template("reporting.html").render(
        sets=sets, codes=reporting.codes, calendars=CALENDARS, status=status_words, within=within_words, date=show_date,
        counts_work_days=_counts_work_days,
        notice=options.notice, prose=Prose(lambda ref: "", lambda ref: ref),
    )  # fmt: skip
    headings = tuple(Entry(2, one.reporting, one.title) for one in sets)
    return Page(URI, "Reporting duties", body, "Reporting duties", headings)


def _counts_work_days(one: ReportingSet) -> bool:
    """Whether a set counts work days, or names closings for those that do."""
    clocks = (clock for kind in one.duties.values() for clock in kind.clocks.values())
    return bool(one.closings) or any(
        clock.within is not None and clock.within.counted_in is CountedIn.WORK_DAYS for clock in clocks
    )


def within_words(within: Within) -> str:
    """A time limit in words."""
    if within.counted_in is CountedIn.NEXT_NEW_YEAR:
        return "by the next 1 January"
    return f"{within.count} {within.counted_in}"
