"""Editions: a frozen dossier, chained to the one before by digest."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict, dataclass
from typing import Any

EDITION_FORMAT = 1
REPORT = "report"
PRESERVATION = "preservation"


@dataclass(frozen=True, slots=True)
class ApprovalRef:
    """An approval an edition rests on."""

    path: str
    sha256: str
    signer: str
    role: str


@dataclass(frozen=True, slots=True)
class EditionRecord:
    """edition.json. Its digest is that of its bytes.

    kind       `report`, or `preservation`: scene, items, custody, hold, no opinion
    previous   number and digest of the edition before; 0 and empty for the first
    reason     why this edition was made; needed from the second on
    changes    what changed since the one before, in words
    dossier    SHA-256 of dossier.json
    """

    case: str
    number: int
    kind: str
    issued_on: dt.date
    previous: int
    previous_digest: str
    reason: str
    changes: tuple[str, ...]
    approvals: tuple[ApprovalRef, ...]
    case_digest: str
    limits_digest: str
    core_digest: str
    dossier: str
    made_with: str = ""
    format: int = EDITION_FORMAT

    def text(self) -> str:
        """The file's text: JSON, sorted keys, one space, a final line end."""
        data = asdict(self)
        data["issued_on"] = self.issued_on.isoformat()
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def read_edition(text: str) -> EditionRecord:
    """Read an edition of any format there ever was. Raises ValueError for a text that is none."""
    try:
        data: dict[str, Any] = json.loads(text)
        version = data["format"]
    except (ValueError, KeyError, TypeError) as error:
        raise ValueError(f"this is not an edition: {error}") from error
    if version != EDITION_FORMAT:
        raise ValueError(f"the edition has format {version!r}; this program reads {EDITION_FORMAT}")
    try:
        data["issued_on"] = dt.date.fromisoformat(data["issued_on"])
        data["changes"] = tuple(data["changes"])
        data["approvals"] = tuple(ApprovalRef(**one) for one in data["approvals"])
        return EditionRecord(**data)
    except (TypeError, ValueError, KeyError) as error:
        raise ValueError(f"the edition is not whole: {error}") from error
