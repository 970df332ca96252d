"""Which of the records that differ the conclusion rests on, and by which way."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.compare.difference import Area, Difference
from asfound.model.dossier import Core
from asfound.model.ids import sort_key
from asfound.model.rests import rests_on

CONCLUSION = "conclusion.yml"
_SHOWN = 12


def carried(old: Core, new: Core, found: tuple[Difference, ...]) -> tuple[str, ...]:
    """A sentence for each finding (or other first step) by which the conclusion rests on a reading that differs.

    A reading that is gone is looked for below the conclusion as it stood before. Readings come together: what a finding
    rests on is what a reader goes by.
    """
    moved = {one.ref for one in found if one.area in (Area.RECORD, Area.VERDICT) and one.ref.startswith("R-")}
    below: dict[str, list[str]] = {}
    for core in (new, old):
        ways = rests_on(core.case, CONCLUSION, core.results)
        for ref in sorted(moved & ways.keys(), key=sort_key):
            moved.discard(ref)
            below.setdefault(_first(ways, ref), []).append(ref)
    return tuple(_said(below))


def _first(ways: dict[str, str], ref: str) -> str:
    while (above := ways[ref]) != CONCLUSION and not ref.startswith("F-"):
        ref = above
    return ref


def _said(below: dict[str, list[str]]) -> Iterator[str]:
    for by, refs in sorted(below.items(), key=lambda one: sort_key(one[0])):
        more = f" and {len(refs) - _SHOWN} more" if len(refs) > _SHOWN else ""
        way = "" if refs == [by] else f", by way of {by}"
        yield f"The conclusion rests on {', '.join(refs[:_SHOWN])}{more}{way}."
