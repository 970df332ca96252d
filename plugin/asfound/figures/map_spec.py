"""What touched what, as plain data: things, points of the room, people or places in words, and ties between them."""

from __future__ import annotations

import re
from enum import StrEnum

from msgspec import Struct

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")


class Part(StrEnum):
    """What a thing is on the map, in the order in which one is taken for the middle of what hangs together."""

    DEVICE = "device in question"
    OTHER = "other device"
    ATTACHED = "attached thing"
    ROOM = "part of the room"
    TOUCHED = "person or place, as written"


class Kept(StrEnum):
    """Whether a thing was impounded; each has an edge of its own and a word, so that no colour is needed."""

    IMPOUNDED = "impounded"
    LEFT = "not impounded"
    NEITHER = ""


class Node(Struct, frozen=True):
    """A box: ``ref`` the record it leads to (empty: none), ``name`` its words, ``why`` what else is to be said."""

    ref: str
    name: str
    part: Part
    kept: Kept = Kept.NEITHER
    why: str = ""


class Tie(Struct, frozen=True):
    """A connection between two boxes, by their places in the list; ``words`` say by which port, socket or site.

    ``noted`` says that the record has a note on it, such as that nobody saw it; its line is broken.
    """

    ref: str
    start: int
    end: int
    words: str = ""
    noted: bool = False


class SceneMap(Struct, frozen=True):
    """The whole map. ``result`` is one sentence and comes first in the caption.

    Raises ``ValueError`` for an id that is none, and for a tie to a box that does not exist.
    """

    id: str
    title: str
    result: str
    nodes: tuple[Node, ...]
    ties: tuple[Tie, ...]
    note: str = ""

    def __post_init__(self) -> None:
        if not _ID.match(self.id):
            raise ValueError(f"map id {self.id!r}: a letter, then letters, digits, hyphens or underscores")
        for tie in self.ties:
            if not (0 <= tie.start < len(self.nodes) and 0 <= tie.end < len(self.nodes)) or tie.start == tie.end:
                raise ValueError(f"map {self.id}, tie {tie.ref}: it must lead from one box of the list to another")
