"""Reporting clocks as data: who owes a report, what starts the clock, how it is counted, to whom it goes.

A file of `.asfound/reporting/` or of the package. The clocks are reminders and no legal advice: a set says which
document it takes them from and how well that was read; what it does not know is for whoever is licensed to say.
"""

from __future__ import annotations

from enum import StrEnum

from asfound.model.base import Count, Day, Prose, Record, Slug, Text, YesNo
from asfound.model.event import Harmed
from asfound.model.limits import SourceStatus
from asfound.model.reasoning import Recipient


class CountedIn(StrEnum):
    """What a time limit is counted in."""

    WORK_DAYS = "work days"
    CALENDAR_DAYS = "calendar days"
    HOURS = "hours"
    NEXT_NEW_YEAR = "to the next 1 January"


class Start(StrEnum):
    """What starts a clock. The day itself is day 0 and is not counted."""

    AWARE = "staff became aware"
    EVENT = "the event"
    MANUFACTURER_INFORMED = "the manufacturer was informed"


class DecidedBy(StrEnum):
    """Which statement chooses among the clocks of a duty."""

    OUTCOME = "outcome_class in case.yml"
    STAFF = "staff_harm in case.yml"
    CLASS = "class in duties.yml"


class WorkCalendar(StrEnum):
    """Which days besides Saturdays and Sundays are no work days."""

    US_FEDERAL = "US federal"
    """Federal holidays of the United States, on the day they are observed."""
    WEEKENDS = "weekends only"


class Within(Record):
    """A time limit."""

    count: Count
    """How many."""
    counted_in: CountedIn
    """What is counted: hours, days, working days."""


class ReportingClock(Record):
    """What a duty asks where one class of events applies."""

    within: Within | None = None
    """The time limit; nothing where no report is asked for."""
    to: tuple[Recipient, ...] = ()
    """To whom the report goes."""
    maker_unknown_to: tuple[Recipient, ...] = ()
    """To whom it goes where the maker is not known; without it, to the others under `to`."""
    clause: Text | None = None
    """Where the document says so."""
    status: SourceStatus | None = None
    """How well the clause was read; without it, as the duty says."""
    note: Text | None = None
    """What else is to be said of it."""


class DutyKind(Record):
    """A duty to report; what `duty` in duties.yml names."""

    title: Text
    """The duty in a few words."""
    owed_by: Text
    """Who owes it, by role."""
    ours: YesNo = True
    """Whether the organisation that keeps the case owes it itself."""
    harmed: tuple[Harmed, ...] = ()
    """Whose harm it is about; nothing means anybody's, or nobody's."""
    perhaps_harmed: tuple[Harmed, ...] = ()
    """Whose harm it may be about, which the document leaves to whoever is licensed to say: the duty then may apply."""
    decided_by: DecidedBy
    """What decides among its clocks."""
    start: Start
    """What starts the clock."""
    clocks: dict[Text, ReportingClock]
    """By the word that chooses the clock."""
    asks_decision: YesNo = True
    """Whether the decision to report, or not to, is kept with its reasons."""
    remind: Count = 3
    """How many days before the end a report not sent is spoken of; work days where the clock counts these. Ours."""
    clause: Text | None = None
    """Where the document says so."""
    status: SourceStatus
    """How well the text was read."""
    note: Prose | None = None
    """What the document leaves open, or what is easily misread."""


class FileRetention(Record):
    """How long the file of an event is kept."""

    years: Count
    """From the date of the event."""
    clause: Text | None = None
    """Where the document says so."""
    status: SourceStatus
    """How well the text was read."""
    note: Text | None = None
    """What else is to be said of it."""


class Closing(Record):
    """A day that is no work day, beyond the calendar: a one-off closing by order."""

    day: Day
    """The day on which offices are closed."""
    why: Text
    """By whose order; printed wherever the day is passed over."""


class ReportingSet(Record):
    """Duties of one jurisdiction from one document; a file of reporting/."""

    reporting: Slug
    """Its name; that of the file."""
    title: Text
    """The document in a few words."""
    document: Text
    """The document the duties are taken from."""
    edition: Text
    """Edition of that document."""
    jurisdictions: tuple[Text, ...] = ()
    """Words under `jurisdiction` in case.yml for which it speaks."""
    calendar: WorkCalendar = WorkCalendar.WEEKENDS
    """Whose working days are counted."""
    closings: tuple[Closing, ...] = ()
    """Days beyond the calendar, for every set with the same calendar."""
    duties: dict[Slug, DutyKind] = {}
    """The duties, by name."""
    retention: FileRetention | None = None
    """How long files are kept."""
    note: Prose | None = None
    """What else is to be said of it."""


class EventCode(Record):
    """A term of an open list of codes for adverse events."""

    term: Text
    """In short; the list has the full wording."""
    status: SourceStatus


class CodeList(Record):
    """An open list of codes for adverse events, as far as it was read."""

    document: Text
    release: Text
    annexes: dict[Text, Text]
    """What each annex, by its letter, speaks of."""
    codes: dict[Text, EventCode]
    note: Prose | None = None


class Reporting(Record):
    """Every duty a case may be asked about, and the open list of codes suggestions come from."""

    sets: dict[Slug, ReportingSet] = {}
    codes: CodeList | None = None
