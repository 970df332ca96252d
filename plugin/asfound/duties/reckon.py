"""From the head of a case, its duty records and the clocks to lines: what is owed, until when, what was sent."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from asfound.duties.calendars import closed_days, federal_holidays
from asfound.duties.codes import suggested
from asfound.duties.counting import calendar_days, hours, left, new_year, work_days, years_later
from asfound.model.case import Case
from asfound.model.duties import Alternative, DayCounted, Duties, DutyLine, FileKept, Sending, Standing
from asfound.model.event import OutcomeClass, StaffHarm
from asfound.model.reasoning import Duty, Recipient
from asfound.model.reporting import (
    CountedIn,
    DecidedBy,
    DutyKind,
    Reporting,
    ReportingClock,
    ReportingSet,
    Start,
    Within,
    WorkCalendar,
)


def reckon(case: Case, reporting: Reporting, on: dt.date) -> Duties:
    """Every duty that the case's jurisdiction knows and its harm touches, as of `on`. Raises for nothing in a case."""
    wanted = {word.casefold() for word in case.head.jurisdiction}
    sets = [one for one in reporting.sets.values() if wanted & {word.casefold() for word in one.jurisdictions}]
    lines: list[DutyLine] = []
    for one in sets:
        closings = closed_days(
            closing for other in reporting.sets.values() if other.calendar is one.calendar for closing in other.closings
        )
        for name, kind in one.duties.items():
            if kind.harmed and case.head.harmed not in (*kind.harmed, *kind.perhaps_harmed):
                continue
            lines.append(_Reckoning(case, one, name, kind, closings, on).line())
    codes, known = reporting.codes, {name for one in reporting.sets.values() for name in one.duties}
    return Duties(
        lines=tuple(lines),
        kept=_kept(case, sets),
        codes=tuple(suggested(case, codes)) if codes is not None and sets else (),
        code_list=f"{codes.document}; {codes.release}" if codes is not None and sets else "",
        sets=tuple(one.title for one in sets),
        known=tuple(sorted(known)),
    )


def _kept(case: Case, sets: Iterable[ReportingSet]) -> FileKept | None:
    event = case.head.event.told_at.at.date()
    found = [
        FileKept(
            years_later(event, one.retention.years),
            one.retention.years,
            _source(one.document, one.retention.clause),
            one.retention.status,
        )
        for one in sets
        if one.retention is not None
    ]
    return max(found, key=lambda kept: kept.until, default=None)


def _source(document: str, clause: str | None) -> str:
    return f"{document}, {clause}" if clause else document


_HOURS = {
    CountedIn.HOURS: 1.0,
    CountedIn.CALENDAR_DAYS: 24.0,
    CountedIn.WORK_DAYS: 24.0 * 7 / 5,
    CountedIn.NEXT_NEW_YEAR: 24.0 * 365,
}


class _Term(Struct, frozen=True):
    """A time limit counted out."""

    due: dt.date | None = None
    due_at: dt.datetime | None = None
    counted: tuple[DayCounted, ...] = ()


class _Reckoning(Struct, frozen=True):
    """One duty of one case."""

    case: Case
    set: ReportingSet
    name: str
    kind: DutyKind
    closings: Mapping[dt.date, str]
    on: dt.date

    def line(self) -> DutyLine:
        """The line."""
        kind, records = self.kind, self._records()
        start = self._start(records)
        standing, word, clock = self._chosen(records, start)
        term = self._term(clock, start)
        within = clock.within if clock else None
        counting = str(within.counted_in) if within else ""
        days_left = self._left(term, within)
        decisions = [one.report for one in records.values() if one.report is not None]
        return DutyLine(
            kind=self.name,
            title=kind.title,
            owed_by=kind.owed_by,
            ours=kind.ours,
            asks_decision=kind.asks_decision,
            standing=standing,
            decided_by=str(kind.decided_by),
            word=word,
            within=_within(within),
            counting=counting,
            started_by=str(kind.start),
            start=start.date() if start else None,
            due=term.due,
            due_at=term.due_at,
            counted=term.counted,
            left=days_left,
            near=days_left is not None and 0 <= days_left <= kind.remind,
            sendings=tuple(self._sendings(clock, records, term)) if clock and clock.within else (),
            alternatives=() if word else tuple(self._alternatives(start)),
            records=tuple(records),
            declined=bool(decisions) and not decisions[-1],
            source=_source(self.set.document, (clock.clause if clock else None) or kind.clause),
            status=(clock.status if clock else None) or kind.status,
            notes=tuple(self._notes(clock, term)),
        )

    def _records(self) -> dict[str, Duty]:
        mine = [(ref, one) for ref, one in self.case.duties.items() if one.duty == self.name]
        return dict(sorted(mine, key=lambda pair: pair[1].at.utc))

    def _chosen(
        self, records: Mapping[str, Duty], start: dt.datetime | None
    ) -> tuple[Standing, str, ReportingClock | None]:
        """Whether it applies, the word that says so, and the clock: the shortest of those that may be meant."""
        words = self._words(records)
        if words is None:
            return Standing.MAY_APPLY, "", self._shortest(self.kind.clocks.values(), start)
        chosen = [(word, self.kind.clocks[word]) for word in words if word in self.kind.clocks]
        timed = [(word, clock) for word, clock in chosen if clock.within is not None]
        if timed:
            shortest = self._shortest((clock for _, clock in timed), start)
            unsure = self.case.head.harmed in self.kind.perhaps_harmed
            return (
                Standing.MAY_APPLY if unsure else Standing.APPLIES,
                next(word for word, clock in timed if clock is shortest),
                shortest,
            )
        return Standing.NOT_ASKED, ", ".join(words), chosen[0][1] if chosen else None

    def _words(self, records: Mapping[str, Duty]) -> tuple[str, ...] | None:
        """What the case says of what decides; None where that is not known."""
        head = self.case.head
        if self.kind.decided_by is DecidedBy.OUTCOME:
            known = head.outcome_class
            return None if known in (None, OutcomeClass.NOT_YET_KNOWN) else (str(known),)
        if self.kind.decided_by is DecidedBy.STAFF:
            harm = head.staff_harm
            return None if not harm or StaffHarm.NOT_YET_KNOWN in harm else tuple(str(one) for one in harm)
        classes = [one.class_ for one in records.values() if one.class_ in self.kind.clocks]
        return (classes[-1],) if classes and classes[-1] else None

    def _shortest(self, clocks: Iterable[ReportingClock], start: dt.datetime | None) -> ReportingClock | None:
        """The clock that ends first, of those with a time limit; counted out, as ten work days outlast twelve days."""
        timed = [(clock.within, clock) for clock in clocks if clock.within is not None]
        ends = [(self._end(clock, within, start), number) for number, (within, clock) in enumerate(timed)]
        return timed[min(ends)[1]][1] if ends else None

    def _end(self, clock: ReportingClock, within: Within, start: dt.datetime | None) -> float:
        """Hours from the start to the end of a clock; without a start what a clock of its kind takes by itself."""
        term = self._term(clock, start)
        if start is not None and term.due is not None:
            if term.due_at is not None:
                return (term.due_at - start).total_seconds() / 3600
            # A day runs out with its last minute.
            over = dt.datetime.combine(term.due + dt.timedelta(days=1), dt.time(), start.tzinfo)
            return (over - start).total_seconds() / 3600
        return within.count * _HOURS[within.counted_in]

    def _start(self, records: Mapping[str, Duty]) -> dt.datetime | None:
        if self.kind.start is Start.EVENT:
            return self.case.head.event.told_at.at
        if self.kind.start is Start.AWARE:
            aware = self.case.head.event.aware_at
            return aware.at if aware else None
        told = [one.manufacturer_informed_at for one in records.values() if one.manufacturer_informed_at is not None]
        return min(told, key=lambda moment: moment.utc).at if told else None

    def _term(self, clock: ReportingClock | None, start: dt.datetime | None) -> _Term:
        within = clock.within if clock else None
        if within is None or start is None or within.count < 1:
            return _Term()
        day = start.date()
        if within.counted_in is CountedIn.HOURS:
            due_at = hours(start, within.count)
            return _Term(due_at.date(), due_at)
        if within.counted_in is CountedIn.NEXT_NEW_YEAR:
            return _Term(new_year(day, within.count))
        if within.counted_in is CountedIn.WORK_DAYS:
            counted = work_days(day, within.count, self.set.calendar, self.closings)
        else:
            counted = calendar_days(day, within.count)
        return _Term(counted[-1].day, None, counted)

    def _left(self, term: _Term, within: Within | None) -> int | None:
        if term.due is None or within is None:
            return None
        calendar: WorkCalendar | None = self.set.calendar if within.counted_in is CountedIn.WORK_DAYS else None
        return left(term.due, self.on, calendar, self.closings)

    def _sendings(self, clock: ReportingClock, records: Mapping[str, Duty], term: _Term) -> Iterator[Sending]:
        for to in self._recipients(clock):
            named = [(ref, one) for ref, one in records.items() if one.sent_at is not None and to in one.sent_to]
            vague = [(ref, one) for ref, one in records.items() if one.sent_at is not None and not one.sent_to]
            sent = sorted(named or vague, key=lambda pair: pair[1].sent_at.utc if pair[1].sent_at else dt.datetime.max)
            if sent and sent[0][1].sent_at is not None:
                ref, at = sent[0][0], sent[0][1].sent_at.at
                yield Sending(to, at, ref, not named, _late(term, at, at.date()))
            else:
                yield Sending(to, None, "", False, _late(term, None, self.on))

    def _recipients(self, clock: ReportingClock) -> tuple[Recipient, ...]:
        if self.case.head.maker_known is not False:
            return clock.to
        return clock.maker_unknown_to or tuple(to for to in clock.to if to is not Recipient.MAKER)

    def _alternatives(self, start: dt.datetime | None) -> Iterator[Alternative]:
        for word, clock in self.kind.clocks.items():
            yield Alternative(word, _within(clock.within), self._term(clock, start).due)

    def _notes(self, clock: ReportingClock | None, term: _Term) -> Iterator[str]:
        if clock is not None and clock.note:
            yield clock.note
        if self.case.head.harmed in self.kind.perhaps_harmed:
            yield f"Whether the harm of a {self.case.head.harmed} is meant is for whoever is licensed to say."
        within = clock.within if clock else None
        if within and term.due and within.counted_in is CountedIn.CALENDAR_DAYS and term.due.weekday() > 4:
            day = "Saturday" if term.due.weekday() == 5 else "Sunday"
            yield f"The last day is a {day}; it is not moved here."
        if within and within.counted_in is CountedIn.WORK_DAYS and self.set.calendar is WorkCalendar.US_FEDERAL:
            for year in sorted({one.day.year for one in term.counted}):
                if not federal_holidays(year):
                    yield f"No Federal holiday of {year} is known here; only weekends were passed over in it."
        if clock and Recipient.MAKER in clock.to and self.case.head.maker_known is None:
            yield "The maker is taken as known, since the case says nothing else."


def _late(term: _Term, at: dt.datetime | None, day: dt.date) -> int:
    """Calendar days past the due date; a sending within the due day but past the hour counts as one."""
    if term.due is None:
        return 0
    if at is not None and term.due_at is not None:
        return max((at.date() - term.due).days, 1) if at > term.due_at else 0
    return max((day - term.due).days, 0)


def _within(within: Within | None) -> str:
    if within is None:
        return ""
    if within.counted_in is CountedIn.NEXT_NEW_YEAR:
        return "by the next 1 January"
    return f"{within.count} {within.counted_in}"
