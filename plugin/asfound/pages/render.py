"""Templates and what is put around them: a section, the whole record, the frame."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from asfound.compare import Difference
from asfound.pages.compiled import Beside
from asfound.pages.page import Entry
from asfound.pages.record import contents, parts_of
from asfound.pages.view import CaseView

_HEADING = re.compile(r'<h([2-4]) id="([^"]+)">(.*?)</h\1>', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


@cache
def environment() -> Environment:
    """The templates, with escaping on and unknown names refused."""
    return Environment(
        loader=PackageLoader("asfound.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        # The templates are part of the program, which does not change while it runs.
        auto_reload=False,
        bytecode_cache=Beside(),
    )


def headings(body: str) -> tuple[Entry, ...]:
    """The headings of a finished body that have an anchor."""
    return tuple(
        Entry(int(level), html.unescape(anchor), html.unescape(_TAG.sub("", title)).strip())
        for level, anchor, title in _HEADING.findall(body)
    )


def render_section(view: CaseView, template: str) -> Markup:
    """One section of a case."""
    return Markup(environment().get_template(f"{template}.html").render(v=view))


def render_record(view: CaseView) -> Markup:
    """The whole record: its contents, then all parts, numbered, in the order of a report."""
    made = [contents(view)]
    for number, part in enumerate(parts_of(view), start=1):
        view.base = 1 if part.nested else 0
        inner = Markup("\n").join(render_section(view, template) for template in part.templates)
        title = Markup('<h2 id="{}"><span class="af-number">{}</span> {}</h2>').format(part.anchor, number, part.title)
        made.append(Markup("<section>{}{}</section>").format(title, inner))
    view.base = 1
    return Markup("\n").join(made)


def edition_head(view: CaseView, later: Sequence[Difference] = ()) -> Markup:
    """What the edition that is shown says of itself; `later` is what went on since."""
    return Markup(environment().get_template("editions.html").render(v=view, later=later))


def framed(view: CaseView, here: str, title: str, body: Markup, notice: str) -> str:
    """A section with state line, places and closing line around it."""
    return environment().get_template("frame.html").render(v=view, here=here, title=title, body=body, notice=notice)
