"""An edition as it was read back, and what today's rules say of it."""

from __future__ import annotations

from msgspec import Struct

from asfound.compare.difference import Difference
from asfound.model.dossier import Dossier
from asfound.model.edition import EditionRecord


class Issued(Struct, frozen=True):
    """An edition, ready to be shown: its dossier is the frozen one and is never computed again.

    digest     SHA-256 of edition.json
    otherwise  what the rules, limits and arithmetic of today say otherwise of the same records; told apart
    """

    record: EditionRecord
    dossier: Dossier
    digest: str
    otherwise: tuple[Difference, ...] = ()
