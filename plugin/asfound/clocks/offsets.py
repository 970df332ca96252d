"""The offsets of all clocks of a case: through chains of comparisons, and across the moments at which they were set."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping

from msgspec import Struct, structs

from asfound.clocks.estimate import DAY, Estimate, K
from asfound.clocks.line import Offset, Sight, fit
from asfound.clocks.zones import ZoneOf, as_moment, changes, instant, zone
from asfound.measure import doubt, show_duration
from asfound.model.base import Duration
from asfound.model.bench import Settings
from asfound.model.ids import sort_key
from asfound.model.placing import Change, ClockState, Piece
from asfound.model.testimony import Clock, ClockSet, Comparison

_LONGEST = 30
"""Clocks that may hang on one another in a row."""
_BEYOND = 4e9
"""Seconds, more than a century: an offset beyond it is no offset."""
_CLOCK = re.compile(r"K-[a-z0-9]+(-[a-z0-9]+)*")


def six(value: float) -> float:
    """A number of seconds with the six digits it is kept with."""
    return float(doubt(round(value, 6)))


def half(length: Duration | None) -> float:
    """The standard uncertainty of a stated doubt."""
    return 0.0 if length is None else abs(float(length.seconds)) / K


class Stretch(Struct, frozen=True):
    """A clock between two settings. `offset` is None where nothing is known of it; `name` then stands for it."""

    name: str
    since: ClockSet | None
    until: ClockSet | None
    offset: Offset | None
    compared: int

    def at(self, t: float) -> Estimate:
        """Clock minus base at a time; unknown, and then the same unknown for all its times."""
        return Estimate(0.0, {}, frozenset({self.name})) if self.offset is None else self.offset.at(t)

    def holds(self, t: float) -> bool:
        """Whether a time on the base lies in it."""
        return (self.since is None or self.since.at.at.timestamp() <= t) and (
            self.until is None or t < self.until.at.at.timestamp()
        )


class Offsets:
    """Works every clock out once, those it was compared with first."""

    def __init__(self, clocks: Mapping[str, Clock], settings: Settings) -> None:
        self.clocks = clocks
        self.settings = settings
        self.base = next((ref for ref, clock in clocks.items() if clock.base), "")
        self._known: dict[str, tuple[Stretch, ...]] = {}
        self._notes: dict[str, list[str]] = {ref: [] for ref in clocks}
        self._doing: set[str] = set()
        # In an order of their own, so that where two hang on each other the order of a file has no say.
        for ref in sorted(clocks, key=sort_key):
            self.stretches(ref)

    def stretches(self, ref: str) -> tuple[Stretch, ...]:
        """The stretches of a clock, in the order of time; one unknown stretch for an id no clock bears."""
        if ref not in self.clocks:
            return (Stretch(ref, None, None, None, 0),)
        if ref not in self._known:
            self._doing.add(ref)
            self._known[ref] = self._work_out(ref, self.clocks[ref])
            self._doing.discard(ref)
        return self._known[ref]

    def at(self, ref: str, t: float) -> Estimate:
        """Offset of a clock at a time on the base."""
        found = self.stretches(ref)
        return next((one for one in found if one.holds(t)), found[-1]).at(t)

    def _work_out(self, ref: str, clock: Clock) -> tuple[Stretch, ...]:
        cuts = sorted(clock.was_set, key=lambda one: one.at.at)
        edges: list[ClockSet | None] = [None, *cuts, None]
        given = self.settings.drift_seconds_per_day
        allowance = abs(float(given if clock.drift_per_day is None else clock.drift_per_day.seconds))
        found: list[Stretch] = []
        for number in range(len(edges) - 1):
            since, until = edges[number], edges[number + 1]
            name = ref if len(edges) == 2 else f"{ref}/{number + 1}"
            bare = Stretch(name, since, until, None, 0)
            sights = self._sights(ref, clock, bare)
            offset = fit(name, sights, allowance) if sights else None
            found.append(structs.replace(bare, offset=offset, compared=len(sights)))
        return tuple(self._carried(ref, found))

    def _sights(self, ref: str, clock: Clock, stretch: Stretch) -> list[Sight]:
        found: list[Sight] = []
        for number, one in enumerate(clock.comparisons):
            at = one.at.at.timestamp()
            if not stretch.holds(at):
                continue
            reference = self._reference(ref, one, at)
            if reference is None:
                continue
            value = Estimate(float(one.offset.seconds)).plus(reference)
            found.append(Sight(at, value, half(one.doubt), f"{ref} compared {number + 1}"))
        known = [one for one in found if not one.offset.unknown]
        if known or not found:
            return known
        # All hang on clocks nobody knows the offset of: one of those can be followed, several cannot.
        return found if len({one.offset.unknown for one in found}) == 1 else found[:1]

    def _reference(self, ref: str, one: Comparison, at: float) -> Estimate | None:
        other = one.reference.strip()
        if other in self.clocks:
            if other in self._doing:
                self._note(ref, f"It was compared with {other}, which itself hangs on {ref}; that tells nothing.")
                return None
            if len(self._doing) > _LONGEST:
                self._note(
                    ref, f"It hangs on {other} by more than {_LONGEST} comparisons in a row; that tells nothing."
                )
                return None
            found = self.at(other, at)
            if not abs(found.value) + found.doubt < _BEYOND:
                self._note(ref, f"What {other} was compared with leads out of the calendar; that tells nothing.")
                return None
            return found
        if _CLOCK.fullmatch(other):
            self._note(ref, f"It was compared with {other}, and the case has no such clock.")
            return None
        if one.reference_doubt is not None:
            return Estimate(0.0, {f"reference {_same(other)}": half(one.reference_doubt)})
        return Estimate(0.0, {f"reference {_same(other)}": float(self.settings.reference_seconds) / K})

    def _carried(self, ref: str, found: list[Stretch]) -> list[Stretch]:
        """Stretches without a comparison take their neighbour's line, moved by what the clock was set by."""
        for numbers, way in ((range(len(found) - 2, -1, -1), 1), (range(1, len(found)), -1)):
            for number in numbers:
                here, beside = found[number], found[number + way]
                cut = here.until if way == 1 else here.since
                if here.offset is not None or beside.offset is None or cut is None or cut.by is None:
                    continue
                step = Estimate(-way * float(cut.by.seconds), {f"{ref} set {cut.at.text}": -way * half(cut.doubt)})
                shift = beside.offset.shift.plus(step)
                found[number] = structs.replace(here, offset=structs.replace(beside.offset, shift=shift))
                exact = "" if cut.doubt is not None else ", which is taken as exact"
                side = "before" if way == 1 else "after"
                self._note(
                    ref,
                    f"What it showed {side} it was set at {cut.at.text} follows from what it was set by{exact}.",
                )
        return found

    def _note(self, ref: str, text: str) -> None:
        if text not in self._notes[ref]:
            self._notes[ref].append(text)

    # --- what is told of it

    def state(self, ref: str, read: tuple[dt.datetime, ...], home: dt.tzinfo, zone_of: ZoneOf) -> ClockState:
        """A clock as it is told. `read` are the times that were read off it; `home` is the zone of the base."""
        clock = self.clocks[ref]
        pieces = tuple(self._piece(ref, one, home) for one in self.stretches(ref))
        shows = zone(clock.zone, zone_of) if clock.zone is not None else home
        notes = [*self._notes[ref], *(note for one in self.stretches(ref) for note in self._words(ref, one))]
        return ClockState(ref, clock.zone or "", pieces, tuple(dict.fromkeys(notes)), self._changes(clock, shows, read))

    def _changes(self, clock: Clock, shows: dt.tzinfo | None, read: tuple[dt.datetime, ...]) -> tuple[Change, ...]:
        seen = [one.at.at for one in clock.comparisons]
        if not seen or not read:
            return ()
        return changes(shows, min(*seen, *read), max(*seen, *read))

    def _words(self, ref: str, one: Stretch) -> list[str]:
        if ref == self.base:
            return ["It is the base: all times are told on it, so its own offset is nothing by definition."]
        if one.offset is None:
            return ["Nothing tells its offset: what was read off it has an order among itself and with nothing else."]
        said: list[str] = []
        if one.offset.allowance:
            much = show_duration(doubt(one.offset.allowance * DAY * K))
            why = "compared once" if one.compared < 2 else "compared at times too near each other to tell its drift"
            said.append(f"It was {why}; a drift of up to {much} a day either way is allowed for, which is our figure.")
        if one.offset.scatter > 1.0:
            said.append(
                f"Its comparisons lie {one.offset.scatter:.2g} times further from one line than their doubts say, so "
                "the doubts were widened by that."
            )
        return said

    def from_base(self, ref: str, one: Stretch, t: float) -> Estimate:
        """A stretch's offset from the base of times rather than from the outside references."""
        if ref == self.base:
            return Estimate(0.0)
        found = one.at(t)
        return found.plus(self.at(self.base, t), -1.0) if self.base else found

    def _piece(self, ref: str, one: Stretch, home: dt.tzinfo) -> Piece:
        since = one.since.at if one.since else None
        until = one.until.at if one.until else None
        if ref == self.base:
            return Piece(since, until, None, 0.0, 0.0, None, None, False, one.compared)
        if one.offset is None:
            return Piece(since, until, None, None, None, None, None, False, 0)
        moment = as_moment(instant(math.floor(one.offset.middle), home))
        about = self.from_base(ref, one, one.offset.middle)
        if about.unknown:
            return Piece(since, until, moment, None, None, None, None, False, one.compared)
        drift = one.offset.drift
        return Piece(
            since,
            until,
            moment,
            six(about.value),
            six(about.doubt),
            None if drift is None else six(drift.value * DAY),
            six((K * one.offset.allowance if drift is None else drift.doubt) * DAY),
            drift is None,
            one.compared,
            six(one.offset.scatter),
        )


def _same(text: str) -> str:
    return " ".join(text.split()).casefold()
