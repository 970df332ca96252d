"""Editions: in which state a page shows the case, what was issued when, and what moved between two editions."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import groupby

from markupsafe import Markup

from asfound.compare import Area, Difference, Issued, Kind, differences, in_words
from asfound.measure import show_date, show_digest
from asfound.model.dossier import Core
from asfound.model.edition import PRESERVATION
from asfound.model.event import Stage
from asfound.model.ids import kind_of
from asfound.pages.page import case_uri
from asfound.pages.part import Facts, Part, fact
from asfound.pages.prose import named
from asfound.pages.texts import capital, plural

LATER = ("C", "D", "N")
"""Records that go on after an edition without making it wrong: custody, duties, notices."""

_TITLES = {
    Area.LEVEL: "The conclusion",
    Area.VERDICT: "Verdicts that moved",
    Area.EXCEPTION: "Exceptions",
    Area.PROBLEM: "Problems, new and gone",
    Area.RECORD: "Records",
    Area.RESULT: "Derived results",
    Area.LIMIT: "Limits",
    Area.FILE: "Files of evidence",
}


def edition_section(number: int, leaf: str = "index") -> str:
    """Address of an edition's page below the case's own: `edition/2/index`, `edition/2/changes`."""
    return f"edition/{number}/{leaf}"


def edition_words(one: Issued) -> str:
    """`edition 2 of 2026-03-19 (Thu)`, with what a reader must know of it."""
    record = one.record
    if record.kind == PRESERVATION:
        return f"preservation edition {record.number} of {show_date(record.issued_on)}"
    return f"edition {record.number} of {show_date(record.issued_on)}"


class EditionsPart(Part):
    """Parts that speak of editions."""

    issued: Sequence[Issued]
    edition: Issued | None
    site: bool

    @cached_property
    def moved_since(self) -> bool:
        """Whether the draft says anything otherwise than the newest edition."""
        return bool(self.issued) and bool(differences(self.issued[-1].dossier.core, self.core))

    @cached_property
    def state(self) -> str:
        """In which state the case is shown: a draft, or an edition."""
        if self.edition is not None:
            said = capital(edition_words(self.edition))
            if self.edition.record.kind == PRESERVATION:
                return f"{said}, no opinion"
            said = said if self.edition.record.reviewed else f"{said}, not reviewed"
            return said if self.independence.independent else f"{said}, not independent"
        draft = f"after {edition_words(self.issued[-1])}" if self.issued else ""
        stage = {Stage.OPEN: "Open. ", Stage.IN_REVIEW: "", Stage.HELD: "Held for joint examination. "}
        said = f"{stage[self.head.stage]}Draft{f' {draft}' if draft else ', never issued'}"
        return said if self.case.open or self.independence.independent else f"{said}, not independent"

    def edition_page(self, number: int, leaf: str = "index") -> str:
        """The address of an edition's page."""
        return self._to(case_uri(self.case.id, edition_section(number, leaf)))

    @cached_property
    def superseded(self) -> Issued | None:
        """The newest edition, where the one that is shown is not the newest."""
        if self.edition is None or not self.issued:
            return None
        newest = self.issued[-1]
        return newest if newest.record.number > self.edition.record.number else None

    @cached_property
    def edition_lines(self) -> list[tuple[int, Markup, str, bool]]:
        """Every edition, newest first: number, what it is, why it was made, whether one came before it."""
        lines = []
        for one in reversed(self.issued):
            record = one.record
            words = capital(edition_words(one))
            said = Markup("{}").format(words)
            if self.site:
                said = Markup('<a href="{}">{}</a>').format(self.edition_page(record.number), words)
            if record.kind != PRESERVATION and not record.reviewed:
                said += Markup(', <span class="af-gap">not reviewed</span>')
            lines.append((record.number, said, record.reason, record.number > 1))
        return lines

    @cached_property
    def edition_facts(self) -> Facts:
        """What an edition says of itself."""
        if self.edition is None:
            return []
        record = self.edition.record
        kind = "preservation: facts as they were found, no opinion" if record.kind == PRESERVATION else "report"
        found = fact("Issued", show_date(record.issued_on)) + fact("Kind", kind)
        found += fact("Assessed as of", show_date(self.core.on))
        follows = (
            f"edition {record.previous}, SHA-256 {show_digest(record.previous_digest, 12)}" if record.previous else ""
        )
        found += fact("Follows", follows or "none; it is the first")
        found += fact("Reason", record.reason)
        for one in record.approvals:
            found += fact(
                f"Approved by the {one.role}", f"{one.signer} ({one.path}, SHA-256 {show_digest(one.sha256, 12)})"
            )
        if not record.approvals:
            found += fact("Approvals", "none")
        found += fact("SHA-256 of edition.json", show_digest(self.edition.digest))
        found += fact("SHA-256 of dossier.json", show_digest(record.dossier))
        found += fact("Digest of the case", show_digest(record.case_digest))
        return found + fact("Made with", record.made_with)

    def told_difference(self, one: Difference) -> Markup:
        """A difference as a sentence, with the records it names linked."""
        return named(in_words(one), self.href)

    def told_change(self, sentence: str) -> Markup:
        """A change as an edition tells it, with the records it names linked."""
        return named(sentence, self.href)


def since(edition: Issued, draft: Core) -> list[Difference]:
    """Later lines of custody, duties and notices: what goes on after an edition."""
    return [
        one
        for one in differences(edition.dossier.core, draft)
        if one.area is Area.RECORD and one.kind is not Kind.REMOVED and one.ref[:1] in LATER
    ]


def grouped(found: Sequence[Difference]) -> list[tuple[str, str, list[Difference]]]:
    """Differences under headings, in the order of their areas: anchor, title, differences."""
    order = tuple(_TITLES)
    ordered = sorted(found, key=lambda one: order.index(one.area))
    return [
        (area.name.lower(), _TITLES[area], list(group)) for area, group in groupby(ordered, key=lambda one: one.area)
    ]


def count_words(found: Sequence[Difference]) -> str:
    """One sentence over all differences."""
    if not found:
        return "Nothing is different."
    return f"{capital(plural(len(found), 'difference'))}, the biggest first under each heading."


def what(one: Difference) -> str:
    """What a difference is about, for the first column of a table."""
    if one.area is Area.LEVEL:
        return one.ref
    if one.area is Area.FILE or one.area is Area.LIMIT or one.ref.endswith(".yml"):
        return one.ref
    return f"{kind_of(one.ref)} {one.ref}" if one.ref else "the case"
