"""One continuous account of each thing: who had it, where, under which seal, from when to when.

The stretches of an item follow one another without a space between and never overlap. Where the log does not say who
had the thing, the stretch says that nobody can: a hole is part of the account, not a blank in it. The last stretch
has no end: the thing is still there, as far as the log goes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from msgspec import Struct

from asfound.account.lines import STORE, accounted, arrives, leaves, lines_of, same, sealed
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.things import CustodyKind, CustodyLine


class Keeping(StrEnum):
    """How a thing was kept during a stretch."""

    BEFORE_LOG = "before the log begins"
    BEFORE_CUSTODY = "before custody, accounted for"
    HELD = "held"
    STORED = "in a sealed store"
    ON_THE_WAY = "on the way under seal"
    GAP = "not accounted for"


class Stretch(Struct, frozen=True):
    """Part of an item's account: `start` counts, `end` does not; an `end` of None is open.

    holder  role, or `store`; during a gap, the last who is known to have had it; empty before the log
    lines   the custody lines it follows from
    why     for a gap or a time before custody: what is not known, or what is
    """

    item: str
    keeping: Keeping
    start: Moment
    end: Moment | None
    holder: str = ""
    place: str = ""
    seal: str = ""
    lines: tuple[str, ...] = ()
    why: str = ""

    @property
    def seconds(self) -> float | None:
        """Length in seconds; None while it is open."""
        return None if self.end is None else (self.end.at - self.start.at).total_seconds()


class HoleKind(StrEnum):
    """Why the log does not lead from one line to the next."""

    START = "the log starts with something else than who took it first"
    HOLDER = "another holder lets it go than received it"
    PLACE = "it leaves from another place than it came to"
    COLLECTED_AGAIN = "it is collected while somebody holds it"
    UNSEALED = "between release and receipt nobody had it, and it bore no seal"
    BEFORE_TOLD = "before custody, told and signed"
    BEFORE_UNTOLD = "before custody, not accounted for"


class Hole(Struct, frozen=True):
    """A place where the log does not lead on. `before` is the line before it, None at the start."""

    kind: HoleKind
    line: CustodyLine
    before: CustodyLine | None = None


class ClashKind(StrEnum):
    """Why a log cannot have been written as it happened."""

    RELEASED_TWICE = "one holder lets it go twice"
    LEFT_EARLY = "it moves on before it arrived"


class Clash(Struct, frozen=True):
    """Two lines that have one thing in two places."""

    kind: ClashKind
    line: CustodyLine
    before: CustodyLine


class SealBreak(Struct, frozen=True):
    """A seal put on at `before`, and another (or none, or one where none was put on) found at `line`."""

    line: CustodyLine
    before: CustodyLine
    put_on: str
    found: str


class Account(Struct, frozen=True):
    """Everything the log says of one item."""

    item: str
    lines: tuple[CustodyLine, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    holes: tuple[Hole, ...] = ()
    clashes: tuple[Clash, ...] = ()
    seals: tuple[SealBreak, ...] = ()

    def at(self, moment: Moment) -> Stretch | None:
        """The stretch a moment lies in; None before the account begins."""
        for stretch in self.stretches:
            if stretch.start <= moment and (stretch.end is None or moment < stretch.end):
                return stretch
        return None

    def during(self, start: Moment, end: Moment) -> tuple[Stretch, ...]:
        """The stretches that a span of time touches; a span without length touches the one it lies in."""
        return tuple(
            one
            for one in self.stretches
            if (one.start < end or one.start.at == start.at) and (one.end is None or start < one.end)
        )

    @property
    def gaps(self) -> tuple[Stretch, ...]:
        """The stretches that nobody can account for."""
        return tuple(one for one in self.stretches if one.keeping is Keeping.GAP)

    def receipt(self, role: str | None) -> CustodyLine | None:
        """The first line by which a role received the item."""
        return next((line for line in self.lines if role and line.received_by == role), None)

    def seal_before(self, line: CustodyLine) -> str:
        """The seal it bore when a line was written, as the log has it."""
        on = ""
        for one in self.lines:
            if one is line:
                return on or sealed(one.seal_before)
            on = sealed(one.seal_after)
        return on


def accounts(case: Case) -> Mapping[str, Account]:
    """The account of every item that stands in the log, and of every impounded item that does not.

    Half a dozen rules and the weighing ask for them, so they are drawn up once and kept with the case, as its own
    lookups are.
    """
    kept: dict[str, Any] = case.__dict__
    if "_accounts" not in kept:
        kept["_accounts"] = MappingProxyType(_drawn_up(case))
    drawn: Mapping[str, Account] = kept["_accounts"]
    return drawn


def _drawn_up(case: Case) -> dict[str, Account]:
    logs = lines_of(case)
    wanted = [*logs, *(ref for ref, item in case.items.items() if item.impounded and ref not in logs)]
    told_at = case.head.event.told_at
    return {ref: account_of(ref, logs.get(ref, ()), told_at if _at_event(case, ref) else None) for ref in wanted}


def _at_event(case: Case, ref: str) -> bool:
    item = case.items.get(ref)
    return item is not None and item.in_use_at_event


def account_of(item: str, lines: Sequence[CustodyLine], event: Moment | None = None) -> Account:
    """The account of one item from its lines in the order of the log.

    `event` is when the item was in use; what lies between it and the first line is then part of the account.
    """
    return Account(
        item,
        tuple(lines),
        tuple(_stretches(item, lines, event)),
        tuple(_holes(lines)),
        tuple(_clashes(lines)),
        tuple(_seals(lines)),
    )


# --- what does not fit


def _pairs(lines: Sequence[CustodyLine]) -> Iterator[tuple[CustodyLine | None, CustodyLine]]:
    before: CustodyLine | None = None
    for line in lines:
        yield before, line
        before = line


def _holes(lines: Sequence[CustodyLine]) -> Iterator[Hole]:
    for before, line in _pairs(lines):
        if before is None and line.kind not in {CustodyKind.COLLECTED, CustodyKind.BEFORE_CUSTODY}:
            yield Hole(HoleKind.START, line)
        if line.kind is CustodyKind.BEFORE_CUSTODY:
            yield Hole(HoleKind.BEFORE_TOLD if accounted(line) else HoleKind.BEFORE_UNTOLD, line, before)
            continue
        if before is not None:
            kind = _between(before, line)
            if kind is not None:
                yield Hole(kind, line, before)
        if _unsealed(line):
            yield Hole(HoleKind.UNSEALED, line, before)


def _twice(before: CustodyLine, line: CustodyLine) -> bool:
    return bool(line.released_by) and line.released_by == before.released_by != before.received_by


def _between(before: CustodyLine, line: CustodyLine) -> HoleKind | None:
    if _twice(before, line):
        return None  # two hold it at once: a clash, not a hole
    if line.kind is CustodyKind.COLLECTED:
        found = before.kind is CustodyKind.BEFORE_CUSTODY
        if not found:
            return HoleKind.COLLECTED_AGAIN
        # Whoever found a thing need not be named again as the one it was collected from.
        if line.released_by and not same(line.released_by, before.received_by):
            return HoleKind.HOLDER
    elif not same(line.released_by, before.received_by):
        return HoleKind.HOLDER
    if before.to_place and line.from_place and not same(before.to_place, line.from_place):
        return HoleKind.PLACE
    return None


def _unsealed(line: CustodyLine) -> bool:
    return bool(
        line.released_at and line.received_at and line.received_at > line.released_at and not sealed(line.seal_before)
    )


def _clashes(lines: Sequence[CustodyLine]) -> Iterator[Clash]:
    for before, line in _pairs(lines):
        if before is None:
            continue
        left = leaves(line)
        if _twice(before, line):
            yield Clash(ClashKind.RELEASED_TWICE, line, before)
        elif before.received_at and left and left < before.received_at:
            yield Clash(ClashKind.LEFT_EARLY, line, before)


def _seals(lines: Sequence[CustodyLine]) -> Iterator[SealBreak]:
    for before, line in _pairs(lines):
        if before is None or line.kind is CustodyKind.BEFORE_CUSTODY:
            continue
        put_on, found = sealed(before.seal_after), sealed(line.seal_before)
        if put_on != found:
            yield SealBreak(line, before, put_on, found)


# --- the stretches


def _stretches(item: str, lines: Sequence[CustodyLine], event: Moment | None) -> Iterator[Stretch]:
    """Lines in the order of the log; a time that runs back is a clash, and moves nothing here."""
    cursor = event
    holder = place = seal = ""
    since: CustodyLine | None = None
    open_lines: list[str] = []
    untimed = False
    last: CustodyLine | None = None
    for before, line in _pairs(lines):
        left, came = leaves(line), arrives(line)
        last = line
        if left is None or came is None:
            # It passed on at a time nobody wrote down: whoever had it next, the stretch it falls in cannot say.
            untimed = untimed or before is not None
            open_lines.append(line.id)
            holder, place, seal = line.received_by or holder, line.to_place or place, sealed(line.seal_after)
            continue
        if cursor is not None and cursor < left:
            yield _until(item, cursor, left, holder, place, seal, since, before, line, untimed, tuple(open_lines))
        cursor = left if cursor is None or left > cursor else cursor
        if cursor < came:
            yield _passing(item, cursor, came, line)
            cursor = came
        holder, place, seal, since = line.received_by, line.to_place, sealed(line.seal_after), line
        open_lines, untimed = [line.id], False
    if last is not None and cursor is not None:
        keeping = Keeping.GAP if untimed else Keeping.STORED if holder == STORE else Keeping.HELD
        why = "at what time it passed on is not on record" if untimed else ""
        yield Stretch(item, keeping, cursor, None, holder, place, seal, tuple(open_lines), why)


def _until(
    item: str, start: Moment, end: Moment, holder: str, place: str, seal: str,
    since: CustodyLine | None, before: CustodyLine | None, line: CustodyLine, untimed: bool, lines: tuple[str, ...],
) -> Stretch:  # fmt: skip
    """From where the log last had it to where this line takes it up."""
    refs = (*dict.fromkeys((*lines, line.id)),)
    if before is None or since is None:
        told = line.kind is CustodyKind.BEFORE_CUSTODY and accounted(line) and line.released_at is None
        keeping = Keeping.BEFORE_CUSTODY if told else Keeping.BEFORE_LOG
        return Stretch(item, keeping, start, end, "", line.from_place, "", refs, _told(line) if told else "")
    why = ""
    if untimed:
        why = "at what time it passed on is not on record"
    elif line.kind is CustodyKind.BEFORE_CUSTODY:
        if accounted(line) and line.released_at is None:
            return Stretch(item, Keeping.BEFORE_CUSTODY, start, end, holder, line.from_place, "", refs, _told(line))
        if not accounted(line):
            why = "the time before it was found is not accounted for"
    else:
        kind = _between(before, line)
        why = "" if kind is None else str(kind)
    if why:
        return Stretch(item, Keeping.GAP, start, end, holder, place, seal, refs, why)
    keeping = Keeping.STORED if holder == STORE else Keeping.HELD
    return Stretch(item, keeping, start, end, holder, place, seal, refs)


def _told(line: CustodyLine) -> str:
    return line.note or line.purpose


def _passing(item: str, start: Moment, end: Moment, line: CustodyLine) -> Stretch:
    """Between the two ends of one line."""
    if line.kind is CustodyKind.BEFORE_CUSTODY:
        if accounted(line):
            return Stretch(
                item, Keeping.BEFORE_CUSTODY, start, end, line.released_by, line.from_place, "", (line.id,), _told(line)
            )
        why = "the time before it was found is not accounted for"
        return Stretch(item, Keeping.GAP, start, end, line.released_by, line.from_place, "", (line.id,), why)
    seal = sealed(line.seal_before)
    keeping = Keeping.ON_THE_WAY if seal else Keeping.GAP
    why = "" if seal else str(HoleKind.UNSEALED)
    return Stretch(item, keeping, start, end, line.released_by, line.from_place, seal, (line.id,), why)
