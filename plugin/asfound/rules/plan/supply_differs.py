"""What was read on another supply than that of the event says so where it is taken as evidence.

The supply of the event is what room.yml tells of the supply and sockets that served the item: isolated or grounded, and
its voltage. It is held against the supply of each sheet, where both are on record.

Fails: an isolated room, a touch current of a grounded workshop, and a finding on it listed against an explanation that
does not say which supply it was.
Passes: the same finding with "on the grounded supply of the workshop"; readings in the room itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.work import Supply
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._words import was
from asfound.rules._work import answered, works

ENTRY = Entry(
    name="supply-differs",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Evidence from another supply than that of the event says which supply it was.",
    reason="On an isolated supply a touch does something else than on a grounded bench; a pass there says little here.",
    source="NFPA 921-2014, 4.3.6 (tests under conditions like those of the event)",
    status="secondary",
    mend="Read it on the supply of the event, or say in the finding on which supply it was read.",
    rows=("R64",),
)

_SUPPLY = re.compile(r"supply|socket|outlet|receptacle", re.IGNORECASE)
_ISOLATED = re.compile(r"\bisolat", re.IGNORECASE)
_NOT_ISOLATED = re.compile(r"\b(?:no|not|without)\b[^.,;]*\bisolat", re.IGNORECASE)
_GROUNDED = re.compile(r"\b(?:grounded|earthed)\b", re.IGNORECASE)
_VOLTS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)[ \u00a0]?V\b")
_SAYS = re.compile(r"\b(?:supply|workshop|isolated|grounded|earthed)\b", re.IGNORECASE)
_SHARE = 0.2
"""By how much two voltages may differ and still be one supply (ours)."""


class _Fed(Struct, frozen=True):
    """isolated: None where nothing is said. volts: the nominal voltage, None where nothing is said."""

    isolated: bool | None
    volts: float | None

    def differs(self, other: _Fed) -> str:
        """How another supply differs, as a clause; empty where it does not, or is not on record."""
        if None not in (self.isolated, other.isolated) and self.isolated is not other.isolated:
            return "grounded" if self.isolated else "isolated"
        if self.volts and other.volts and abs(other.volts - self.volts) > _SHARE * self.volts:
            return f"one of {other.volts:g} V"
        return ""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a finding that is taken as evidence."""
    other: dict[str, str] = {}
    for work in works(facts):
        if work.sheet.supply is None or work.test is None or not work.test.energised:
            continue
        how = _of_event(facts, (work.sheet.item, *work.sheet.accessories)).differs(_of_sheet(work.sheet.supply))
        if how:
            other.update((row.id, how) for row in answered(work.rows))
    for ref in _evidence(facts) if other else ():
        finding = facts.case.findings[ref]
        cited = [one for one in finding.rests_on if one in other]
        if cited and not _SAYS.search(read_prose(finding.text).plain):
            yield facts.problem(
                ENTRY,
                ref,
                "text",
                found=f"{ref} is evidence and does not say that {named(cited)} {was(cited)} read "
                f"on another supply than that of the event ({other[cited[0]]})",
                needed="the supply of the event, or a word on which supply it was, is needed",
            )


def _of_event(facts: Facts, items: tuple[str, ...]) -> _Fed:
    points = [point for point in facts.case.room.values() if _SUPPLY.search(point.kind)]
    # A room whose points name none of these items still had one supply.
    own = [point for point in points if not point.items or set(point.items) & set(items)] or points
    words = [f"{point.what} {told(point.value)}" for point in own if point.value is not None]
    return _read(" ".join(words))


def _of_sheet(supply: Supply) -> _Fed:
    fed = _read(supply.kind)
    stated = supply.nominal or supply.voltage
    return _Fed(fed.isolated, float(stated.value) if stated is not None and stated.unit == "V" else None)


def _read(words: str) -> _Fed:
    isolated = bool(_ISOLATED.search(words)) and not _NOT_ISOLATED.search(words)
    grounded = _GROUNDED.search(words) is not None
    volts = _VOLTS.search(words)
    return _Fed(isolated if isolated is not grounded else None, float(volts[1]) if volts else None)


def _evidence(facts: Facts) -> tuple[str, ...]:
    """Findings listed for or against an explanation, or on which the conclusion rests."""
    case, refs = facts.case, list[str]()
    for one in case.explanations.values():
        refs += (*one.supports, *one.contradicts)
        for need in one.needs:
            refs += (*need.shown_by, *need.shown_false_by)
    if case.conclusion is not None:
        refs += (*case.conclusion.mechanism.rests_on, *case.conclusion.reason.rests_on)
    return tuple(dict.fromkeys(ref for ref in refs if ref in case.findings))
