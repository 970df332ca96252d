"""The reporting duties of a case, reckoned: which apply, when each is due and why on that day, what was sent.

They belong to whoever owes them and stand outside the core: no digest, edition, pack or report handed over holds them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from asfound.model.limits import SourceStatus
from asfound.model.reasoning import Recipient
from asfound.problems import Problem


class Standing(StrEnum):
    """Whether a duty applies."""

    APPLIES = "applies"
    MAY_APPLY = "may apply"
    """What decides it is not known yet."""
    NOT_ASKED = "no report is asked for"


@dataclass(frozen=True, slots=True)
class DayCounted:
    """A day of a count.

    number  which day of the count it is, from 1; 0 for a day that is passed over
    why     why it is passed over: `Saturday`, the name of a holiday, the reason of a closing
    """

    day: dt.date
    number: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class Sending:
    """What became of a report to one of those who must have it.

    sent_at  when it was sent; None where no record says so
    record   the duty record that says so
    unsaid   whether the record leaves open to whom
    late     calendar days past the due date, at the sending or else at the date of the check; 0 where in time
    """

    to: Recipient
    sent_at: dt.datetime | None
    record: str
    unsaid: bool
    late: int


@dataclass(frozen=True, slots=True)
class Alternative:
    """What the clock would be, were the class that one."""

    word: str
    within: str
    due: dt.date | None


@dataclass(frozen=True)
class DutyLine:
    """A duty in a case.

    kind          name of the duty; what `duty` in duties.yml names
    owed_by       by role; `ours` whether the organisation owes it itself
    decided_by    which statement chooses among the clocks; `word` is what it says, empty where it says nothing
    within        the time limit in words; `counting` what it is counted in
    start         day 0; None where it is not known. `started_by` says what starts it
    due           last day in time; `due_at` the instant where hours are counted
    counted       every day from the first after day 0 to the due day; nothing where hours are counted
    left          days left at the date of the check: work days where the clock counts these; None without a due date
    near          whether so few are left that a report not sent is spoken of
    records       the duty records of this kind
    declined      whether the last decision on record is not to report
    source        document and clause
    """

    kind: str
    title: str
    owed_by: str
    ours: bool
    asks_decision: bool
    standing: Standing
    decided_by: str
    word: str
    within: str
    counting: str
    started_by: str
    start: dt.date | None
    due: dt.date | None
    due_at: dt.datetime | None
    counted: tuple[DayCounted, ...]
    left: int | None
    near: bool
    sendings: tuple[Sending, ...]
    alternatives: tuple[Alternative, ...]
    records: tuple[str, ...]
    declined: bool
    source: str
    status: SourceStatus
    notes: tuple[str, ...] = ()

    @property
    def unsent(self) -> tuple[Sending, ...]:
        """Those who must have the report and, as far as the records say, do not."""
        if self.standing is Standing.NOT_ASKED or self.declined:
            return ()
        return tuple(one for one in self.sendings if one.sent_at is None)

    @property
    def late(self) -> int:
        """Calendar days by which it was, or is, past its due date; 0 where in time."""
        if self.standing is Standing.NOT_ASKED or self.declined:
            return 0
        return max((one.late for one in self.sendings), default=0)


@dataclass(frozen=True, slots=True)
class FileKept:
    """How long the file of the event is kept, at the least."""

    until: dt.date
    years: int
    source: str
    status: SourceStatus


@dataclass(frozen=True, slots=True)
class Suggested:
    """A code of an open list that the records of the case call for; whoever reports chooses.

    refs  the records that call for it
    """

    code: str
    term: str
    why: str
    refs: tuple[str, ...]


@dataclass(frozen=True)
class Duties:
    """All of it. `problems` are what the private rules say: they stand apart from those of the core.

    sets   the titles of the sets that speak for the case's jurisdiction
    known  the names of all duties, of whatever jurisdiction
    """

    lines: tuple[DutyLine, ...] = ()
    kept: FileKept | None = None
    codes: tuple[Suggested, ...] = ()
    code_list: str = ""
    sets: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def open(self) -> tuple[DutyLine, ...]:
        """Lines with a report still to be sent, the next due first; those without a due date last."""
        waiting = [line for line in self.lines if line.unsent]
        return tuple(sorted(waiting, key=lambda line: (line.due or dt.date.max, line.kind)))
