"""A record that stood in the case when its results came in was not taken out without a word.

Asked of the commits: gates, hand-overs, inspection rows, settings as found, statements, notices, evidence, findings and
explanations. One that was renumbered in the same commit went nowhere.

Fails: the explanation X-4 in one commit, the readings in the next, X-4 gone in a third; a gate that went.
Passes: the same before any reading; an explanation that another names in its `why`; one that the limits of the work or
the reason of an edition name.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.ids import KINDS, kind_of
from asfound.model.past import RecordChange
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._past import changes_after, owned_up, results, told_of, when
from asfound.rules._words import short

ENTRY = Entry(
    name="record-taken-out",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="No record that stood when results came in is taken out without a word.",
    reason="A line, a gate or an explanation that vanished looks like one that stood in the way.",
    source="ISO/IEC 17025:2017, 7.5.2 (both the original and the altered data are kept)",
    status="from memory",
    mend="Put it back (the commit before holds it), and say beside it why it counts no more; or name it, with the "
    "reason, under limits_of_work in conclusion.yml.",
    rows=("R62", "R75"),
)

_LETTERS = frozenset("ACEFGNVWX")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record, at its file."""
    if not told_of(facts):
        return
    commits = results(facts)
    reasons = [str(one.why or "") for one in facts.case.explanations.values()]
    for ref in dict.fromkeys((*facts.past.by_ref, *facts.past.lying)):
        if ref[:1] not in _LETTERS or ref[1:2] != "-" or facts.places.of(ref) is not None or ref in facts.case.broken:
            continue
        gone = [change for change in changes_after(facts, ref, commits) if change.kind == "removed"]
        if not gone or not _there(facts, ref, commits) or _renumbered(facts, gone[-1]):
            continue
        if owned_up(facts, gone[-1], *reasons):
            continue
        yield facts.problem(
            ENTRY,
            KINDS[ref[0]][1],
            found=f"{kind_of(ref)} {ref}{_said(gone[-1])} was taken out {when(gone[-1].commit)}, when results were in",
            needed="the record, or a word on why it went, is needed",
        )


def _there(facts: Facts, ref: str, commits: tuple[str, ...]) -> bool:
    """Whether a record stood before all results were in; a finding or an explanation, before an edition told of it.

    What is drafted after the readings is drafted more than once. Once it was issued, it is a draft no more.
    """
    if facts.past.lying.get(ref) and not facts.past.of(ref):
        return False
    first = next((change for change in facts.past.of(ref) if change.kind == "added"), None)
    if first is None:
        return True
    before = any(first.commit == one or facts.past.before(first.commit, one) for one in commits)
    return before or first.edition > 0 or ref[0] not in "FX"


def _renumbered(facts: Facts, gone: RecordChange) -> bool:
    """Whether the same commit brought the very same record under another id."""
    was = {(field.name, field.old) for field in gone.fields}
    return bool(was) and any(
        one.kind == "added" and one.commit == gone.commit and {(field.name, field.new) for field in one.fields} == was
        for one in (*facts.past.changes, *facts.past.uncommitted)
    )


def _said(gone: RecordChange) -> str:
    """What it said, short: the first of the fields that tell a reader what it was."""
    told = {field.name: field.old for field in gone.fields if field.old}
    words = next((told[name] for name in ("explanation", "text", "gate", "what", "kind", "shows") if name in told), "")
    return f" ({short(words, 50)})" if words else ""
