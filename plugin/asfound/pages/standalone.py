"""A case as one HTML file that needs no site, no script and no network: for a pack, or for fifteen years from now."""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping, Sequence

from markupsafe import Markup, escape

from asfound.compare import Issued
from asfound.model.dossier import Dossier
from asfound.pages.assets import font, style
from asfound.pages.page import Options
from asfound.pages.pictures import Made
from asfound.pages.render import edition_head, framed, render_record
from asfound.pages.view import CaseView


class _Alone(CaseView):
    """A record by itself: there is nowhere else to go."""

    sections = ()


def standalone(
    dossier: Dossier,
    pictures: Mapping[str, Made],
    *,
    source: str = "",
    issued: Sequence[Issued] = (),
    edition: Issued | None = None,
) -> str:
    """The whole record as one file, pictures and style inside it.

    `issued` are the editions of the case, oldest first; `edition` is the one whose dossier this is, if it is one.
    """
    shown = {ref: made.inline() for ref, made in pictures.items()}
    view = _Alone(
        dossier, "record", Options(source=source), shown, single=True, site=False, issued=issued, edition=edition
    )
    head = edition_head(view) if edition is not None else Markup("")
    body = framed(view, "record", dossier.core.case.head.title, head + render_record(view), "")
    title = escape(dossier.core.case.head.title)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>\n{_style()}\n</style>\n</head>\n<body>\n{Markup(body)}\n</body>\n</html>\n"
    )


def _style() -> str:
    def inline(found: re.Match[str]) -> str:
        return f"url(data:font/woff2;base64,{base64.b64encode(font(found.group(1))).decode('ascii')})"

    return re.sub(r"url\((fonts/[^)]+)\)", inline, style())
