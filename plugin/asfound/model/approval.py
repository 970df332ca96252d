"""Approvals: what a person signed, byte for byte."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict, dataclass, field
from typing import Any

STATEMENT_FORMAT = 1
NAMESPACE = "approval@asfound"
"""Namespace of our SSH signatures: one made for anything else, a git commit say, is never an approval."""

ROLES = ("examiner", "reviewer")


@dataclass(frozen=True, slots=True)
class LiftedRule:
    """An exception the signer authorises."""

    exception: str
    rule: str
    subject: str = ""


@dataclass(frozen=True, slots=True)
class ApprovalStatement:
    """What is signed: the case as it stood, in digests.

    case, role, signer   which case, in which role (`examiner`, `reviewer`), by which principal of allowed_signers
    on                   date of assessment the dossier was made for
    case_digest          canonical digest of the case, version 1
    limits_digest        digest of the limits and protocols in reach
    core_digest          digest of the dossier's core
    files                path → SHA-256 of its canonical bytes, every file of the case
    records              id → SHA-256 of the record as read, so that a later change can name the record
    exceptions           exceptions the signer authorises
    """

    case: str
    role: str
    signer: str
    on: dt.date
    case_digest: str
    limits_digest: str
    core_digest: str
    files: dict[str, str] = field(default_factory=dict)
    records: dict[str, str] = field(default_factory=dict)
    exceptions: tuple[LiftedRule, ...] = ()
    made_with: str = ""
    format: int = STATEMENT_FORMAT

    def text(self) -> str:
        """The bytes that are signed: JSON, sorted keys, one space, a final line end."""
        data = asdict(self)
        data["on"] = self.on.isoformat()
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def read_statement(text: str) -> ApprovalStatement:
    """Read a statement of any format there ever was. Raises ValueError for a text that is none."""
    try:
        data: dict[str, Any] = json.loads(text)
        version = data["format"]
    except (ValueError, KeyError, TypeError) as error:
        raise ValueError(f"this is not a statement of approval: {error}") from error
    if version != STATEMENT_FORMAT:
        raise ValueError(f"the statement has format {version!r}; this program reads {STATEMENT_FORMAT}")
    try:
        data["on"] = dt.date.fromisoformat(data["on"])
        data["exceptions"] = tuple(LiftedRule(**one) for one in data["exceptions"])
        return ApprovalStatement(**data)
    except (TypeError, ValueError, KeyError) as error:
        raise ValueError(f"the statement of approval is not whole: {error}") from error


@dataclass(frozen=True, slots=True)
class Approval:
    """An approval as found in `approvals/`, and what became of it.

    path       the statement's file below the case folder
    verified   whether the signature holds, by a signer allowed in that role
    current    whether it speaks of the case as it stands
    why        what stands against it, empty where nothing does
    changed    ids of records that changed since
    """

    path: str
    statement: ApprovalStatement | None
    sha256: str
    key: str
    verified: bool
    current: bool
    why: str = ""
    changed: tuple[str, ...] = ()
