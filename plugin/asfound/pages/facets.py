"""Cases by what they can be found by: status, device, event, verdict, level, month, and what is due. Plain pages.

A list that grows beyond `MOST` shows its newest cases and leads to pages by year, whose addresses stay what they are
when later cases come in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from jinja2 import Environment, Template
from msgspec import Struct

from asfound.measure import show_month
from asfound.model.duties import DutyLine
from asfound.model.event import Stage
from asfound.model.reasoning import ConfidenceLevel
from asfound.pages.case_line import CaseLine, Due, due_of
from asfound.pages.page import Options, Page, address
from asfound.pages.texts import capital, plural

MOST = 60
"""Cases that a page lists in full."""
NEWEST = 20
"""Of a longer list, so many on its first page; as many stand without a heading for each month."""

Value = tuple[str, str]
"""The last part of an address, and the words for it."""


class Facet(Struct, frozen=True):
    """One way to find cases. `values` gives the values of a case; `order` those that come first."""

    name: str
    title: str
    values: Callable[[CaseLine], tuple[Value, ...]]
    order: tuple[str, ...] = ()
    descending: bool = False


class Found(Struct, frozen=True):
    """The cases that share a value of a facet, the newest event first."""

    facet: Facet
    slug: str
    words: str
    cases: tuple[CaseLine, ...]

    @property
    def uri(self) -> str:
        """Where its page stands."""
        return f"docket/{self.facet.name}/{self.slug}.md"


def _slug(words: str) -> str:
    return words.lower().replace(" ", "-")


def _status(one: CaseLine) -> tuple[Value, ...]:
    stage = str(one.case.head.stage)
    issued = (("issued", "Issued"),) if one.reports else ()
    kept = () if one.reports or not one.issued else (("preservation-edition", "Preservation edition only"),)
    return ((_slug(stage), capital(stage)), *issued, *kept)


def _device(one: CaseLine) -> tuple[Value, ...]:
    kind = one.case.head.device_kind
    return ((kind, capital(kind.replace("-", " "))),) if kind else (("not-stated", "Not stated"),)


def _event(one: CaseLine) -> tuple[Value, ...]:
    return ((_slug(str(one.case.head.event.kind)), one.event),)


def _verdict(one: CaseLine) -> tuple[Value, ...]:
    return ((_slug(one.verdict), capital(one.verdict)),)


def _level(one: CaseLine) -> tuple[Value, ...]:
    made = one.case.conclusion
    level = str(made.mechanism.level) if made is not None else "none yet"
    return ((_slug(level), capital(level)),)


def _month(one: CaseLine) -> tuple[Value, ...]:
    return ((f"{one.day:%Y-%m}", show_month(one.day)),)


def _due(one: CaseLine) -> tuple[Value, ...]:
    return tuple(dict.fromkeys(_due_value(line) for line in one.duties if line.ours))


def _due_value(line: DutyLine) -> Value:
    if line.due is None:
        return "not-counted", "Not counted yet"
    return ("late", "Late") if line.late else (f"{line.due:%Y-%m}", show_month(line.due))


_LEVELS = tuple(str(one) for one in ConfidenceLevel)

FACETS: tuple[Facet, ...] = (
    Facet("status", "Status", _status, (*(_slug(str(one)) for one in Stage), "issued")),
    Facet("device", "Kind of device", _device),
    Facet("event", "Kind of event", _event),
    Facet("verdict", "Verdicts", _verdict, ("has-a-fail", "has-a-conditional-fail", "none-fails", "nothing-judged")),
    Facet("level", "Level of the mechanism", _level, (*_LEVELS, "none-yet")),
    Facet("month", "Month of the event", _month, descending=True),
)
DUE = Facet("due", "Due", _due, ("late",))
"""What the facility owes: on a working site alone."""


def facets_of(options: Options) -> tuple[Facet, ...]:
    """The ways to find cases on this site."""
    return (*FACETS, DUE) if options.duties else FACETS


def found_by(facet: Facet, cases: Sequence[CaseLine]) -> list[Found]:
    """The values of a facet with their cases, in the order in which a page lists them."""
    groups: dict[str, tuple[str, list[CaseLine]]] = {}
    for one in cases:
        for slug, words in facet.values(one):
            groups.setdefault(slug, (words, []))[1].append(one)
    places = {slug: place for place, slug in enumerate(facet.order)}
    slugs = sorted(groups, reverse=facet.descending)
    slugs.sort(key=lambda slug: places.get(slug, len(places)))
    return [Found(facet, slug, groups[slug][0], tuple(groups[slug][1])) for slug in slugs]


def way_up(uri: str, options: Options) -> str:
    """From a page to the root of the site: `../../`, or nothing."""
    return "../" * address(uri, options.directory_urls).count("/")


def facet_pages(environment: Environment, cases: Sequence[CaseLine], options: Options) -> Iterator[Page]:
    """A page for each facet, for each of its values, and by year where there are many cases."""
    template = environment.get_template("facet.html")
    for facet in facets_of(options):
        found = found_by(facet, cases)
        if not found:
            continue
        uri = facet_uri(facet)
        body = environment.get_template("facets.html").render(
            facet=facet, found=found, at=_at(uri, options), notice=options.notice
        )
        yield Page(uri, f"Cases by {facet.title.lower()}", body)
        for one in found:
            title = f"{facet.title}: {one.words}"
            years = by_year(one.cases) if len(one.cases) > MOST else []
            shown = one.cases[:NEWEST] if years else one.cases
            yield _list(template, one, one.uri, title, shown, years, options)
            for year, mine in years:
                place = f"docket/{facet.name}/{one.slug}/{year}.md"
                yield _list(template, one, place, f"{title}, {year}", mine, [], options)


Years = list[tuple[int, tuple[CaseLine, ...]]]


def _list(
    template: Template, one: Found, uri: str, title: str, shown: Sequence[CaseLine], years: Years, options: Options
) -> Page:
    months = [(show_month(day), list(mine)) for day, mine in groupby(shown, key=lambda line: line.day.replace(day=1))]
    if len(shown) <= NEWEST:
        months = [("", list(shown))]
    body = template.render(
        title=title, one=one, count=capital(plural(len(one.cases), "case")), months=months, total=len(shown),
        years=[(year, len(mine), f"docket/{one.facet.name}/{one.slug}/{year}.md") for year, mine in years],
        due=_due_lines(one, shown), root=way_up(uri, options), at=_at(uri, options),
        up=facet_uri(one.facet), notice=options.notice, duties=options.duties,
    )  # fmt: skip
    return Page(uri, title, body)


def by_year(cases: Sequence[CaseLine]) -> Years:
    """Cases by the year of their event, the latest first."""
    return [(year, tuple(mine)) for year, mine in groupby(cases, key=lambda one: one.day.year)]


def _due_lines(one: Found, shown: Sequence[CaseLine]) -> list[Due]:
    if one.facet is not DUE:
        return []
    return [due for due in due_of(shown) if _due_value(due.line)[0] == one.slug]


def facet_uri(facet: Facet) -> str:
    """The page that counts the values of a facet."""
    return f"docket/{facet.name}/index.md"


def _at(uri: str, options: Options) -> Callable[[str], str]:
    root = way_up(uri, options)
    return lambda target: f"{root}{address(target, options.directory_urls)}" or "./"
