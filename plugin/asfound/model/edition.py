"""Editions: a frozen dossier, chained to the one before by digest."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

EDITION_FORMAT = 1
REPORT = "report"
PRESERVATION = "preservation"
FOLDER = "editions"
EDITION_FILE = "edition.json"
DOSSIER_FILE = "dossier.json"
EDITION_FILES = (DOSSIER_FILE, EDITION_FILE)

_NUMBER = re.compile(r"[1-9][0-9]{0,5}")
_DIGEST = re.compile(r"[0-9a-f]{64}")


def edition_number(name: str) -> int | None:
    """The number a folder below `editions/` is named after; None for a name that is none."""
    return int(name) if _NUMBER.fullmatch(name) else None


def edition_tag(case: str, number: int) -> str:
    """Name of the tag that is set once an edition has been merged."""
    return f"edition/{case}/{number}"


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

    @property
    def reviewed(self) -> bool:
        """Whether a reviewer approved it."""
        return any(one.role == "reviewer" for one in self.approvals)

    def text(self) -> str:
        """The file's text: JSON, sorted keys, one space, a final line end."""
        data = asdict(self)
        data["issued_on"] = self.issued_on.isoformat()
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def read_edition(text: str) -> EditionRecord:
    """Read an edition of any format there ever was. Raises ValueError for a text that is none.

    A text in any other form than the one editions are written in is none: two readers must not find two meanings in it.
    """
    try:
        data: dict[str, Any] = json.loads(text)
        version = data["format"]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise ValueError("this is no edition") from error
    if version != EDITION_FORMAT:
        raise ValueError(f"the edition has format {str(version)[:20]!r}; this program reads {EDITION_FORMAT}")
    try:
        data["issued_on"] = dt.date.fromisoformat(data["issued_on"])
        data["changes"] = tuple(data["changes"])
        data["approvals"] = tuple(ApprovalRef(**one) for one in data["approvals"])
        record = EditionRecord(**data)
        whole = _whole(record)
    except (TypeError, ValueError, KeyError, AttributeError) as error:
        raise ValueError("the edition is not whole") from error
    if not whole:
        raise ValueError("the edition is not whole")
    if record.text() != text:
        raise ValueError("the edition is not written in the form in which editions are issued")
    return record


def _whole(record: EditionRecord) -> bool:
    texts = [record.case, record.reason, record.made_with, *record.changes]
    texts += [text for one in record.approvals for text in (one.path, one.sha256, one.signer, one.role)]
    digests = [record.case_digest, record.limits_digest, record.core_digest, record.dossier]
    digests += [record.previous_digest] if record.previous else []
    return (
        all(isinstance(text, str) for text in texts)
        and all(_DIGEST.fullmatch(digest) for digest in digests)
        and type(record.number) is int
        and type(record.previous) is int
        and record.kind in (REPORT, PRESERVATION)
    )


@dataclass(frozen=True, slots=True)
class EditionTag:
    """A tag that speaks of an edition.

    ref     what it is called here, below `refs/tags/`
    named   what the tag itself says it is called; the same as `ref` for a tag without a text of its own
    commit  the commit it leads to, empty where it leads to none
    holds   whether that commit holds exactly this edition
    """

    ref: str
    named: str
    commit: str
    holds: bool


@dataclass(frozen=True, slots=True)
class EditionFact:
    """An edition as it lies in the case, and what was found of it.

    record     None where edition.json could not be read; `why` then says why
    digest     SHA-256 of edition.json as it lies there, empty where there is none
    altered    what stands against its being the one that was issued, one clause each
    merged     whether the main branch holds it; None where that cannot be known
    tags       tags that bear its name, or say of themselves that they do
    """

    number: int
    record: EditionRecord | None
    digest: str = ""
    why: str = ""
    altered: tuple[str, ...] = ()
    merged: bool | None = None
    tags: tuple[EditionTag, ...] = ()


@dataclass(frozen=True, slots=True)
class Editions:
    """The editions of a case, by number.

    strange     names in `editions/`, or in the folder of an edition, that belong to none
    tags_known  whether git could be asked for tags
    lost        tags whose edition is not there: number → name of the tag
    otherwise   what the rules, limits and arithmetic of today say otherwise of the newest edition, a sentence each
    """

    found: tuple[EditionFact, ...] = ()
    strange: tuple[str, ...] = ()
    tags_known: bool = False
    lost: Mapping[int, str] = field(default_factory=dict)
    otherwise: tuple[str, ...] = ()

    @property
    def newest(self) -> EditionFact | None:
        """The edition with the highest number."""
        return self.found[-1] if self.found else None


EDITION_RULES = frozenset(
    (
        "amendment-without-reason",
        "edition-altered",
        "edition-chain-broken",
        "edition-missing-number",
        "edition-rules-differ",
        "edition-tag-missing",
        "edition-tag-moved",
    )
)
"""Rules that speak of editions. What they say is no part of what is approved or issued: it comes after."""
