"""What was worked out: each calculation with its question, what went in, what came out, and on whose authority."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.figures.spec import Chart
from asfound.measure import show_number
from asfound.measure.show import NBSP
from asfound.model.base import Amount
from asfound.model.calculation import Calculated
from asfound.model.worked import Worked, WorkedAnswer, WorkedInput
from asfound.pages.part import Part
from asfound.pages.plots import bound, chart_of
from asfound.pages.texts import capital, plural

SENTENCES = 3
"""So many answers of a calculation are said as sentences; a single one more is, too."""


class WorkedBlock(Struct, frozen=True):
    """One calculation, ready to be printed.

    fed       input, figure, where it comes from
    used      the sheet or file its rows came from, in words
    cautions  those that no calculation before it has said
    earlier   the calculations before it that said the others
    found     what came of it in one sentence
    """

    ref: str
    asks: str
    title: str
    about: tuple[str, ...]
    fed: tuple[tuple[str, str, str, Markup], ...]
    used: Markup
    answers: tuple[WorkedAnswer, ...]
    formula: str
    source: str
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    earlier: tuple[str, ...]
    found: str
    reaches: str
    charts: Markup
    faults: tuple[str, ...]
    note: str

    @property
    def first(self) -> tuple[WorkedAnswer, ...]:
        """The answers that are said as sentences."""
        return self.answers if len(self.answers) <= SENTENCES + 1 else self.answers[:SENTENCES]

    @property
    def rest(self) -> tuple[WorkedAnswer, ...]:
        """The answers that stand in a table under the sentences."""
        return self.answers[len(self.first) :]


def _found(one: Worked) -> str:
    """What the first chart shows, since a chart says it as a sentence; without one the first answer."""
    if one.plots and one.plots[0].result:
        return one.plots[0].result
    return f"{capital(one.answers[0].name)}: {one.answers[0].text}." if one.answers else ""


def _kept(text: str) -> str:
    """The text of an input, its figures kept with their units and with what they count."""
    return bound(text).replace("cmH2O", "cmH₂O").replace("mean of ", f"mean of{NBSP}")


class WorkingsPart(Part):
    """What the page of calculations asks."""

    @cached_property
    def workings(self) -> list[WorkedBlock]:
        """The calculations in the order of their ids."""
        return [self._worked(one, self.case.calculations[one.ref]) for one in self.core.worked]

    @cached_property
    def workings_words(self) -> str:
        """One sentence that says what stands on the page, and what not."""
        count = len(self.core.worked)
        are = "One question was" if count == 1 else f"{capital(plural(count, 'question'))} were"
        return (
            f"{are} worked out from what was measured, logged or told. A calculation shows what follows from its "
            "inputs under its assumptions; it speaks to what it models and to nothing else."
        )  # fmt: skip

    @cached_property
    def _cautioned(self) -> dict[str, str]:
        """Every caution of the calculations, with the first that bears it."""
        return {said: one.ref for one in reversed(self.core.worked) for said in one.cautions}

    def _worked(self, one: Worked, record: Calculated) -> WorkedBlock:
        status = f" ({one.status})" if one.status else ""
        bearers = {said: self._cautioned[said] for said in one.cautions}
        return WorkedBlock(
            one.ref, record.asks, one.title, record.about,
            tuple((fed.name, fed.what, _kept(fed.text), self._whence(fed)) for fed in one.inputs),
            self._rows(one, record),
            tuple(replace(answer, name=capital(answer.name), said=bound(answer.said)) for answer in one.answers),
            one.formula, f"{one.source}{status}" if one.source else "", one.assumes,
            tuple(said for said, ref in bearers.items() if ref == one.ref),
            tuple(dict.fromkeys(ref for ref in bearers.values() if ref != one.ref)),
            _found(one), ", ".join(self._topic(name) for name in one.reaches),
            self._charts(one, record),
            tuple(capital(f"{fault.found}; {fault.needed}.") for fault in one.faults), record.note or "",
        )  # fmt: skip

    def _charts(self, one: Worked, record: Calculated) -> Markup:
        series = record.series.evidence if record.series is not None else ""

        def made() -> tuple[Chart, ...]:
            return tuple(chart_of(plot, f"chart-{one.ref[2:]}-{plot.name}", series=series) for plot in one.plots)

        return Markup("").join(self.draw(chart) for chart in self.texts.once((chart_of, one.ref), made))

    def _whence(self, fed: WorkedInput) -> Markup:
        refs = Markup(", ").join(self.link(ref) for ref in fed.of)
        if fed.of and fed.taken:
            return Markup("{}: {}").format(refs, fed.taken)
        return refs if fed.of else Markup("{}").format(fed.taken or "not stated")

    def _rows(self, one: Worked, record: Calculated) -> Markup:
        if not one.rows:
            return Markup("")
        count = show_number(Decimal(one.rows))
        if record.series is not None:
            parts = [f"{name} {amount.text}" for name, amount in self._window(record) if amount is not None]
            cut = f", {' '.join(parts)}" if parts else ""
            return Markup("{} samples of {}{}").format(count, self.link(record.series.evidence), cut)
        assert record.rows is not None
        where = ", ".join(f"{name.replace('_', ' ')} {text}" for name, text in record.rows.where.items())
        return Markup("{} readings of {}{}").format(count, self.link(record.rows.sheet), f", {where}" if where else "")

    @staticmethod
    def _window(record: Calculated) -> tuple[tuple[str, Amount | None], ...]:
        assert record.series is not None
        return (("from", record.series.from_), ("to", record.series.to))

    def _topic(self, name: str) -> str:
        for protocol in self.core.protocols.values():
            if name in protocol.topics:
                return protocol.topics[name].title.lower()
        return name.replace("-", " ")
