"""What a rule is given: the case, what it is held against, and what was computed from it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from asfound.model.approval import Signing
from asfound.model.bench import Instrument, Settings
from asfound.model.case import Case, Places
from asfound.model.duties import Duties
from asfound.model.edition import Editions
from asfound.model.ids import KINDS
from asfound.model.included import with_included
from asfound.model.limits import Book, Limit, Protocol, Test
from asfound.model.past import Past
from asfound.model.placing import Placing
from asfound.model.unread import Unread
from asfound.model.verdict import Coverage, Result, Verdict
from asfound.model.weighing import Weighing
from asfound.model.work import PlannedTest
from asfound.model.worked import Worked
from asfound.problems import Entry, Level, Problem, Span


@dataclass(frozen=True)
class Facts:
    """All a rule may look at. Rules are pure: no clock, no file, no git."""

    case: Case
    places: Places
    book: Book
    instruments: Mapping[str, Instrument]
    settings: Settings
    on: dt.date
    verdicts: tuple[Verdict, ...] = ()
    results: tuple[Result, ...] = ()
    coverage: tuple[Coverage, ...] = ()
    limits: Mapping[str, Limit] | None = None
    """Limits that were used, by `set/name`."""
    signing: Signing | None = None
    """None where nobody asked for signatures: then no rule speaks of them."""
    past: Past = field(default_factory=Past)
    editions: Editions = field(default_factory=Editions)
    weighing: Weighing | None = None
    """How the explanations stand and how strong the conclusion may be; None where there is nothing to weigh."""
    placing: Placing = field(default_factory=Placing)
    """The events on one base of time."""
    duties: Duties = field(default_factory=Duties)
    worked: tuple[Worked, ...] = ()
    """The calculations of the case, carried out."""

    certificates: Mapping[str, str] | None = None
    """Files of certificates that the register names and that lie there: path below .asfound/ → SHA-256. None where
    nobody looked."""

    @cached_property
    def protocols(self) -> tuple[Protocol, ...]:
        """The plan's protocols and those they include, each once, in order."""
        plan = self.case.plan
        return tuple(with_included(() if plan is None else plan.protocols, self.book.protocols).values())

    def protocol_test(self, planned: str) -> Test | None:
        """The protocol's test behind a planned test: `output-power--swap` is `output-power`."""
        name = planned.partition("--")[0]
        for protocol in self.protocols:
            if name in protocol.tests:
                return protocol.tests[name]
        return None

    def planned(self, name: str) -> PlannedTest | None:
        """A planned test by name."""
        return self.case.plan.tests.get(name) if self.case.plan else None

    @cached_property
    def verdicts_of(self) -> dict[str, tuple[Verdict, ...]]:
        """Verdicts by the readings they speak of."""
        found: dict[str, list[Verdict]] = {}
        for verdict in self.verdicts:
            for ref in dict.fromkeys((verdict.subject, *verdict.members)):
                found.setdefault(ref, []).append(verdict)
        return {ref: tuple(verdicts) for ref, verdicts in found.items()}

    @cached_property
    def result(self) -> dict[str, Result]:
        """Derived results by id."""
        return {result.id: result for result in self.results}

    @cached_property
    def working(self) -> dict[str, Worked]:
        """Calculations of the case, by their own ids and by those of their answers."""
        found = {one.ref: one for one in self.worked}
        found.update({answer.id: one for one in self.worked for answer in one.answers})
        return found

    @cached_property
    def unread(self) -> Unread:
        """What could not be read, and what rests on it."""
        unfit = (name for name, one in self.case.sheets.items() if self.unread_instrument(one.instrument))
        return Unread(self.case, self.result, frozenset(unfit))

    def unread_instrument(self, ref: str) -> bool:
        """Whether an instrument stands in the register, or may, and could not be read."""
        if ref in self.instruments:
            return False
        return self.places.of(ref) is not None or (not self.instruments and self.places.stands(KINDS["M"][1]))

    def exists(self, ref: str) -> bool:
        """Whether an id names anything, as far as is known: a record, an instrument, a derived result."""
        known = self.case.exists(ref) or ref in self.instruments or ref in self.result
        return known or self.unread.on(ref) or self._hindered(ref)

    def _hindered(self, ref: str) -> bool:
        """Whether an id is that of an answer which would be there, had its calculation not failed."""
        return any(not one.answers and ref.startswith(f"Y-{one.ref.removeprefix('Z-')}-") for one in self.worked)

    def file(self, name: str) -> str:
        """Path of one of the case's own files, relative to the repository."""
        return f"{self.case.folder}/{name}"

    def problem(
        self,
        entry: Entry,
        where: Span | str,
        *path: str | int,
        found: str,
        needed: str,
        mend: str = "",
        level: Level | None = None,
        subject: str | None = None,
        related: tuple[Span, ...] = (),
        about: str | None = None,
    ) -> Problem:
        """A problem of a rule. `where` is a span, a record's id, or one of the case's file names.

        `path` leads from the record (or file) to the field concerned. The level is the entry's unless a
        lighter one is given. A rule that may say several things of one record hands in `about`: with the fields of
        `path` it tells them apart, and so is an id, a name or empty, but never a value that an edit may change.
        """
        fields = (one for one in path if isinstance(one, str))
        apart = "" if about is None else " ".join(filter(None, ("/".join(fields), about)))
        if isinstance(where, Span):
            span, record = where, ""
        else:
            of = self.places.of(where, *path)
            if of is not None:
                span, record = of, where
            else:
                span, record = self.places.at(self.file(where), *path), ""
        return Problem(
            rule=entry.name,
            level=level or entry.level,
            span=span,
            found=found,
            needed=needed,
            mend=mend or entry.mend,
            subject=record if subject is None else subject,
            related=related,
            about=apart,
        )
