"""What was seen, found set or handed over was not written anew once results were in.

Asked of the commits. Before the first reading such records are written and put right as they come; after it, a change
may have been made by the reading.

Fails: `seen: found` of an inspection row that became `nothing seen` after the readings; a setting as found, the time of
a hand-over or of a gate, the account of the event.
Passes: the same before any reading; a record whose note tells what it said before; one that the limits of the work, or
the reason of an edition, name.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.past import FieldChange, RecordChange
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._past import changes_after, owned_up, results, told_of, when
from asfound.rules._words import short

ENTRY = Entry(
    name="fact-changed-after-results",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What was seen, found set or handed over is not written anew once results are in.",
    reason="A fact that moved after the reading may have been moved by the reading.",
    source="ISO/IEC 17025:2017, 7.5.2",
    status="from memory",
    mend="Put it back, and write what is held now beside it as a note (was …, with the time and the role); or name the "
    "record, with the reason, under limits_of_work in conclusion.yml.",
    rows=("R62",),
)

_FACTS = {
    "A": ("item", "control", "value", "unit"),
    "C": ("items", "kind", "released_at", "received_at", "released_by", "received_by", "seal_before", "seal_after"),
    "E": ("taken_at", "as_found"),
    "G": ("gate", "items", "at", "by", "outcome"),
    "V": ("item", "check", "seen", "what"),
    "case.yml": ("event / account", "event / told_at", "harmed"),
}


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a field, as it stood when results came in and as it stands."""
    if not told_of(facts):
        return
    commits = results(facts)
    for ref in dict.fromkeys((*facts.past.by_ref, *facts.past.lying)):
        names = _FACTS.get(ref if ref == "case.yml" else ref[:1] if ref[1:2] == "-" else "", ())
        if not names or (ref != "case.yml" and facts.places.of(ref) is None):
            continue
        first: dict[str, tuple[RecordChange, FieldChange]] = {}
        last: dict[str, tuple[RecordChange, FieldChange]] = {}
        for change in changes_after(facts, ref, commits):
            for field in change.fields if change.kind == "changed" else ():
                # What was blank is filled in later, as an outcome is; that takes nothing from anybody.
                if field.name in names and (field.old or field.name in first):
                    first.setdefault(field.name, (change, field))
                    last[field.name] = (change, field)
        for name, (_, was) in first.items():
            change, now = last[name]
            if was.old == now.new or owned_up(facts, change) or _noted(facts, ref, str(was.old)):
                continue
            yield facts.problem(
                ENTRY,
                ref,
                *name.split(" / "),
                about="",
                found=f"{name} of {ref} was “{short(str(was.old), 40)}” when results came in, and was changed "
                f"{when(change.commit)}",
                needed="the fact as first written, beside the one that is held now, is needed",
            )


def _noted(facts: Facts, ref: str, old: str) -> bool:
    """Whether the record's own note tells what it said before."""
    case = facts.case
    record: object = case.gates.gates.get(ref) or case.evidence.get(ref)
    if record is None and case.scene is not None:
        record = case.scene.settings.get(ref)
    if record is None:
        record = {row.id: row for row in case.custody}.get(ref) or {row.id: row for row in case.inspection}.get(ref)
    said = " ".join(str(getattr(record, name, "") or "") for name in ("note", "why"))
    return old in said
