"""The pages of editions: each from its frozen dossier, and what moved between two of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from markupsafe import Markup

from asfound.compare import Difference, Issued, differences
from asfound.model.dossier import Dossier
from asfound.pages.page import Options, Page, asset_link, case_uri, stamp
from asfound.pages.pictures import Made, Picture
from asfound.pages.render import edition_head, environment, framed, headings, render_record
from asfound.pages.texts import capital
from asfound.pages.view import CaseView
from asfound.pages.view_editions import count_words, edition_section, edition_words, grouped, since, what

NOT_FOUND = "noindex"
"""What is asked of search engines for an edition that another took the place of."""


class _Frozen(CaseView):
    """An edition: its other pages are the other editions and the draft, and its records stand on its own page."""

    @cached_property
    def sections(self) -> Sequence[tuple[str, str]]:
        """The editions of the case, and the draft."""
        editions = [(edition_section(one.record.number), f"Edition {one.record.number}") for one in self.issued]
        return (*editions, ("", "Draft"))

    def href(self, ref: str) -> str:
        """The address of a record on the edition's page."""
        if self.single or self.edition is None:
            return super().href(ref)
        return f"{self.edition_page(self.edition.record.number)}#{ref}" if self._stands(ref) else ""


def edition_pages(
    dossier: Dossier, issued: Sequence[Issued], pictures: Mapping[str, Made], options: Options
) -> Iterator[Page]:
    """The pages of every edition of a case; `dossier` is the working one, from which pictures and later lines come."""
    if not issued:
        return
    newest = issued[-1]
    for number, one in enumerate(issued):
        later = since(one, dossier.core) if one is newest else []
        yield _edition(one, issued, _same_pictures(one, dossier, pictures), options, later)
        if number:
            before = issued[number - 1]
            yield _changes(one.dossier, before, edition_words(one), options, issued, one)
    if differences(newest.dossier.core, dossier.core):
        yield _changes(dossier, newest, "the draft as it stands", options, issued, None)


def _same_pictures(one: Issued, dossier: Dossier, pictures: Mapping[str, Made]) -> dict[str, Made]:
    """Pictures of an edition: those whose file still has the digest the edition names."""
    known = {dossier.core.case.evidence[ref].sha256.lower(): made for ref, made in pictures.items()}
    frozen = one.dossier.core.case.evidence
    return {ref: known[row.sha256.lower()] for ref, row in frozen.items() if row.sha256.lower() in known}


def _edition(
    one: Issued, issued: Sequence[Issued], pictures: Mapping[str, Made], options: Options, later: Sequence[Difference]
) -> Page:
    case, number = one.dossier.core.case, one.record.number
    here = edition_section(number)
    uri = case_uri(case.id, here)
    shown = {
        ref: Picture(asset_link(made.uri, uri, options.directory_urls), made.width, made.height)
        for ref, made in pictures.items()
    }
    # Lines of the repository as it stands today are not those the edition was read from.
    frozen = replace(options, source="")
    view = _Frozen(one.dossier, here, frozen, shown, single=True, issued=issued, edition=one)
    body = framed(view, here, case.head.title, edition_head(view, later) + render_record(view), options.notice)
    superseded = view.superseded is not None
    return Page(
        uri,
        f"{capital(edition_words(one))} · {case.head.title}",
        body,
        "",
        headings(body),
        f"{case.folder}/editions/{number}/edition.json",
        NOT_FOUND if superseded else "",
        case_uri(case.id, edition_section(issued[-1].record.number)) if superseded else "",
        stamp(one.dossier),
    )


def _changes(
    dossier: Dossier, before: Issued, after: str, options: Options, issued: Sequence[Issued], edition: Issued | None
) -> Page:
    """From one edition to the next, or (`edition` None) to the draft."""
    case = dossier.core.case
    section = (
        edition_section(edition.record.number, "changes") if edition else edition_section(before.record.number, "since")
    )
    view = (_Frozen if edition else CaseView)(dossier, section, options, {}, issued=issued, edition=edition)
    found = differences(before.dossier.core, dossier.core)
    inner = environment().get_template("differences.html").render(
        v=view, old=edition_words(before), new=after, count=count_words(found), groups=grouped(found), what=what
    )  # fmt: skip
    body = framed(view, section, "What changed", Markup(inner), options.notice)
    title = f"From {edition_words(before)} to {after} · {case.head.title}"
    uri = case_uri(case.id, section)
    return Page(uri, title, body, "", headings(body), f"{case.folder}/case.yml", NOT_FOUND, "", stamp(dossier))
