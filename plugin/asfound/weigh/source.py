"""What a piece of evidence is taken apart into: the readings of one planned test, or one thing observed."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct


class Kind(Enum):
    """What a source is."""

    TEST = "test"
    SEEN = "seen"
    PICTURED = "pictured"
    RECORDED = "recorded"
    TOLD = "told"
    MODELLED = "modelled"


class Source(Struct, frozen=True):
    """Part of what a finding rests on: the readings of one planned test, or one thing observed.

    test   name of the planned test; empty for an observation
    refs   the records cited; of a model first the calculation, then all that went into it
    items  the items it is of
    """

    kind: Kind
    test: str
    refs: tuple[str, ...]
    items: tuple[str, ...] = ()

    @property
    def measured(self) -> bool:
        """Whether readings are among it: a picture taken at a test is none."""
        return self.kind is Kind.TEST and any(ref[:1] != "E" for ref in self.refs)
