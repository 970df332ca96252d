"""Where the clocks of a case stood, and the events on one base of time: computed once, told many times.

All doubts here are half-lengths of about 95 % (coverage factor 2), in seconds, with six significant digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from asfound.model.base import Moment

MOST_EVENTS = 1000
"""Rows of a timeline that are placed. A timeline is written by hand; a log belongs among the readings."""


class Hour(StrEnum):
    """How a time that was written down fits the zone its clock shows."""

    FITS = "fits its zone"
    NO_ZONE = "its clock states no zone"
    UNKNOWN_ZONE = "its clock's zone is no name of the zone data"
    OTHER = "its offset is not the one its clock's zone had then"
    TWICE = "its hour came twice that night"
    NEVER = "its hour never came: the clocks were set forward over it"


@dataclass(frozen=True, slots=True)
class Change:
    """A change of a zone's offset, such as the start of daylight saving: `at` is the first instant of the new one."""

    at: Moment
    by: int
    """New offset minus old, in seconds."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A clock between two settings of it: its offset (clock minus base) as a straight line in time.

    since, until    the settings it lies between; None is open
    about           the moment at which `offset` and `doubt` hold; None where the offset is not known
    offset          seconds the clock was ahead; None where nothing tells
    drift           seconds a day it gains, from the comparisons; None where they do not tell
    drift_doubt     doubt of the drift, or the allowance that stands for it, in seconds a day
    allowance       whether `drift_doubt` is an allowance and not measured
    compared        how many comparisons it rests on
    scatter         how much further the comparisons lie apart than their doubts say (1: no further)
    """

    since: Moment | None
    until: Moment | None
    about: Moment | None
    offset: float | None
    doubt: float | None
    drift: float | None
    drift_doubt: float | None
    allowance: bool
    compared: int
    scatter: float = 1.0


@dataclass(frozen=True, slots=True)
class ClockState:
    """A clock of the case.

    notes     sentences about how its offset was found and what is not known
    changes   changes of its zone (or, where it states none, of the base's zone) between what it was compared
              and what was read off it
    """

    clock: str
    zone: str
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()

    @property
    def known(self) -> bool:
        """Whether any part of its offset is known."""
        return any(piece.offset is not None for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class Placed:
    """An event on the base of time.

    at, earliest, latest   None where its clock's offset is not known
    told          whether nothing but somebody's account stands behind its time
    shown         seconds of its own doubt: as stated, or as taken; 95 %
    step          the step its clock shows time in, in seconds; 0 where a stated doubt is taken to hold it
    offset        seconds taken off what the clock showed
    clock_doubt   doubt of that
    doubt         all of it together
    why           how the doubt was put together, one sentence
    stated        seconds of doubt that its row states; None where it states none
    """

    event: str
    clock: str
    told: bool
    at: Moment | None
    earliest: Moment | None
    latest: Moment | None
    shown: float
    step: float
    offset: float | None
    clock_doubt: float | None
    doubt: float | None
    hour: Hour
    why: str
    stated: float | None = None


@dataclass(frozen=True, slots=True)
class Logged:
    """A row of a device's log, by its id, with the time at which it began on the base."""

    reading: str
    clock: str
    at: Moment


@dataclass(frozen=True, slots=True)
class Shot:
    """A file of evidence whose time a clock of the case gave: seconds to take off that time, and their doubt."""

    evidence: str
    offset: float
    doubt: float


class Order(StrEnum):
    """What the clocks say of two events."""

    BEFORE = "before"
    AFTER = "after"
    OPEN = "not settled"


@dataclass(frozen=True)
class Placing:
    """The events of a case on one base of time, in the order of their best times; those without one come last.

    base       what the times are told on, in words
    zone       the zone they are printed in
    unordered  pairs whose order is not settled, each in the order of `events`; every other pair is settled
    groups     events whose order among them is not settled throughout; the groups follow one another beyond doubt
    logged     rows of device logs that say when they began
    shots      files of evidence with a time from a clock whose offset is known
    """

    base: str = ""
    zone: str = ""
    clocks: tuple[ClockState, ...] = ()
    events: tuple[Placed, ...] = ()
    unordered: tuple[tuple[str, str], ...] = ()
    groups: tuple[tuple[str, ...], ...] = ()
    logged: tuple[Logged, ...] = ()
    shots: tuple[Shot, ...] = ()

    @cached_property
    def _open(self) -> frozenset[tuple[str, str]]:
        return frozenset(self.unordered)

    @cached_property
    def _rank(self) -> dict[str, int]:
        return {one.event: rank for rank, one in enumerate(self.events)}

    def placed(self, event: str) -> Placed | None:
        """An event by its id."""
        rank = self._rank.get(event)
        return None if rank is None else self.events[rank]

    @cached_property
    def shot(self) -> dict[str, Shot]:
        """Files of evidence by their id."""
        return {one.evidence: one for one in self.shots}

    def state(self, clock: str) -> ClockState | None:
        """A clock by its id."""
        return next((one for one in self.clocks if one.clock == clock), None)

    def order(self, one: str, other: str) -> Order:
        """Whether `one` came before `other` beyond doubt. Raises KeyError for an event that is not there."""
        first, second = self._rank[one], self._rank[other]
        pair = (one, other) if first < second else (other, one)
        if one == other or pair in self._open:
            return Order.OPEN
        return Order.BEFORE if first < second else Order.AFTER

    def open_with(self, event: str) -> tuple[str, ...]:
        """Events whose order with this one is not settled, in the order of their best times."""
        return tuple(
            one.event for one in self.events if one.event != event and self.order(event, one.event) is Order.OPEN
        )
