"""The history a pack discloses: that of facts. Drafts of opinion are left out unless somebody asks for them.

What an examiner thought on the way, and dropped, is for counsel to disclose or not; what happened to a fact is not.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from dataclasses import asdict, replace
from typing import Any

from asfound.model.past import Commit, Past, RecordChange

HISTORY_FORMAT = 1
OPINIONS = ("conclusion.yml", "explanations.yml")
"""Files whose earlier wordings are drafts of an opinion."""
SUMMARY = ("case.yml", "summary")
"""The one field of another file that sums the case up in the examiner's words."""
WITHHELD = "(message left out: the commit also touches a draft of opinion)"


def history_json(past: Past, edition: int, with_drafts: bool) -> tuple[bytes, tuple[str, ...]]:
    """The history up to an edition (0: all of it) as JSON, and what was left out of it, a sentence each.

    Changes after the edition belong to whatever is issued next, and are left out whatever is asked for.
    """
    told = past
    left: list[str] = []
    if edition:
        told = replace(told, changes=tuple(one for one in told.changes if 0 < one.edition <= edition), uncommitted=())
        later = len(past.changes) - len(told.changes)
        if later or past.uncommitted:
            left.append(f"{_many(later + len(past.uncommitted), 'change')} made after edition {edition}.")
    opinions: frozenset[str] = frozenset()
    if not with_drafts:
        opinions = frozenset(one.commit for one in told.changes if _opinion(one) or _sums_up(one))
        kept, dropped = _facts(told.changes)
        lying, unsaved = _facts(told.uncommitted)
        told = replace(told, changes=kept, uncommitted=lying)
        if dropped or unsaved:
            left.append(
                f"{_many(dropped + unsaved, 'change')} of drafts of opinion (conclusion.yml, explanations.yml and the "
                "summary in case.yml), with the messages of the commits that made them."
            )
    named = {one.commit for one in told.changes}
    commits = tuple(_kept(one, opinions) for one in told.commits if one.id in named)
    data = {
        "format": HISTORY_FORMAT,
        "known": past.known,
        "why": past.why if not past.known else "",
        "left_out": left,
        "commits": [_plain(asdict(one)) for one in commits],
        "changes": [asdict(one) for one in told.changes],
        "uncommitted": [asdict(one) for one in told.uncommitted],
        "gaps": list(past.gaps),
    }
    return (json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode(), tuple(left)


def _opinion(change: RecordChange) -> bool:
    return change.file.rpartition("/")[2] in OPINIONS or change.ref in OPINIONS or change.ref.startswith("X-")


def _sums_up(change: RecordChange) -> bool:
    file, field = SUMMARY
    return change.file.rpartition("/")[2] == file and any(one.name.split(".")[0] == field for one in change.fields)


def _facts(changes: Iterable[RecordChange]) -> tuple[tuple[RecordChange, ...], int]:
    """The changes of facts, and how many were left out, in whole or in part."""
    kept, dropped = [], 0
    for one in changes:
        if _opinion(one):
            dropped += 1
            continue
        if _sums_up(one):
            dropped += 1
            one = replace(one, fields=tuple(field for field in one.fields if field.name.split(".")[0] != SUMMARY[1]))
            if not one.fields and one.kind == "changed":
                continue
        kept.append(one)
    return tuple(kept), dropped


def _kept(commit: Commit, opinions: frozenset[str]) -> Commit:
    return replace(commit, subject=WITHHELD, body="") if commit.id in opinions else commit


def _plain(commit: dict[str, Any]) -> dict[str, Any]:
    at = commit["at"]
    return commit | {"at": at.isoformat() if isinstance(at, dt.datetime) else at}


def _many(count: int, what: str) -> str:
    return f"1 {what}" if count == 1 else f"{count} {what}s"
