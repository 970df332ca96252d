"""Pages across cases: what rests on each instrument, and sister units with the same failing test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jinja2 import Environment
from markupsafe import Markup

from asfound.across import FAILING, Touched, families, touched
from asfound.model.bench import Instrument
from asfound.model.dossier import Dossier
from asfound.pages.case_line import CaseLine
from asfound.pages.facets import way_up
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
        uri = instrument_uri(ref)
        # What falls is read first, however many cases there are.
        shown = [
            Row(one, lines[one.case], way_up(uri, options)) for one in sorted(rows, key=lambda one: not one.levels)
        ]
        what = known[ref].what if ref in known else "an instrument that is not in the register"
        yield page(uri, f"What rests on {ref}, {what}", "instrument", rows=shown, ref=ref, told=_told(rows))
    yield page(SISTERS, "Sister units with the same failing test", "sisters", families=families(dossiers))
