"""The events of a case on one base of time, and which of them are ordered beyond doubt."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct
from pydantic_core import PydanticCustomError

from asfound.clocks.estimate import Estimate, K, settled
from asfound.clocks.offsets import Offsets, Stretch, six
from asfound.clocks.zones import ZoneOf, as_moment, hour, instant, zone
from asfound.measure import Quantity, convert, show_seconds, unit
from asfound.model.base import Amount, Duration, Moment
from asfound.model.bench import Settings
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.model.placing import MOST_EVENTS, Logged, Placed, Placing, Shot
from asfound.model.testimony import Clock, TimelineRow


class Own(Struct, frozen=True):
    """What an event brings of doubt, apart from its clock: stated or taken (95 %), and the step it was read in."""

    shown: float
    step: float
    told: bool
    why: str
    stated: float | None = None

    @property
    def standard(self) -> float:
        """Standard uncertainty: half of the one, and the other as even odds over a step either way."""
        return math.hypot(self.shown / K, self.step / math.sqrt(3.0))


def place(case: Case, settings: Settings, zone_of: ZoneOf) -> Placing:
    """Bring every event of the timeline to one base of time.

    Doubts: an event's own (as stated, about 95 %), the step in which its clock shows time (even odds, a step either
    way, since whether a clock cuts or rounds is seldom known), and its clock's offset at that time. They are combined
    as the root of the sum of squares of their standard uncertainties, times 2 (JCGM 100:2008, 5.1).
    """
    offsets = Offsets(case.clocks, settings)
    base = case.clocks.get(offsets.base)
    home = _home(case, base, zone_of)
    placed = [_placed(row, case, settings, offsets) for row in case.timeline[:MOST_EVENTS]]
    order = sorted(placed, key=lambda one: (bool(one[1].unknown), one[1].value, sort_key(one[0].id)))
    events = tuple(_told(row, where, own, case, offsets, home, zone_of) for row, where, own in order)
    pairs = _unordered([(row.id, where) for row, where, _ in order])
    read: dict[str, list[dt.datetime]] = {ref: [] for ref in case.clocks}
    for row in case.timeline:
        read.setdefault(row.clock, []).append(row.at.at)
    states = tuple(offsets.state(ref, tuple(read[ref]), home, zone_of) for ref in sorted(case.clocks, key=sort_key))
    known = [one.event for one in events if one.at is not None]
    logged, shots = tuple(_logged(case, offsets, home)), tuple(_shots(case, offsets))
    return Placing(_base_words(case, offsets), str(home), states, events, pairs, _groups(known, pairs), logged, shots)


def _home(case: Case, base: Clock | None, zone_of: ZoneOf) -> dt.tzinfo:
    """The zone times are printed in: that of the base, else the first that a clock names, else that of the event."""
    texts = [base.zone] if base is not None else []
    texts += [clock.zone for _, clock in sorted(case.clocks.items(), key=lambda one: sort_key(one[0]))]
    named = [text for text in texts if text is not None and text[:1].isalpha()]
    for text in (*named, *texts):
        found = zone(text, zone_of)
        if found is not None:
            return found
    return case.head.event.told_at.at.tzinfo or dt.UTC


def _base_words(case: Case, offsets: Offsets) -> str:
    if offsets.base:
        return f"{offsets.base}, {case.clocks[offsets.base].what}"
    outside = {
        " ".join(one.reference.split()): None
        for clock in case.clocks.values()
        for one in clock.comparisons
        if one.reference.strip() not in case.clocks
    }
    return "; ".join(outside) if outside else "no reference: no clock was compared with one"


def own_doubt(row: TimelineRow, clock: Clock | None, settings: Settings) -> Own:
    """What an event brings of doubt. A person's account is not an instrument: see the settings of that name."""
    told = all(ref.startswith("W-") for ref in row.source)
    stated = _stated(row.doubt)
    step = step_of(clock.resolution) if clock is not None and clock.resolution is not None else None
    least = float(settings.told_time_least_seconds)
    if stated is not None:
        much = show_seconds(stated)
        if told and stated < least:
            wide = show_seconds(least)
            return Own(least, step or 0.0, True, f"{wide}, our least for a told time ({much} is stated)", stated)
        return Own(stated, step or 0.0, told, f"{much} as stated", stated)
    if told:
        taken = max(float(settings.told_time_minutes) * 60.0, least)
        much = show_seconds(taken)
        return Own(taken, step or 0.0, True, f"{much}, our figure for a time that a person told")
    if step is not None:
        return Own(0.0, step, False, "none of its own is stated")
    written = _written(row.at.text)
    much = show_seconds(written)
    return Own(0.0, written, False, f"none of its own is stated, and {much} is the step it was written in")


def _stated(text: str) -> float | None:
    try:
        return abs(float(Duration.read(text).seconds)) if text.strip() else None
    except PydanticCustomError:
        return None


def _written(text: str) -> float:
    """The step in which a time was written: minutes, seconds, or parts of a second."""
    clock = text[11:].split(" ")[0].rstrip("Z")
    for sign in ("+", "-", "−"):
        clock = clock.split(sign)[0]
    if clock.count(":") < 2:
        return 60.0
    _, _, part = clock.partition(".")
    return float(10.0 ** -len(part))


def step_of(resolution: Amount) -> float | None:
    """A clock's step in seconds; None where it is not given in a unit of time."""
    given, second = unit(resolution.unit), unit("s")
    if given is None or second is None or given.quantity is not Quantity.TIME or resolution.value < 0:
        return None
    return float(convert(resolution.value, given, second))


def _placed(row: TimelineRow, case: Case, settings: Settings, offsets: Offsets) -> tuple[TimelineRow, Estimate, Own]:
    own = own_doubt(row, case.clocks.get(row.clock), settings)
    reading = row.at.at.timestamp()
    found, other = _stretch(offsets, row.clock, reading)
    where = _on_base(offsets, row.clock, reading, found).with_part(f"event {row.id}", own.standard)
    if other is not None:
        where = where.with_part(f"event {row.id} set", abs(other.value - found.value) / K)
    if not _in_calendar(where):
        # Comparisons that contradict each other wildly lead anywhere; nothing is known then.
        where = Estimate(reading, {}, frozenset({f"{row.id} out of the calendar"}))
    return row, where, own


_FIRST, _LAST = (dt.datetime(year, 1, 1, tzinfo=dt.UTC).timestamp() for year in (1901, 2199))


def _in_calendar(where: Estimate) -> bool:
    """Whether a time can be written down with all of its doubt: the years a moment of a case can have."""
    return where.value - where.doubt > _FIRST and where.value + where.doubt < _LAST


def _on_base(offsets: Offsets, clock: str, reading: float, offset: Estimate) -> Estimate:
    """A reading with its clock's offset taken off, and the base's put on."""
    where = Estimate(reading)
    if offsets.base == clock:
        return where
    where = where.plus(offset, -1.0)
    return where.plus(offsets.at(offsets.base, where.value)) if offsets.base else where


def _stretch(offsets: Offsets, clock: str, reading: float) -> tuple[Estimate, Estimate | None]:
    """The offset that a reading was shown with; a second one where the clock was set and showed that time twice."""
    stretches = offsets.stretches(clock)
    fitting = [(one, _at(one, reading)) for one in stretches]
    inside = [value for one, value in fitting if one.holds(reading - value.value)]
    if len(inside) > 1:
        return inside[0], inside[-1]
    if inside:
        return inside[0], None
    # A reading the clock never showed, since it was set past it: the stretch that began then is as good as the other.
    near = min(fitting, key=lambda pair: _away(pair[0], reading - pair[1].value))
    return near[1], None


def _at(one: Stretch, reading: float) -> Estimate:
    """A stretch's offset at the time at which it showed a reading. Drift is slow: three steps are more than enough."""
    found = one.at(reading)
    for _ in range(3):
        found = one.at(reading - found.value)
    return found


def _away(one: Stretch, t: float) -> float:
    edges = [cut.at.at.timestamp() for cut in (one.since, one.until) if cut is not None]
    return min((abs(t - edge) for edge in edges), default=0.0)


def _told(
    row: TimelineRow, where: Estimate, own: Own, case: Case, offsets: Offsets, home: dt.tzinfo, zone_of: ZoneOf
) -> Placed:
    clock = case.clocks.get(row.clock)
    fits = hour(row.at, clock.zone if clock else None, zone_of)
    if where.unknown:
        why = f"{own.why}; the offset of its clock is not known"
        return Placed(
            row.id,
            row.clock,
            own.told,
            None,
            None,
            None,
            six(own.shown),
            six(own.step),
            None,
            None,
            None,
            fits,
            why,
            None if own.stated is None else six(own.stated),
        )
    doubt = where.doubt
    clock_doubt = K * math.sqrt(max(0.0, (doubt / K) ** 2 - own.standard**2))
    steps = f"; a step of {show_seconds(own.step)}" if own.step else ""
    # No finer than the doubt earns: to the second, or to tenths where the doubt is below one.
    tenths = 10 if doubt < 1.0 else 1

    def moment(value: float, to: Callable[[float], int]) -> Moment:
        whole = to(value * tenths)
        seconds, part = divmod(whole, tenths)
        return as_moment(instant(seconds, home) + dt.timedelta(microseconds=part * 100_000))

    return Placed(
        row.id,
        row.clock,
        own.told,
        moment(where.value, round),
        moment(where.value - doubt, math.floor),
        moment(where.value + doubt, math.ceil),
        six(own.shown),
        six(own.step),
        six(row.at.at.timestamp() - where.value),
        six(clock_doubt),
        six(doubt),
        fits,
        f"{own.why}{steps}; {show_seconds(clock_doubt)} from its clock",
        None if own.stated is None else six(own.stated),
    )


_LONG_LOG = 2000
"""Beyond so many rows a log is not copied onto the base: its events of interest belong to the timeline."""


def _logged(case: Case, offsets: Offsets, home: dt.tzinfo) -> Iterator[Logged]:
    """Rows of a device's log that say when they began by its clock: the only clock of that thing."""
    for ref, sheet in case.sheets.items():
        own = [clock for clock, record in case.clocks.items() if record.item == sheet.item]
        rows = case.standing(ref)
        if len(own) != 1 or len(rows) > _LONG_LOG:
            continue
        for row in rows:
            try:
                start = Moment.read(row.conditions.get("start", ""))
            except PydanticCustomError:
                continue
            reading = start.at.timestamp()
            found, other = _stretch(offsets, own[0], reading)
            where = _on_base(offsets, own[0], reading, found)
            if other is None and not where.unknown and _in_calendar(where):
                yield Logged(row.id, own[0], as_moment(instant(round(where.value), home)))


def _shots(case: Case, offsets: Offsets) -> Iterator[Shot]:
    """What to take off the time of each file of evidence that a clock of the case gave."""
    for ref, evidence in case.evidence.items():
        if evidence.taken_at is None or evidence.clock not in case.clocks:
            continue
        reading = evidence.taken_at.at.timestamp()
        found, other = _stretch(offsets, evidence.clock, reading)
        where = _on_base(offsets, evidence.clock, reading, found)
        if other is None and not where.unknown and _in_calendar(where):
            yield Shot(ref, six(reading - where.value), six(where.doubt))


def _unordered(events: Sequence[tuple[str, Estimate]]) -> tuple[tuple[str, str], ...]:
    """Pairs whose order is not settled, each in the order given: those of known time first, by time."""
    widest = max((where.doubt for _, where in events if not where.unknown), default=0.0)
    found: list[tuple[str, str]] = []
    for number, (ref, where) in enumerate(events):
        reach = where.value + where.doubt + widest
        for other, there in events[number + 1 :]:
            # The doubt of a difference is never larger than both doubts together: what lies further off is settled.
            if not where.unknown and not there.unknown and there.value > reach:
                continue
            if not settled(where, there):
                found.append((ref, other))
    return tuple(found)


def _groups(known: Sequence[str], pairs: Sequence[tuple[str, str]]) -> tuple[tuple[str, ...], ...]:
    """Events in order, cut wherever everything before comes before everything after beyond doubt."""
    rank = {ref: number for number, ref in enumerate(known)}
    reach = list(range(len(known)))
    for one, other in pairs:
        if one in rank and other in rank:
            low, high = sorted((rank[one], rank[other]))
            reach[low] = max(reach[low], high)
    found: list[tuple[str, ...]] = []
    start = 0
    until = -1
    for number in range(len(known)):
        until = max(until, reach[number])
        if until == number:
            found.append(tuple(known[start : number + 1]))
            start = number + 1
    return tuple(found)
