"""Editions made by hand, for tests of what reads them."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from asfound.assess import assess_case
from asfound.model.dossier import Dossier, core_digest, dossier_json
from asfound.model.edition import REPORT, EditionRecord
from tests.rules.support import BASE, CASE, ON


@cache
def base_dossier() -> Dossier:
    made = assess_case(BASE, BASE / CASE, ON).dossier
    assert made is not None
    return made


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def edition(number: int, before: str = "", dossier: Dossier | None = None, **changes: Any) -> tuple[EditionRecord, str]:
    """An edition of the base case and the text of its dossier; `before` is the text of edition.json before it."""
    frozen = dossier or base_dossier()
    text = dossier_json(frozen)
    record = EditionRecord(
        case=frozen.core.case.id,
        number=number,
        kind=REPORT,
        issued_on=dt.date(2026, 3, 20 + number),
        previous=number - 1,
        previous_digest=sha256(before) if before else "",
        reason="" if number == 1 else "a reading was typed wrongly",
        changes=() if number == 1 else ("The title was changed.",),
        approvals=(),
        case_digest=frozen.core.digests.case,
        limits_digest=frozen.core.digests.limits,
        core_digest=core_digest(frozen.core),
        dossier=sha256(text),
    )
    return replace(record, **changes), text


def chain(length: int, **last: Any) -> dict[str, str]:
    """Files of a whole chain of editions, by path below the case folder; `last` changes the newest one's record."""
    files: dict[str, str] = {}
    before = ""
    for number in range(1, length + 1):
        record, text = edition(number, before, **(last if number == length else {}))
        before = record.text()
        files[f"editions/{number}/edition.json"] = before
        files[f"editions/{number}/dossier.json"] = text
    return files


def write(root: Path, files: dict[str, str]) -> None:
    """Put the files of editions below a case folder."""
    for name, text in files.items():
        place = root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(text.encode())
