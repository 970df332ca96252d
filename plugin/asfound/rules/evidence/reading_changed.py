"""A reading that was changed or taken out says so beside itself, with the reason.

Asked of the commits, and of the files as they lie there against the last of them. A value counts as kept where the row
names it, in its note or in the reason for which it is void, as the form at the bench writes it; or where the edition
that first held the change was issued with a reason that names the reading. What was never a reading (an empty cell, a
text no number can be read from) can be changed freely, and a reading put back as it was first written needs no word.

Fails: `88.1` in one commit, `118.1` in the next; a row that a later commit does not hold.
Passes: the same with `struck 88.1, 2026-03-16 10:02 -05:00, examiner: read off wrong` in the note; a row that is void,
whose value stands; a row that went to another sheet in the same commit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.number import Fault, ValueKind, read_value
from asfound.model.past import Past, RecordChange
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named

ENTRY = Entry(
    name="reading-changed",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A reading that was changed or taken out says so beside itself, with the reason.",
    reason="A number that became another without a word can have become what somebody wanted.",
    source="ISO/IEC 17025:2017, 7.5.2",
    status="from memory",
    mend="Put the value back and strike its row (void, with the reason), and write what holds as a row of its own; or "
    "name the value in the row's note: struck 88.1, the time, the role: the reason.",
    rows=("R62",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a reading that was changed; one for all that one commit took from a sheet."""
    past = facts.past
    if not past.known or facts.case.head.entered_later is not None:
        return
    every = {**facts.case.reading, **facts.case.waiting}
    brought = _brought(past, every)
    gone: dict[tuple[str, str], list[str]] = {}
    for ref, changes in _changes(past).items():
        row, last = every.get(ref), changes[-1]
        if row is not None:
            yield from _changed(facts, row, changes)
        elif last.kind == "removed" and (value := _before(last)) and (last.commit, value) not in brought:
            gone.setdefault((last.file, last.commit), []).append(ref)
    for (file, commit), refs in gone.items():
        one = len(refs) == 1
        yield facts.problem(
            ENTRY,
            "sheets.yml" if not _stands(facts, file) else file.removeprefix(f"{facts.case.folder}/"),
            found=f"{named(refs)} {'was' if one else 'were'} taken out of {file.rpartition('/')[2]} {_when(commit)}",
            needed=f"the {'row' if one else 'rows'} as first written, void with the reason, "
            f"{'is' if one else 'are'} needed",
            mend="Put back what was taken out, with the reason under void; the commit before holds it.",
        )


def _changes(past: Past) -> dict[str, list[RecordChange]]:
    """What happened to each reading, oldest first, the files as they lie there last."""
    found = {ref: list(changes) for ref, changes in past.by_ref.items() if ref.startswith("R-")}
    for change in past.uncommitted:
        if change.ref.startswith("R-"):
            found.setdefault(change.ref, []).append(change)
    return found


def _before(change: RecordChange, now: str = "") -> str:
    """The reading a change found in its place, with its unit where that is another now than it was.

    Empty where there was no reading, or where the change left it alone. `now` is the value that stands today, for a
    change that touched the unit alone.
    """
    value = of = ""
    for one in change.fields:
        name, _, unit = one.name.partition(" [")
        if one.old and name == "value":
            value = one.old
            # A header that changed its unit changed every value below it.
            of = unit.rstrip("]") if one.new is None and change.kind == "changed" else ""
        elif one.old and name == "unit" and change.kind == "changed":
            value, of = value or now, one.old
    read = read_value(value)
    if isinstance(read, Fault) or read.kind is ValueKind.BLANK:
        return ""
    return f"{value} {of}".strip()


def _changed(facts: Facts, row: Reading, changes: list[RecordChange]) -> Iterator[Problem]:
    text = row.value.text
    by_value = {value: change for change in changes if (value := _before(change, text))}
    stands = (text, f"{text} {row.unit}")
    # What was written first, and stands again, took nothing away for good.
    if not by_value or next(iter(by_value)) in stands:
        return
    said = f"{row.note} {row.void}"
    for value, change in by_value.items():
        if (
            value in stands
            or _told_by_edition(facts, change)
            or re.search(rf"(?<![\w.]){re.escape(value)}(?![\w]|\.\w)", said)
        ):
            continue
        yield facts.problem(
            ENTRY,
            row.id,
            "value",
            about=change.commit,
            found=f'{row.id} was "{value}" until it was changed {_when(change.commit)}, and its row does not say so',
            needed="the value as first written, with the reason why it gave way, is needed beside the one that holds",
        )


def _told_by_edition(facts: Facts, change: RecordChange) -> bool:
    """Whether the first edition that holds a change was issued with a reason that names the reading."""
    reasons = (one.record.reason for one in facts.editions.found if one.record and one.number == change.edition)
    return any(re.search(rf"(?<![\w-]){re.escape(change.ref)}(?![\w-])", reason) for reason in reasons)


def _brought(past: Past, every: dict[str, Reading]) -> frozenset[tuple[str, str]]:
    """Commit and value of each reading that stands today and came under its id in that commit.

    What a commit took from one id and brought under another went elsewhere: a sheet renamed, rows numbered anew.
    """
    return frozenset(
        (change.commit, every[change.ref].value.text)
        for change in (*past.changes, *past.uncommitted)
        if change.kind == "added" and change.ref in every
    )


def _stands(facts: Facts, file: str) -> bool:
    return any(table.path == file for table in facts.case.readings.values())


def _when(commit: str) -> str:
    return f"in commit {commit[:10]}" if commit else "since the last commit"
