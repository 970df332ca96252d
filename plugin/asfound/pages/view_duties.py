"""What is to be reported by when, in sentences: for the docket, the first page and the page of duties.

It belongs to the working site and goes into no record, edition or page that stands alone: it is the facility's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

from markupsafe import Markup
from msgspec import Struct

from asfound.measure import show_date, show_time
from asfound.model.duties import DayCounted, Duties, DutyLine, Sending, Standing
from asfound.model.reasoning import Notice
from asfound.pages.part import Part
from asfound.pages.texts import capital, listed, plural, status_words, when
from asfound.problems import Problem


class CountedRow(Struct, frozen=True):
    """A day of a count as the table shows it."""

    day: str
    number: str
    why: str


def due_words(line: DutyLine) -> str:
    """The last day in time, or the hour."""
    if line.due_at is not None:
        return show_time(line.due_at)
    return show_date(line.due) if line.due else "not known"


def whom(sendings: Sequence[Sending]) -> str:
    """`the agency and the maker`."""
    return listed([f"the {one.to}" for one in sendings])


def state_words(line: DutyLine) -> str:
    """How a duty stands, as a sentence without its final stop."""
    if line.standing is Standing.NOT_ASKED:
        return f"No report is asked for ({line.word or 'nothing here calls for one'})"
    if line.declined:
        return "It was decided not to report"
    unsent = line.unsent
    if not unsent:
        return _sent(line)
    part = f"; {_sent(line, some=True)}" if len(unsent) < len(line.sendings) else ""
    if line.due is None:
        return f"When it is due cannot be counted: the case does not say when {line.started_by}{part}"
    may = "If it is owed, it" if line.standing is Standing.MAY_APPLY else "It"
    if any(one.late for one in unsent):
        return f"{may} was due by {due_words(line)}, and nothing says that it was sent to {whom(unsent)}{part}"
    return f"{may} is due to {whom(unsent)} by {due_words(line)}, {left_words(line)}{part}"


def _sent(line: DutyLine, some: bool = False) -> str:
    sent = [one for one in line.sendings if one.sent_at is not None]
    said = []
    for one in sent:
        assert one.sent_at is not None
        late = f", {plural(one.late, 'day')} after it was due" if one.late else ""
        said.append(f"sent to the {one.to} at {show_time(one.sent_at)}{late}")
    words = listed(said)
    if some:
        return words
    due = f"; it was due by {due_words(line)}" if line.due else ""
    return f"{capital(words)}{due}"


def left_words(line: DutyLine) -> str:
    """How many days are left."""
    if not line.left:
        return "which is today"
    unit = "work day" if line.counting == "work days" else "day"
    return f"in {plural(line.left, unit)}"


def lower(text: str) -> str:
    """The first letter lowered, the rest left alone."""
    return text[:1].lower() + text[1:]


def risk_words(risk: str | None) -> str:
    """Whether others are at risk, in a word or two."""
    return {"yes": "yes", "no": "no", "not known": "not known"}.get(risk or "", "not stated")


class DutiesPart(Part):
    """Parts of the page of duties, and what the first page says of them and of others at risk."""

    @cached_property
    def working(self) -> bool:
        """Whether this is a page of the working site on which the facility's own duties may stand."""
        return self.options.duties and self.site and not self.single and self.edition is None

    # --- others at risk: a fact of the case, for every reader

    @cached_property
    def warnings_sent(self) -> list[tuple[str, Notice]]:
        """Urgent notices, in the order in which they went out."""
        urgent = [(ref, one) for ref, one in self.case.notices.items() if one.urgent]
        return sorted(urgent, key=lambda pair: pair[1].sent_at.utc)

    def hold_words(self, notice: Notice) -> Markup:
        """What a warning asks to hold back, in words; empty where it asks for nothing."""
        hold = notice.hold
        if hold is None:
            return Markup("")
        things: list[Markup] = [Markup("lot {}").format(lot) for lot in hold.lots]
        things += [Markup("model {}").format(model) for model in hold.models]
        things += [Markup("what is like {} ({})").format(self.link(ref), self.texts.note(ref)) for ref in hold.items]
        things += [Markup("{}").format(unit) for unit in hold.sister_units]
        words = Markup("; ").join(things) if things else Markup("nothing is named")
        until = Markup(", until {}").format(when(hold.until)) if hold.until else Markup("")
        return Markup("hold back {}{}").format(words, until)

    @cached_property
    def risk_lines(self) -> list[Markup]:
        """Whether anybody else is at risk, why, and who was warned."""
        said = risk_words(self.head.others_at_risk)
        lines = [Markup("Others at risk: <b>{}</b>.").format(said)]
        if self.head.others_at_risk_why:
            lines.append(self.prose.line(self.head.others_at_risk_why))
        for ref, notice in self.warnings_sent:
            hold = self.hold_words(notice)
            asked = Markup(": {}").format(hold) if hold else Markup("")
            still = Markup(" Still at risk: {}.").format(notice.still_at_risk) if notice.still_at_risk else Markup("")
            lines.append(
                Markup("Warned {}, {}, by {}{}.{}").format(
                    notice.to, when(notice.sent_at), self.link(ref), asked, still
                )
            )
        return lines

    # --- what is due: the facility's own

    @cached_property
    def due_lines(self) -> list[Markup]:
        """For the first page: what waits, the next due first; a sentence where nothing does."""
        if not self.working or not self.duties.lines:
            return []
        at = self.page("duties")
        lines = [self._due_line(line, at) for line in self.duties.open if line.ours][:3]
        settled = bool(lines) or not self.duties.problems
        if not lines and settled:
            lines = [Markup('<a href="{}">No report</a> of the facility is waiting to be sent.').format(at)]
        late = [line for line in self.duties.lines if line.ours and line.late and not line.unsent]
        lines += [self._due_line(line, at) for line in late]
        if self.duties.problems:
            count = plural(len(self.duties.problems), "reminder")
            told = Markup('<a href="{}#reminders">{}</a> about reporting').format(
                at, capital(count) if settled else count
            )
            # Where a clock could not be set nothing waits as far as the program can tell, and that is no all-clear.
            before = "" if settled else "Whether a report of the facility is owed is not settled: "
            lines.append(Markup("{}{}.").format(before, told))
        return [Markup('<span class="af-private">{}</span>').format(line) for line in lines]

    @staticmethod
    def _due_line(line: DutyLine, at: str) -> Markup:
        said = lower(state_words(line))
        marked = Markup('<span class="af-out af-plain">{}</span>').format(said) if line.late else said
        return Markup('<a href="{}#duty-{}">{}</a>: {}.').format(at, line.kind, line.title, marked)

    @cached_property
    def duties(self) -> Duties:
        """The duties, reckoned."""
        return self.dossier.duties

    @cached_property
    def duty_lines(self) -> list[DutyLine]:
        """All lines: what waits first, the next due first; then the others."""
        waiting = list(self.duties.open)
        return [*waiting, *(line for line in self.duties.lines if line not in waiting)]

    def duty_sentence(self, line: DutyLine) -> Markup:
        """How a duty stands, as a sentence."""
        said = f"{state_words(line)}."
        return (
            Markup('<span class="af-out af-plain">{}</span>').format(said) if line.late else Markup("{}").format(said)
        )

    def duty_facts(self, line: DutyLine) -> list[tuple[str, Any]]:
        """What a duty rests on, as pairs."""
        day = show_date(line.start) if line.start else "not known"
        start = f"{day}, when {line.started_by}"
        chosen = f"{line.word} ({line.decided_by})" if line.word else f"not known yet ({line.decided_by})"
        if line.started_by == "the event" and line.start:
            start = f"{show_date(line.start)}, the day of the event"
        shortest = ", the shortest of those below" if line.alternatives and line.within else ""
        within = f"{line.within or 'none'}{shortest}"
        pairs: list[tuple[str, Any]] = [("Owed by", line.owed_by), ("Chosen by", chosen)]
        if line.standing is not Standing.NOT_ASKED:
            pairs += [("Day 0", start), ("Time limit", within), ("Due by", due_words(line))]
        if line.alternatives:
            pairs.append(("Were it", Markup("<br>").join(self._alternatives(line))))
        pairs.append(("Source", f"{line.source}; {status_words(line.status)}"))
        pairs += [("Note", note) for note in line.notes]
        return pairs

    @staticmethod
    def _alternatives(line: DutyLine) -> Iterator[Markup]:
        for one in line.alternatives:
            due = f"{one.within}, {show_date(one.due)}" if one.due else one.within or "no report is asked for"
            yield Markup("{}: {}").format(one.word, due)

    @staticmethod
    def counted_rows(line: DutyLine) -> list[CountedRow]:
        """The count, day by day."""
        return [_row(one) for one in line.counted]

    @staticmethod
    def passed_over(line: DutyLine) -> str:
        """Which days besides weekends were passed over, as a sentence; empty where none was."""
        names = [f"{one.why} ({show_date(one.day)})" for one in line.counted if one.why and one.day.weekday() < 5]
        return f"Passed over besides weekends: {listed(names)}." if names else ""

    @cached_property
    def reminders(self) -> Sequence[Problem]:
        """What the private rules say."""
        return self.duties.problems

    @cached_property
    def kept_words(self) -> str:
        """How long the file of the event is kept, as a sentence."""
        kept = self.duties.kept
        if kept is None:
            return "No set of duties says how long the file of the event is kept."
        return (
            f"The file of the event is kept at least until {show_date(kept.until)}: {plural(kept.years, 'year')} from "
            f"the event ({kept.source}; {status_words(kept.status)})."
        )

    @cached_property
    def own_duties(self) -> list[tuple[str, Any]]:
        """The duty records."""
        return self.by_id(self.case.duties)

    def chosen_codes(self, codes: Mapping[str, str]) -> str:
        """Codes that were chosen, in words."""
        return "; ".join(f"{code} {term}" for code, term in codes.items())


def _row(one: DayCounted) -> CountedRow:
    return CountedRow(show_date(one.day), str(one.number) if one.number else "not counted", one.why)
