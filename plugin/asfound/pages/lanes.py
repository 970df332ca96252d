"""The events of a case in lanes of their clocks, on one base of time, told from its placing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.figures import Chart
from asfound.figures.kinds import timeline_lanes
from asfound.figures.spec import Axis, Event, Sight, Span
from asfound.measure import show_time
from asfound.model.base import Moment
from asfound.model.ids import sort_key
from asfound.model.placing import Placed, Placing
from asfound.pages.custody import ticks
from asfound.pages.texts import Texts, capital, listed, plural

_MARGIN = 0.3
"""How far beyond the events, as a share of their span, gates and custody are still drawn."""
_NOTE = (
    "A filled mark is a time from a record, an open one a time that a person told; its bar is where it may lie, about "
    "95 %. Triangles are entries of a device's log under its clock, gates, and lines of custody, these two as written."
)


def timeline_chart(texts: Texts) -> Chart | None:
    """The lanes; None where no event has a place."""
    placing = texts.dossier.core.placing
    known = [one for one in placing.events if one.at and one.earliest and one.latest]
    if not known:
        return None
    lanes = sorted({one.clock for one in known}, key=sort_key)
    first = min((one.earliest for one in known if one.earliest), key=lambda at: at.at)
    last = max((one.latest for one in known if one.latest), key=lambda at: at.at)
    span = max(_hours(first, last), 0.05)
    low, high = -0.03 * span, span * 1.03
    beneath = list(_beneath(texts, first, -_MARGIN * span, span * (1 + _MARGIN), lanes))
    if beneath:
        low = min(low, *(one.x - 0.02 * span for one in beneath))
        high = max(high, *(one.x + 0.02 * span for one in beneath))
    names = [*(_lane(texts, ref) for ref in lanes), *_rows_beneath(beneath, len(lanes))]
    start = first.at + dt.timedelta(hours=low)
    return timeline_lanes(
        "chart-timeline",
        "Events on one base of time",
        order_words(placing),
        names,
        [_sight(texts, lanes.index(one.clock), one, first) for one in known],
        x=Axis(
            f"time on the base, at {show_time(first.at).split()[2]}",
            ticks=tuple(type(one)(round(one.value + low, 6), one.text) for one in ticks(start, high - low)),
            low=low,
            high=high,
        ),
        events=beneath,
        spans=[_span(group, placing, first) for group in placing.groups if len(group) > 1],
        note=_NOTE,
    )


def order_words(placing: Placing) -> str:
    """One sentence: whether the order of the events is settled, and which have no place."""
    known = [one for one in placing.events if one.at is not None]
    lost = [one for one in placing.events if one.at is None]
    loose = [group for group in placing.groups if len(group) > 1]
    if not known:
        said = "no event has a place on one base of time"
    elif len(known) == 1:
        said = "one event has a place on the base of time"
    elif not loose and len(known) == 2:
        said = "the order of both events is settled by their clocks"
    elif not loose:
        said = f"the order of all {plural(len(known), 'event')} is settled by their clocks"
    else:
        parts = [listed(list(group)) for group in loose[:4]]
        parts += [f"{len(loose) - 4} more groups"] if len(loose) > 4 else []
        said = f"the order of {plural(len(known), 'event')} is settled but for {'; '.join(parts)}"
    if lost:
        refs = listed(sorted((one.event for one in lost), key=sort_key))
        said += f"; {refs} {'has' if len(lost) == 1 else 'have'} none, since the offset of the clock is not known"
    return f"{capital(said)}."


def _hours(first: Moment, moment: Moment) -> float:
    return round((moment.at - first.at).total_seconds() / 3600, 6)


def _lane(texts: Texts, ref: str) -> str:
    clock = texts.case.clocks.get(ref)
    return f"{ref} {clock.what}" if clock else ref


def _sight(texts: Texts, row: int, one: Placed, first: Moment) -> Sight:
    assert one.at is not None and one.earliest is not None and one.latest is not None
    event = next((row.event for row in texts.case.timeline if row.id == one.event), "")
    return Sight(
        row,
        _hours(first, one.at),
        _hours(first, one.earliest),
        _hours(first, one.latest),
        event,
        show_time(one.at.at),
        show_time(one.earliest.at),
        show_time(one.latest.at),
        one.event,
        one.told,
    )


def _span(group: tuple[str, ...], placing: Placing, first: Moment) -> Span:
    inside = [one for ref in group if (one := placing.placed(ref)) is not None]
    low = min(_hours(first, one.earliest) for one in inside if one.earliest)
    high = max(_hours(first, one.latest) for one in inside if one.latest)
    return Span(low, high, f"order not settled: {listed(list(group))}")


def _beneath(texts: Texts, first: Moment, low: float, high: float, lanes: list[str]) -> Iterator[Event]:
    """Entries of logs in their clock's lane, then gates and lines of custody, as far as the window reaches."""
    case = texts.case
    for entry in texts.dossier.core.placing.logged:
        at = _hours(first, entry.at)
        if entry.clock in lanes and low <= at <= high:
            reading = case.reading.get(entry.reading)
            words = f"entry of the log, {texts.measured(reading)}" if reading else "entry of the log"
            yield Event(lanes.index(entry.clock), at, words, show_time(entry.at.at), entry.reading)
    gates = [
        (at, f"gate: {gate.gate}", gate.at, ref)
        for ref, gate in case.gates.gates.items()
        if low <= (at := _hours(first, gate.at)) <= high
    ]
    lines = [
        (at, f"custody: {line.kind}, {listed(list(line.items))}", moment, line.id)
        for line in case.custody
        if (moment := line.received_at or line.released_at) is not None and low <= (at := _hours(first, moment)) <= high
    ]
    row = len(lanes)
    for found in (gates, lines):
        for at, words, moment, ref in found:
            yield Event(row, at, words, show_time(moment.at), ref)
        row += bool(found)


def _rows_beneath(beneath: list[Event], lanes: int) -> list[str]:
    found: dict[int, str] = {}
    for one in beneath:
        if one.row >= lanes:
            found[one.row] = "Gates" if one.words.startswith("gate") else "Custody"
    return [name for _, name in sorted(found.items())]
