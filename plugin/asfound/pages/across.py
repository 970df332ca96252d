"""Pages across cases: what rests on each instrument, and sister units with the same failing test.

What rests on an instrument in more than `MOST` cases stands on pages by year of the event, by month where a year has
more than that; the first page then has the newest of them and names every case in which a level falls.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from jinja2 import Environment
from markupsafe import Markup
from msgspec import Struct

from asfound.across import FAILING, Touched, families, touched
from asfound.measure import show_month
from asfound.model.bench import Instrument
from asfound.model.dossier import Dossier
from asfound.pages.case_line import CaseLine
from asfound.pages.facets import MOST, NEWEST, way_up
from asfound.pages.page import Options, Page, address, instrument_uri
from asfound.pages.prose import cited
from asfound.pages.texts import capital, listed, plural

INSTRUMENTS = "across/instruments/index.md"
SISTERS = "across/sisters.md"


class Row:
    """What rests on an instrument in one case, in words and links."""

    def __init__(self, one: Touched, case: CaseLine, root: str) -> None:
        self.one, self.case, self._root = one, case, root

    def links(self, refs: Sequence[str]) -> Markup:
        """Records of the case, linked."""
        return Markup(", ").join(Markup(cited(ref, ref, lambda to: self.case.record(self._root, to))) for ref in refs)

    def readings(self, sheet: str) -> Markup:
        """The readings of one sheet."""
        return self.links([row.id for row in self.case.case.standing(sheet)])

    @property
    def failing(self) -> tuple[str, ...]:
        """What fails among the verdicts."""
        return tuple(dict.fromkeys(verdict.subject for verdict in self.one.verdicts if verdict.outcome in FAILING))

    @property
    def level(self) -> str:
        """The levels that fall, or that none does."""
        falls = [f"the {fall.of} falls from {fall.before} to {fall.after}" for fall in self.one.levels]
        return listed(falls) or "no level falls"


def _told(rows: Sequence[Touched]) -> str:
    """One sentence: how much rests on an instrument, and in how many cases a level falls without it."""
    fall = sum(bool(one.levels) for one in rows)
    readings, verdicts = (sum(len(getattr(one, name)) for one in rows) for name in ("readings", "verdicts"))
    falls = f"without it a level falls in {plural(fall, 'case')}" if fall else "no level falls without it"
    counted = f"{plural(readings, 'reading')} and {plural(verdicts, 'verdict')}"
    return f"{capital(plural(len(rows), 'case'))}, {counted} of a limit rest on it; {falls}."


class Part(Struct, frozen=True):
    """One page of what rests on an instrument.

    span   which events its cases are of, `2026` or `March 2026`; empty for all
    every  all cases of that span
    later  pages that tell all of them, where this one tells the newest: words, how many cases, source address
    """

    uri: str
    span: str
    every: tuple[Touched, ...]
    later: tuple[tuple[str, int, str], ...] = ()

    @property
    def shown(self) -> list[Touched]:
        """The cases that are told. What falls is read first, however many there are."""
        told = self.every[:NEWEST] if self.later else self.every
        return sorted(told, key=lambda one: not one.levels)

    @property
    def falls(self) -> list[str]:
        """The cases in which a level falls."""
        return [one.case for one in self.every if one.levels]


def parts_of(ref: str, rows: Sequence[Touched], lines: Mapping[str, CaseLine]) -> list[Part]:
    """The pages of an instrument, the first one first; a few cases stand on it, in the order of their names."""
    uri = instrument_uri(ref)
    if len(rows) <= MOST:
        return [Part(uri, "", tuple(rows))]

    def day(one: Touched) -> dt.date:
        return lines[one.case].day

    newest = sorted(rows, key=lambda one: (day(one), one.case), reverse=True)
    found: list[Part] = []
    years: list[tuple[str, int, str]] = []
    for year, group in groupby(newest, key=lambda one: day(one).year):
        mine = tuple(group)
        place = f"{uri.removesuffix('.md')}/{year}.md"
        years.append((str(year), len(mine), place))
        if len(mine) <= MOST:
            found.append(Part(place, str(year), mine))
            continue
        months = [
            Part(f"{uri.removesuffix('.md')}/{first:%Y-%m}.md", show_month(first), same)
            for first, same in ((key, tuple(of)) for key, of in groupby(mine, key=lambda one: day(one).replace(day=1)))
        ]
        later = tuple((one.span, len(one.every), one.uri) for one in months)
        found += [Part(place, str(year), mine, later), *months]
    return [Part(uri, "", tuple(newest), tuple(years)), *found]


def across_pages(
    environment: Environment, dossiers: Sequence[Dossier], cases: Sequence[CaseLine], options: Options
) -> Iterator[Page]:
    """The pages across cases; none on a site without cases."""
    if not cases:
        return
    lines = {one.id: one for one in cases}
    found = touched(dossiers)
    known: dict[str, Instrument] = {}
    for dossier in dossiers:
        known |= dossier.core.instruments
    template = environment.get_template("across.html")

    def page(uri: str, title: str, part: str, **more: object) -> Page:
        root = way_up(uri, options)
        body = template.render(
            part=part, title=title, notice=options.notice, root=root, known=known, lines=lines, plural=plural,
            at=lambda target: f"{root}{address(target, options.directory_urls)}" or "./", uri_of=instrument_uri, **more,
        )  # fmt: skip
        return Page(uri, title, body)

    yield page(INSTRUMENTS, "Instruments, and what rests on them", "instruments", found=found)
    for ref, rows in found.items():
        what = known[ref].what if ref in known else "an instrument that is not in the register"
        for one in parts_of(ref, rows, lines):
            shown = [Row(each, lines[each.case], way_up(one.uri, options)) for each in one.shown]
            title = f"What rests on {ref}, {what}{f': events of {one.span}' if one.span else ''}"
            yield page(one.uri, title, "instrument", rows=shown, ref=ref, one=one, told=_told(one.every))
    yield page(SISTERS, "Sister units with the same failing test", "sisters", families=families(dossiers))
