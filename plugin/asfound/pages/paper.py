"""The whole record as HTML for a typesetter: the templates of the site, literal colours, pictures by name."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.compare import Issued
from asfound.figures import PAPER, Chart, still
from asfound.figures.diagram import Drawing, still_diagram
from asfound.measure import show_date, show_digest
from asfound.model.dossier import Dossier
from asfound.pages.page import Options
from asfound.pages.pictures import Made, Picture
from asfound.pages.render import edition_head, render_record
from asfound.pages.texts import capital
from asfound.pages.view import CaseView
from asfound.pages.view_editions import edition_words

TYPE = replace(PAPER, font="'Source Sans 3'")
"""Colours and type for charts. A typesetter takes the name of one font, and no list of them."""


class Paper(Struct, frozen=True):
    """The record, and what stands around it on paper.

    standing  `Draft, never issued`, `Edition 2, not reviewed`
    dated     when it was issued; for a draft, the date it was assessed on
    images    `src` of a picture in the body → its bytes
    """

    html: str
    title: str
    case: str
    standing: str
    issued: bool
    dated: dt.date
    digest: str
    facts: tuple[tuple[str, str], ...]
    handling: str
    made_with: str
    images: Mapping[str, bytes]


class _OnPaper(CaseView):
    """A record on paper: there is nowhere else to go, and nothing can be pressed."""

    sections = ()

    def draw(self, chart: Chart) -> Markup:
        """A chart in literal colours."""
        return Markup(still(chart, self.href, TYPE))

    def sketch(self, drawing: Drawing, *, table: bool = True) -> Markup:
        """A drawing in literal colours; nothing in it can be pressed."""
        return Markup(still_diagram(drawing, lambda ref: "", TYPE, table=table))


def paper(
    dossier: Dossier, pictures: Mapping[str, Made], *, issued: Sequence[Issued] = (), edition: Issued | None = None
) -> Paper:
    """The record of a case, or of an edition from its frozen dossier; `issued` are the editions, oldest first."""
    shown = {ref: Picture(made.uri, made.width, made.height) for ref, made in pictures.items()}
    view = _OnPaper(dossier, "record", Options(), shown, single=True, site=False, issued=issued, edition=edition)
    head = edition_head(view) if edition is not None else Markup("")
    core = dossier.core
    return Paper(
        html=str(head + render_record(view) + _close(view)),
        title=core.case.head.title,
        case=core.case.id,
        standing=view.state,
        issued=edition is not None,
        dated=edition.record.issued_on if edition is not None else core.on,
        digest=view.digest,
        facts=tuple(_facts(view, edition)),
        handling=core.case.head.confidentiality or "",
        made_with=f"asfound {dossier.made_with.asfound}",
        images={made.uri: made.data for made in pictures.values()},
    )


def _facts(view: CaseView, edition: Issued | None) -> list[tuple[str, str]]:
    found = [("Case", view.case.id), ("State", view.state)]
    if edition is not None:
        found.append(("Issued", show_date(edition.record.issued_on)))
        found.append(("Assessed as of", view.on))
        found.append(("Digest of the edition", show_digest(edition.digest)))
    else:
        found.append(("Assessed as of", view.on))
        if view.issued:
            found.append(("Stands after", capital(edition_words(view.issued[-1]))))
    found.append(("Digest of the case", show_digest(view.core.digests.case)))
    if view.head.confidentiality:
        found.append(("Confidentiality", view.head.confidentiality))
    return found


def _close(view: CaseView) -> Markup:
    said = f"These findings relate only to the items listed, as received. Case {view.case.id}, {view.digest}. End."
    return Markup('<p class="af-close">{}</p>').format(escape(said))
