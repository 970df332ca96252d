"""The history a pack discloses: that of facts. Drafts of opinion are left out unless somebody asks for them.

What an examiner thought on the way, and dropped, is for counsel to disclose or not; what happened to a fact is not.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import asdict, replace
from typing import Any

from asfound.model.disclosed import facts_alone
from asfound.model.past import Past

HISTORY_FORMAT = 1


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
    if not with_drafts:
        told, dropped = facts_alone(told)
        if dropped:
            left.append(
                f"{_many(dropped, 'change')} of drafts of opinion (conclusion.yml, explanations.yml and the "
                "summary in case.yml), with the messages of the commits that made them."
            )
    named = {one.commit for one in told.changes}
    commits = tuple(one for one in told.commits if one.id in named)
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


def _plain(commit: dict[str, Any]) -> dict[str, Any]:
    at = commit["at"]
    return commit | {"at": at.isoformat() if isinstance(at, dt.datetime) else at}


def _many(count: int, what: str) -> str:
    return f"1 {what}" if count == 1 else f"{count} {what}s"
