"""What the templates of a case may ask: links, words, and the parts of each page, ready made.

Page data stands here and in the `view_…` modules, markup in the templates; neither decides anything about a case.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from markupsafe import Markup, escape

from asfound.compare import Issued
from asfound.measure import show_date, show_digest, show_duration
from asfound.model.base import Duration, NotKnown, told
from asfound.model.dossier import Dossier
from asfound.model.ids import sort_key
from asfound.model.limits import SourceStatus
from asfound.model.prose import read_prose
from asfound.pages.page import (
    DUTIES,
    KIND_HOME,
    Options,
    asset_link,
    case_uri,
    document_uri,
    instrument_uri,
    relative,
    sections_of,
)
from asfound.pages.pictures import Picture
from asfound.pages.prose import Prose, cited, linked, named
from asfound.pages.texts import Texts, capital, status_words, when
from asfound.pages.view_changes import ChangesPart
from asfound.pages.view_covered import CoveredPart
from asfound.pages.view_drawings import DrawingsPart
from asfound.pages.view_editions import EditionsPart
from asfound.pages.view_front import FrontPart
from asfound.pages.view_record import RecordPartOfView
from asfound.pages.view_things import ThingsPart
from asfound.pages.view_thought import ThoughtPart
from asfound.pages.view_times import TimesPart
from asfound.pages.view_weighing import WeighingPart
from asfound.pages.view_work import WorkPart
from asfound.pages.view_workings import WorkingsPart
from asfound.problems import Problem, Span

_LINE = '<span class="af-line">'
_IN_LINE = ' class="af-line"'


class CaseView(
    RecordPartOfView, ChangesPart, FrontPart, ThingsPart, TimesPart, WorkPart, ThoughtPart, CoveredPart, EditionsPart,
    WeighingPart, WorkingsPart, DrawingsPart,
):  # fmt: skip
    """One case, seen from one of its pages. `single` puts everything on one page: links are then anchors alone.

    `issued` are the editions of the case, oldest first; `edition` is the one whose frozen dossier is shown, if one is.
    `texts` are those of the dossier where other pages of it have them already.
    """

    def __init__(
        self,
        dossier: Dossier,
        here: str,
        options: Options,
        pictures: Mapping[str, Picture],
        *,
        single: bool = False,
        site: bool = True,
        issued: Sequence[Issued] = (),
        edition: Issued | None = None,
        texts: Texts | None = None,
    ) -> None:
        self.dossier, self.core, self.case, self.head = dossier, dossier.core, dossier.core.case, dossier.core.case.head
        self.here, self.options, self.single, self.site = here, options, single, site
        self.base = 1 if single else 0
        self.texts = Texts(dossier) if texts is None else texts
        self._addresses: dict[str, str] = {}
        self._links: dict[str, Markup] = {}
        self.prose = Prose(self.href, self.texts.value)
        self._pictures = pictures
        self.when = when
        self.issued, self.edition = issued, edition

    # --- addresses

    def page(self, section: str) -> str:
        """The address of another page of the case."""
        return self._to(case_uri(self.case.id, section))

    def _to(self, uri: str) -> str:
        return relative(uri, case_uri(self.case.id, self.here), self.options.directory_urls)

    def href(self, ref: str) -> str:
        """The address of a record; empty for an id that stands nowhere."""
        found = self._addresses.get(ref)
        if found is None:
            found = self._addresses[ref] = self._address(ref)
        return found

    def _address(self, ref: str) -> str:
        home = DUTIES[0] if ref[:1] == "D" and self.working else KIND_HOME.get(ref[:1])
        if ref in self._answers:
            home = KIND_HOME["Z"]
        if home is None or not self._stands(ref):
            return ""
        return f"#{ref}" if self.single or home == self.here else f"{self.page(home)}#{ref}"

    @cached_property
    def _answers(self) -> frozenset[str]:
        return frozenset(answer.id for one in self.core.worked for answer in one.answers)

    def _stands(self, ref: str) -> bool:
        if ref.startswith("P-"):
            return self.case.plan is not None and ref[2:] in self.case.plan.tests
        if ref.startswith("Y-"):
            return any(one.id == ref for one in self.core.results)
        return ref in self.case.records or ref in self.core.instruments

    def link(self, ref: str) -> Markup:
        """A link that shows the id."""
        found = self._links.get(ref)
        if found is None:
            found = self._links[ref] = Markup(cited(ref, ref, self.href))
        return found

    def rests_elsewhere(self, ref: str) -> str:
        """The address of what rests on an instrument in every case; empty where this page may not lead there."""
        used = any(sheet.instrument == ref for sheet in self.case.sheets.values())
        return self._to(instrument_uri(ref)) if used and self.site and self.edition is None else ""

    def rule(self, name: str) -> Markup:
        """A rule, with a link to the catalogue where this page may lead there. A report on its own has no catalogue."""
        return Markup('<a href="{}#{}">{}</a>').format(self._to("rules.md"), name, name) if self.site else escape(name)

    def limit(self, name: str) -> str:
        """The address of a limit in the register."""
        return f"{self._to('limits.md')}#{name.replace('/', '--')}" if self.site else "#limits-used"

    def line(self, span: Span) -> Markup:
        """A line of the repository, linked where the repository can be read in a browser."""
        said = f"{span.path}:{span.line}" if span.line else span.path
        short = said.removeprefix(f"{self.case.folder}/")
        if not self.options.source:
            return Markup(f"{_LINE}{escape(short)}</span>")
        at = self.options.source.replace("{path}", span.path).replace("{line}", str(span.line or 1))
        return Markup(f'<a class="af-line" href="{escape(at)}">{escape(short)}</a>')

    def source(self, ref: str) -> Markup:
        """The line a record stands on, and the way to what happened to it."""
        span = self.core.places.get(ref)
        line = Markup("") if span is None else self.line(span)
        changes = self.changes_link(ref)
        if changes and line.startswith(_LINE):
            return Markup(f"{line.removesuffix('</span>')} {changes.replace(_IN_LINE, '', 1)}</span>")
        return Markup(f"{line} {changes}") if changes else line

    @cached_property
    def sections(self) -> Sequence[tuple[str, str]]:
        """The pages of the case."""
        own = sections_of(self.core)
        return (*own, DUTIES) if self.working else own

    @property
    def document(self) -> str:
        """The address of what is shown, working copy or edition, as one PDF; empty where there is none."""
        number = self.edition.record.number if self.edition is not None else 0
        there = number in self.options.printed if number else self.options.documents
        if not there or not self.site:
            return ""
        here = case_uri(self.case.id, self.here)
        return asset_link(document_uri(self.case.id, number), here, self.options.directory_urls)

    # --- words

    @cached_property
    def digest(self) -> str:
        """The first digits of the case's digest."""
        return show_digest(self.core.digests.case, 16)

    @cached_property
    def on(self) -> str:
        """The date of assessment."""
        return show_date(self.core.on)

    def short(self, digest: str) -> str:
        """The first digits of a file's digest."""
        return f"SHA-256 {show_digest(digest, 12)}"

    def digest_words(self, digest: str) -> str:
        """A whole digest, in groups."""
        return show_digest(digest)

    def duration(self, value: Duration) -> str:
        """A length of time, or an offset with its sign."""
        said = show_duration(value.seconds)
        return f"+{said}" if value.seconds > 0 and value.text.startswith("+") else said

    def status(self, status: SourceStatus) -> str:
        """How well a source was read."""
        return status_words(status)

    def plain(self, text: str) -> str:
        """Prose as plain words, for a picture's text."""
        return read_prose(text).plain.strip()

    def told(self, value: str | NotKnown | None) -> Markup:
        """A text or the reason why there is none, with the records it names linked."""
        return linked(told(value), self.href)

    def sentence(self, problem: Problem) -> Markup:
        """A problem as a sentence, with the records it names linked."""
        return named(f"{capital(problem.found)}; {problem.needed}.", self.href)

    def margin(self, refs: Sequence[str]) -> list[Markup]:
        """Lines for a margin. Readings of one sheet that say the same share a line: `R-key-1, 2, 3 yes, pass`."""
        lines: list[tuple[list[str], str, Markup]] = []
        for ref in refs:
            reading = self.case.reading.get(ref)
            said, sheet = self.said(ref), reading.sheet if reading else ""
            if lines and sheet and lines[-1][1] == sheet and lines[-1][2] == said:
                lines[-1][0].append(ref)
            else:
                lines.append(([ref], sheet, said))
        return [Markup(f"{self._run(group, sheet)} {said}") for group, sheet, said in lines]

    def _run(self, group: Sequence[str], sheet: str) -> Markup:
        first = self.link(group[0])
        rest = [Markup(cited(ref, self.case.reading[ref].row, self.href)) for ref in group[1:]]
        return Markup(", ").join([first, *rest])

    def said(self, ref: str) -> Markup:
        """What a margin says after an id. A finding leads on to the readings and pictures it rests on."""
        finding = self.case.findings.get(ref)
        if finding is None:
            return Markup(escape(self.texts.note(ref)))
        parts = []
        for one in finding.rests_on[:4]:
            shown = self.texts.measured(self.case.reading[one]) if one in self.case.reading else ""
            parts.append(Markup(f"{self.link(one)} {escape(shown)}") if shown else self.link(one))
        if len(finding.rests_on) > 4:
            parts.append(Markup(escape(f"and {len(finding.rests_on) - 4} more")))
        return Markup("rests on {}").format(Markup(", ").join(parts)) if parts else Markup("rests on nothing")

    def end(self, text: str) -> Markup:
        """One end of a connection: an item, a role, or words."""
        if text in self.case.items:
            return Markup(f"{self.link(text)} {escape(self.case.items[text].what)}")
        if text in self.head.people:
            return Markup(escape(self.texts.role(text)))
        return Markup(escape(text))

    @staticmethod
    def by_id(records: Mapping[str, Any]) -> list[tuple[str, Any]]:
        """Records in the order a person expects."""
        return sorted(records.items(), key=lambda pair: sort_key(pair[0]))
