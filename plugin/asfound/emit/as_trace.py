"""The trace of a record: every commit that touched it or what it rests on."""

from __future__ import annotations

import json
from collections.abc import Iterator

from asfound.model.ids import KINDS, kind_of, sort_key
from asfound.model.past import RecordChange, field_words
from asfound.model.plain import plain
from asfound.model.trace import Trace

FORMAT = 1
NEAREST = 12


def trace_text(found: Trace) -> str:
    """The trace as lines for people, with a final line end. Nothing in it can act on a terminal."""
    return "".join(f"{plain(line)}\n" for line in _lines(found))


def _lines(found: Trace) -> Iterator[str]:
    yield f"{found.ref}: {_kind(found.ref)} of the case {found.case}"
    if found.rests:
        names = [name for name in found.rests if not name.startswith("evidence/")]
        more = f" and {len(names) - NEAREST} more" if len(names) > NEAREST else ""
        yield f"It rests on {', '.join(names[:NEAREST])}{more}."
    shipped, program = found.program
    if shipped:
        more = f" and {len(shipped) - NEAREST} more" if len(shipped) > NEAREST else ""
        yield (
            f"Of these {', '.join(shipped[:NEAREST])}{more} came with {program}: they change with the program and its "
            "versions, and no commit here tells of them."
        )
    if not found.steps:
        yield ""
        yield "No commit holds it, nor anything it rests on."
    for commit, changes in found.steps:
        yield ""
        edition = changes[0].edition
        entered = f"entered edition {edition}" if edition else "in no edition yet"
        at = commit.at.isoformat(" ", "minutes")
        yield f"Commit {commit.short}, commit time {at[:16]} {at[16:]}, {commit.role}, {entered}"
        for line in (commit.subject, *commit.body.splitlines()):
            if line.strip():
                yield f"  | {line}"
        yield from _changes(found, changes)
    if found.uncommitted:
        yield ""
        yield "Not committed yet"
        yield from _changes(found, found.uncommitted)
    if found.gaps:
        yield ""
        yield "What this history cannot show"
        for gap in found.gaps:
            yield f"  {gap}"


def _kind(ref: str) -> str:
    if ref[:2] in {f"{letter}-" for letter in KINDS}:
        return kind_of(ref)
    head, _, name = ref.partition("/")
    if not name or ref.rpartition(".")[2] in ("yml", "csv") or head in ("evidence", "readings"):
        return "file"
    return {"limits": "limit set", "protocols": "protocol"}.get(head, "limit")


def _changes(found: Trace, changes: tuple[RecordChange, ...]) -> Iterator[str]:
    """The record itself first; of what it rests on, additions in one line."""
    own = [change for change in changes if change.ref == found.ref]
    below = [change for change in changes if change.ref != found.ref]
    for change in (*own, *(one for one in below if one.kind != "added")):
        between = found.way(change.ref)[1:-1]
        way = f" (reached by way of {', '.join(between)})" if between else ""
        line = f":{change.line}" if change.line else ""
        yield f"  {change.ref} {change.kind}{way}, {change.file}{line}"
        for field in change.fields:
            yield f"    {field_words(field)}"
    added = sorted({change.ref for change in below if change.kind == "added"}, key=sort_key)
    if added:
        yield f"  Added below it: {', '.join(added)}"


def trace_json(found: Trace) -> str:
    """The trace for programs: values whole and as typed, keys sorted, ASCII alone, a final line end."""
    data = {
        "format": FORMAT,
        "case": found.case,
        "ref": found.ref,
        "known": found.known,
        "why": found.why,
        "program": {"made_with": found.program[1], "holds": list(found.program[0])},
        "rests_on": {ref: list(found.way(ref)) for ref in found.rests},
        "commits": [
            {
                "id": commit.id,
                "commit_time": commit.at.isoformat(),
                "author": commit.author,
                "role": commit.role,
                "subject": commit.subject,
                "body": commit.body,
                "changes": [_change(change) for change in changes],
            }
            for commit, changes in found.steps
        ],
        "uncommitted": [_change(change) for change in found.uncommitted],
        "gaps": list(found.gaps),
    }
    return json.dumps(data, ensure_ascii=True, indent=1, sort_keys=True).replace("\x7f", "\\u007f") + "\n"


def _change(change: RecordChange) -> dict[str, object]:
    return {
        "ref": change.ref,
        "kind": change.kind,
        "file": change.file,
        "line": change.line,
        "edition": change.edition,
        "fields": [{"name": one.name, "old": one.old, "new": one.new} for one in change.fields],
    }
