"""Photographs of a case: of which things, from how far, and when by their own metadata and clock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import Evidence, EvidenceKind

PICTURES = frozenset({EvidenceKind.PHOTOGRAPH, EvidenceKind.VIDEO})


def photographs(facts: Facts, item: str | None = None) -> Iterator[tuple[str, Evidence]]:
    """Photographs, or those that show an item; pictures made from others count as what they show."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.kind is EvidenceKind.PHOTOGRAPH and (item is None or item in evidence.items):
            yield ref, evidence


def unread(facts: Facts) -> bool:
    """Whether an entry of evidence could not be read; what asks for pictures is then not asked."""
    return "evidence.yml" in facts.case.broken or facts.case.some_unread("E")


def written_time(facts: Facts, evidence: Evidence) -> dt.datetime | None:
    """The time the camera wrote into the file, by its own clock.

    Where it wrote no offset from UTC, that of `taken_at` is taken; None where there is neither.
    """
    fact = facts.case.files.get(evidence.file or "")
    camera = fact.camera if fact is not None else None
    if camera is None or not camera.taken:
        return None
    bare = dt.datetime.fromisoformat(camera.taken)
    if camera.offset:
        hours, minutes = int(camera.offset[1:3]), int(camera.offset[4:6])
        if hours > 23 or minutes > 59:
            return None
        shift = dt.timedelta(hours=hours, minutes=minutes)
        return bare.replace(tzinfo=dt.timezone(-shift if camera.offset[0] == "-" else shift))
    return bare.replace(tzinfo=evidence.taken_at.at.tzinfo) if evidence.taken_at is not None else None


def clock_error(facts: Facts, ref: str) -> tuple[dt.timedelta, dt.timedelta]:
    """How far the clock of a picture was ahead when it was taken, and the doubt of that.

    Nothing and nothing where it was not compared: a rule on it speaks apart.
    """
    shot = facts.placing.shot.get(ref)
    if shot is None:
        return dt.timedelta(), dt.timedelta()
    return dt.timedelta(seconds=shot.offset), dt.timedelta(seconds=shot.doubt)
