"""Approvals: what a person signed, byte for byte."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter, ValidationError

from asfound.model.event import CaseId

STATEMENT_FORMAT = 1
NAMESPACE = "approval@asfound"
"""Namespace of our SSH signatures: one made for anything else, a git commit say, is never an approval."""

ROLES = ("examiner", "reviewer")
SIGNER_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9._@+-]{0,63}$"
"""A signer's name, a principal of allowed_signers: what every system can carry in the name of a file."""

Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


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

    case: CaseId
    role: Literal["examiner", "reviewer"]
    signer: Annotated[str, Field(pattern=SIGNER_PATTERN)]
    on: dt.date
    case_digest: Digest
    limits_digest: Digest
    core_digest: Digest
    files: dict[str, Digest] = field(default_factory=dict)
    records: dict[str, Digest] = field(default_factory=dict)
    exceptions: tuple[LiftedRule, ...] = ()
    made_with: str = ""
    format: int = STATEMENT_FORMAT

    def text(self) -> str:
        """The bytes that are signed: JSON, sorted keys, one space, a final line end."""
        data = asdict(self)
        data["on"] = self.on.isoformat()
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def read_statement(text: str) -> ApprovalStatement:
    """Read a statement of any format there ever was. Raises ValueError for a text that is none.

    A text in any other form than the one that is signed is none: two readers must not find two meanings in it.
    """
    try:
        data: Any = json.loads(text)
        version = data["format"]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise ValueError("this is no statement of approval") from error
    if version != STATEMENT_FORMAT:
        raise ValueError(f"the statement has format {str(version)[:20]!r}; this program reads {STATEMENT_FORMAT}")
    try:
        statement = TypeAdapter(ApprovalStatement).validate_python(data)
    except ValidationError as error:
        first = error.errors()[0]
        where = str(first["loc"][0]) if first["loc"] else "the statement"
        raise ValueError(f'the statement is not whole: "{where[:40]}" is missing or is not what it must be') from error
    if statement.text() != text:
        raise ValueError("the statement is not written in the form in which statements are signed")
    return statement


class ApprovalFault(StrEnum):
    """What is wrong with an approval, apart from its age."""

    NONE = ""
    UNVERIFIED = "unverified"
    """The signature is missing, broken, made for something else, or of another statement."""
    SIGNER = "signer"
    """The signature may hold, but not by somebody who may sign in this role."""


@dataclass(frozen=True, slots=True)
class Approval:
    """An approval as found in `approvals/`, and what became of it.

    path       the statement's file below the case folder
    statement  None where it could not be read; in a dossier without `files` and `records`, which stand in its file
    sha256     digest of the statement's bytes
    key        fingerprint of the key that signed, empty where no signature could be read
    verified   whether the signature holds, by a signer allowed in that role
    current    whether it speaks of the case as it stands; never so where it is not verified
    why        what stands against it, a clause, empty where nothing does
    changed    ids of records that changed since
    fault      of which kind what stands against it is; empty for an approval that merely grew old
    files      files of the case that changed since
    superseded whether a later approval in the same role is verified
    signature_sha256  digest of the signature's bytes
    """

    path: str
    statement: ApprovalStatement | None
    sha256: str
    key: str
    verified: bool
    current: bool
    why: str = ""
    changed: tuple[str, ...] = ()
    fault: ApprovalFault = ApprovalFault.NONE
    files: tuple[str, ...] = ()
    superseded: bool = False
    signature_sha256: str = ""

    @property
    def role(self) -> str:
        """In which role; empty where the statement could not be read."""
        return self.statement.role if self.statement else ""

    @property
    def signer(self) -> str:
        """Who is said to have signed; empty where the statement could not be read."""
        return self.statement.signer if self.statement else ""


@dataclass(frozen=True, slots=True)
class Signing:
    """What the rules are told of signatures.

    kept        whether the repository says who may sign (`.asfound/allowed_signers`)
    approvals   those of the case, by path
    authorised  exception → role of the approval that authorises it
    refused     exception → why a signed authorisation of it no longer holds
    """

    kept: bool = False
    approvals: tuple[Approval, ...] = ()
    authorised: Mapping[str, str] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)


SIGNING_RULES = frozenset(
    (
        "approval-signer-unknown",
        "approval-unverified",
        "approval-void",
        "exception-unauthorised",
        "reviewer-not-provable",
        "reviewer-signed-own-work",
    )
)
"""Rules that speak of signatures. What they say is no part of what is signed: it would change with the signature."""
