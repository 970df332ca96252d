"""The order of work as plain data: what was done when, to which thing, and how far each thing was cleared by then."""

from __future__ import annotations

import re
from enum import StrEnum

from msgspec import Struct

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")


class Deed(StrEnum):
    """What was done; each has a mark of its own."""

    GATE = "gate"
    READ = "readings of the thing"
    FITTED = "fitted during readings"
    LOOKED = "looked at"
    OPENED = "seal opened"
    ALTERED = "altering step"


class Cleared(StrEnum):
    """How far a thing was cleared; each has a line of its own."""

    NOT_YET = "not yet impounded"
    IMPOUNDED = "impounded"
    INSPECTED = "inspected"
    SAFE = "safe to connect"


class Act(Struct, frozen=True):
    """One line of the work.

    ``day`` and ``clock`` are its time as printed, ``items`` and ``fitted`` the columns it concerns, ``cleared`` what it
    makes of its items (none: nothing), ``allowed`` the gates that allowed it, in words, ``broken`` why it came out of
    order (empty: it did not).
    """

    ref: str
    day: str
    clock: str
    words: str
    deed: Deed
    items: tuple[int, ...] = ()
    fitted: tuple[int, ...] = ()
    cleared: Cleared | None = None
    allowed: str = ""
    broken: str = ""


class Order(Struct, frozen=True):
    """The whole order. ``columns`` are ids of things, ``start`` how far each was cleared when the first act began.

    Raises ``ValueError`` for an id that is none, and for an act on a column that does not exist.
    """

    id: str
    title: str
    result: str
    columns: tuple[str, ...]
    start: tuple[Cleared, ...]
    acts: tuple[Act, ...]
    note: str = ""

    def __post_init__(self) -> None:
        if not _ID.match(self.id):
            raise ValueError(f"order id {self.id!r}: a letter, then letters, digits, hyphens or underscores")
        if len(self.start) != len(self.columns):
            raise ValueError(f"order {self.id}: {len(self.columns)} columns need as many states to start from")
        for act in self.acts:
            if any(not 0 <= at < len(self.columns) for at in (*act.items, *act.fitted)):
                raise ValueError(f"order {self.id}, {act.ref}: it concerns a column that does not exist")
