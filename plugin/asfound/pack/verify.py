"""Checking a pack in numbered steps. Each says what it found; one that was not done says why, and counts for nothing.

Steps 1 to 5 are those of the verifier that every pack carries (`alone`), so that both say the same.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from asfound.pack import alone
from asfound.pack.alone import FAILED, Bag, Refused, Step


@dataclass(frozen=True)
class Verified:
    """What was found, step by step."""

    steps: tuple[Step, ...]
    info: alone.Info | None

    @property
    def failed(self) -> bool:
        """Whether a step failed."""
        return any(one.outcome == FAILED for one in self.steps)

    def text(self) -> str:
        """The steps for people."""
        return alone.told(self.steps)

    def json(self) -> str:
        """The steps for programs."""
        data = {
            "format": 1,
            "pack": self.info.name if self.info else None,
            "failed": self.failed,
            "steps": [
                {"number": one.number, "title": one.title, "outcome": one.outcome, "said": list(one.said)}
                for one in self.steps
            ],
            "closing": alone.closing(self.steps),
        }
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def verify(place: Path) -> Verified:
    """Check the pack at `place`, a file or a folder. Raises OSError where it cannot be opened."""
    if place.is_dir():
        try:
            return _verify(alone.FolderBag(str(place)))
        except Refused as error:
            return _refused(error)
    with place.open("rb") as file:
        try:
            return _verify(alone.ZipBag(file))
        except Refused as error:
            return _refused(error)


def _refused(error: Refused) -> Verified:
    found = alone.refused(error)
    return Verified((*found.steps, *alone.not_done(6, 8, "the layout is not that of a pack")), None)


def _verify(bag: Bag) -> Verified:
    found = alone.examine(bag)
    return Verified((*found.steps, *alone.not_done(6, 8, "it was not asked for")), found.info)
