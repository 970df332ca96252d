"""Clocks and the timeline: what the template of that page asks."""

from __future__ import annotations

from functools import cached_property

from markupsafe import Markup
from msgspec import Struct

from asfound.measure import show_seconds
from asfound.model.ids import sort_key
from asfound.model.placing import ClockState, Hour, Piece, Placed
from asfound.model.testimony import Clock, TimelineRow
from asfound.pages.lanes import timeline_chart
from asfound.pages.part import Part
from asfound.pages.texts import listed, when

_HOURS = {
    Hour.UNKNOWN_ZONE: "The zone its clock states is no zone.",
    Hour.OTHER: "The offset written is not the one its clock's zone had then.",
    Hour.TWICE: "Its hour came twice that night.",
    Hour.NEVER: "Its hour never came in its clock's zone.",
}


class ClockLine(Struct, frozen=True):
    """A clock between two settings, in words."""

    ref: str
    clock: Clock
    span: str
    offset: str
    drift: str
    basis: str
    notes: tuple[str, ...]
    first: bool


class TimesPart(Part):
    """The page of clocks and timeline."""

    @property
    def placing_known(self) -> bool:
        """Whether times were brought to one base; dossiers of before that was possible hold none."""
        return bool(self.core.placing.events)

    @cached_property
    def base_words(self) -> str:
        """What the times are told on, and how doubts were put together."""
        placing, ours = self.core.placing, self.core.organisation
        return (
            f"The base is {placing.base}; times are printed in the zone {placing.zone}. The doubt of an event, the "
            "step its clock shows time in and the doubt of the clock's offset are combined as the root of the sum of "
            "their squares (JCGM 100:2008, 5.1), at about 95 %. What two events share, such as the offset of one "
            "clock, has no say in their order. Figures that are ours, where nothing is stated: a time that a person "
            f"told ± {ours.told_time_minutes} min, and never under ± {ours.told_time_least_seconds} s; a reference "
            f"outside the case ± {ours.reference_seconds} s; drift ± {ours.drift_seconds_per_day} s a day."
        )

    @cached_property
    def timeline_figure(self) -> Markup:
        """The lanes; empty where no event has a place."""
        chart = self.texts.once(timeline_chart, lambda: timeline_chart(self.texts))
        return self.draw(chart) if chart else Markup("")

    @cached_property
    def clock_lines(self) -> list[ClockLine]:
        """Each clock, once for each stretch between two settings."""
        found: list[ClockLine] = []
        for ref, clock in sorted(self.case.clocks.items(), key=lambda one: sort_key(one[0])):
            state = self.core.placing.state(ref)
            for number, piece in enumerate(state.pieces if state else ()):
                assert state is not None
                found.append(_line(ref, clock, state, piece, number == 0, base=clock.base))
        return found

    @cached_property
    def events(self) -> list[tuple[TimelineRow, Placed]]:
        """The events in the order of the base, each with its row."""
        rows = {row.id: row for row in self.case.timeline}
        return [(rows[one.event], one) for one in self.core.placing.events if one.event in rows]

    def on_base(self, one: Placed) -> str:
        """An event's time with its doubt."""
        if one.at is None or one.doubt is None:
            return "no place: the offset of its clock is not known"
        return f"{when(one.at)} ±\u00a0{show_seconds(one.doubt)}"

    def correction(self, one: Placed) -> str:
        """What was added to the reading."""
        return "not known" if one.offset is None else show_seconds(-one.offset, signed=True)

    def order_of(self, one: Placed) -> str:
        """Which events its order with is not settled."""
        loose = list(self.core.placing.open_with(one.event))
        if not loose:
            return "settled"
        shown = [*loose[:6], *([f"{len(loose) - 6} more"] if len(loose) > 6 else [])]
        return f"not settled with {listed(shown)}"

    def remarks(self, one: Placed) -> str:
        """How the doubt was put together, and what does not fit its zone."""
        told = "as a person told it; " if one.told else ""
        zone = _HOURS.get(one.hour, "")
        return f"{told}{one.why}." + (f" {zone}" if zone else "")


def _line(ref: str, clock: Clock, state: ClockState, piece: Piece, first: bool, *, base: bool) -> ClockLine:
    ends = [f"from {when(piece.since)}"] if piece.since else []
    ends += [f"until {when(piece.until)}"] if piece.until else []
    if piece.offset is None or piece.doubt is None:
        offset = "not known"
    elif base:
        offset = "none: it is the base"
    else:
        side = "ahead" if piece.offset > 0 else "behind"
        offset = f"{show_seconds(abs(piece.offset))} {side}, ±\u00a0{show_seconds(piece.doubt)}"
    drift = ""
    if piece.drift is not None and piece.drift_doubt is not None:
        drift = f"{show_seconds(piece.drift, signed=True)} a day, ±\u00a0{show_seconds(piece.drift_doubt)}"
    elif piece.drift_doubt is not None and piece.offset is not None:
        drift = f"not measured; ±\u00a0{show_seconds(piece.drift_doubt)} a day allowed for"
    many = f"{piece.compared} comparisons" if piece.compared != 1 else "one comparison"
    basis = f"{many}, about {when(piece.about)}" if piece.about else many
    return ClockLine(ref, clock, ", ".join(ends), offset, drift, basis, state.notes if first else (), first)
