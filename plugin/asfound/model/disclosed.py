"""The history of facts alone. What an examiner thought on the way, and dropped, is for counsel to disclose or not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from asfound.model.past import Commit, Past, RecordChange

OPINIONS = ("conclusion.yml", "explanations.yml")
"""Files whose earlier wordings are drafts of an opinion."""
SUMMARY = ("case.yml", "summary")
"""The one field of another file that sums the case up in the examiner's words."""
WITHHELD = "(message left out: the commit also touches a draft of opinion)"


def facts_alone(past: Past) -> tuple[Past, int]:
    """The past without drafts of opinion, and how many changes were left out, in whole or in part.

    Messages of commits that touch such a draft are withheld with it: they may say what it said.
    """
    opinions = frozenset(one.commit for one in past.changes if _opinion(one) or _sums_up(one))
    kept, dropped = _facts(past.changes)
    lying, unsaved = _facts(past.uncommitted)
    commits = tuple(_kept(one, opinions) for one in past.commits)
    return replace(past, commits=commits, changes=kept, uncommitted=lying), dropped + unsaved


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
