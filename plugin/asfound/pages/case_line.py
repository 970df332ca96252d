"""A case in one line, as lists of cases show it, and by what it can be found."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.compare import Issued
from asfound.measure import show_date
from asfound.model.dossier import Dossier
from asfound.model.duties import DutyLine
from asfound.model.edition import PRESERVATION
from asfound.model.things import ItemRole
from asfound.model.verdict import Outcome
from asfound.model.weighing import Link
from asfound.pages.page import KIND_HOME, Options, address, case_uri
from asfound.pages.prose import named
from asfound.pages.texts import capital, listed, plural
from asfound.pages.view_duties import lower, risk_words, state_words
from asfound.pages.view_editions import edition_section, edition_words
from asfound.problems import Level


class CaseLine:
    """What lists say of one case. Nothing here depends on the page it stands on but the links."""

    def __init__(self, dossier: Dossier, issued: Sequence[Issued], options: Options) -> None:
        self.dossier, self.issued, self.options = dossier, issued, options
        self.core, self.case = dossier.core, dossier.core.case
        self.id, self.title = self.case.id, self.case.head.title
        self.duties: tuple[DutyLine, ...] = dossier.duties.open if options.duties else ()
        self.unsettled = options.duties and bool(dossier.duties.problems)

    # --- words

    @cached_property
    def day(self) -> dt.date:
        """The day of the event, as told."""
        return self.case.head.event.told_at.at.date()

    @property
    def day_words(self) -> str:
        """The same, in words."""
        return show_date(self.day)

    @property
    def event(self) -> str:
        """The kind of event."""
        return capital(str(self.case.head.event.kind))

    @cached_property
    def device(self) -> str:
        """What was examined."""
        found = [item.what for item in self.case.items.values() if item.role is ItemRole.MAIN_DEVICE]
        return capital("; ".join(found)) or "Not yet recorded"

    @cached_property
    def reports(self) -> tuple[Issued, ...]:
        """Editions that hold an opinion."""
        return tuple(one for one in self.issued if one.record.kind != PRESERVATION)

    @property
    def state(self) -> str:
        """The stage."""
        return capital(str(self.case.head.stage))

    @property
    def edition(self) -> str:
        """The newest edition."""
        return edition_words(self.issued[-1]) if self.issued else "never issued"

    @property
    def held(self) -> str:
        """How strongly mechanism and reason are held; empty where nothing is concluded."""
        made = self.case.conclusion
        if made is None:
            return ""
        if made.mechanism.level is made.reason.level:
            return f"{capital(str(made.mechanism.level))}, mechanism and reason."
        return f"Mechanism {made.mechanism.level}, reason {made.reason.level}."

    @cached_property
    def weakest(self) -> Link | None:
        """The weakest link of what is concluded on the mechanism."""
        weighed = self.core.weighing
        return weighed.mechanism.weakest if weighed is not None and self.case.conclusion is not None else None

    @cached_property
    def against(self) -> str:
        """Rejects, warnings and what is needed, counted; empty where nothing is."""
        pairs = ((self.dossier.count(Level.REJECT), "reject"), (self.dossier.count(Level.WARN), "warning"))
        parts = [plural(count, name) for count, name in pairs if count]
        needed = self.dossier.count(Level.NEEDED)
        return capital(listed([*parts, *([f"{needed} still needed"] if needed else [])]))

    @property
    def tone(self) -> str:
        """The class of what stands against the case."""
        return "af-out" if self.dossier.count(Level.REJECT) else "af-gap" if self.against else ""

    @cached_property
    def risk(self) -> str:
        """Whether others are at risk, and how many were warned."""
        sent = sum(1 for notice in self.case.notices.values() if notice.urgent)
        warned = f"; {plural(sent, 'urgent notice')} sent" if sent else ""
        return f"Others at risk: {risk_words(self.case.head.others_at_risk)}{warned}"

    @cached_property
    def verdict(self) -> str:
        """The heaviest that a limit said of any reading, in a word or two."""
        said = {one.outcome for one in self.core.verdicts if one.limit is not None}
        if Outcome.FAIL in said:
            return "has a fail"
        if Outcome.CONDITIONAL_FAIL in said:
            return "has a conditional fail"
        return "none fails" if said else "nothing judged"

    # --- links

    def section(self, root: str, name: str = "") -> str:
        """The address of a page of the case; `root` is the way up from the page at hand."""
        return f"{root}{address(case_uri(self.id, name), self.options.directory_urls)}" or "./"

    def record(self, root: str, ref: str) -> str:
        """The address of a record of the case; empty for one that stands on no page."""
        answers = {answer.id for one in self.core.worked for answer in one.answers}
        home = KIND_HOME["Z"] if ref in answers else KIND_HOME.get(ref[:1])
        return f"{self.section(root, home)}#{ref}" if home else ""

    def known(self, ref: str) -> bool:
        """Whether an id stands in the case."""
        return ref in self.case.records or ref in self.core.instruments or any(r.id == ref for r in self.core.results)

    def changed(self, root: str) -> str:
        """The address of what changed from the edition before the newest to it; empty where there are not two."""
        if len(self.issued) < 2:
            return ""
        return self.section(root, edition_section(self.issued[-1].record.number, "changes"))

    def link_text(self, root: str, link: Link) -> Markup:
        """A link of the chain as a sentence, records linked."""
        said = named(link.text.removesuffix("."), lambda ref: self.record(root, ref) if self.known(ref) else "")
        return Markup("{}.").format(said)


def lines_of(dossiers: Sequence[Dossier], editions: Mapping[str, Sequence[Issued]], options: Options) -> list[CaseLine]:
    """The cases, the newest event first."""
    ordered = sorted(dossiers, key=lambda one: (-one.core.case.head.event.told_at.utc.timestamp(), one.id))
    return [CaseLine(one, editions.get(one.id, ()), options) for one in ordered]


class Due(Struct, frozen=True):
    """A report that waits, and the cases in which the same one waits until the same day."""

    line: DutyLine
    state: str
    cases: tuple[CaseLine, ...]

    @property
    def first(self) -> CaseLine:
        """The case it leads to."""
        return self.cases[0]


def due_of(cases: Sequence[CaseLine]) -> list[Due]:
    """Every report of the facility that waits, the next due first; those without a date last."""
    groups: dict[tuple[dt.date, str, str], tuple[DutyLine, list[CaseLine]]] = {}
    for one in cases:
        for line in one.duties:
            if line.ours:
                key = (line.due or dt.date.max, line.title, lower(state_words(line)))
                groups.setdefault(key, (line, []))[1].append(one)
    return [Due(groups[key][0], key[2], tuple(groups[key][1])) for key in sorted(groups)]
