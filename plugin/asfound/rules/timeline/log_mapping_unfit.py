"""What a log says of how it is read fits the file: its columns stand there once, and its events are entries of it.

Fails: `time: at` for a file whose first row calls it `time`; an `events` key that no entry bears (a warning).
Passes: columns named as the first row names them, and keys copied from the log.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import EvidenceKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, short

ENTRY = Entry(
    name="log-mapping-unfit",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What a log says of how it is read fits the file: columns that stand there once, events that are entries.",
    reason="A column taken for another makes another event of an entry; a key that no entry bears hides its purpose.",
    source="ISO/IEC 17025:2017, 7.11.2 and 7.11.6 (data control), for the idea",
    status="from memory",
    mend="Copy the names of columns and the keys of events out of the file, sign by sign.",
    rows=("R31",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a log and kind of fault."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.log is None:
            continue
        if evidence.kind is not EvidenceKind.LOG:
            yield facts.problem(
                ENTRY,
                ref,
                "log",
                about="kind",
                found=f"{ref} is of the kind {evidence.kind}",
                needed="the kind log is needed",
            )
        if evidence.file is None:
            yield facts.problem(
                ENTRY, ref, "log", about="file", found="the file of this log is not in the case",
                needed="a file of the case is needed where a mapping is given",
                mend="Take the mapping out; what the log holds is then for whoever keeps it to show.",
            )  # fmt: skip
        read = facts.case.logs.get(ref)
        if read is None:
            continue
        if read.absent:
            columns = listed([f"“{short(one)}”" for one in read.absent], 4)
            yield facts.problem(
                ENTRY, ref, "log", about="columns",
                found=f"no column of {evidence.file}, or more than one, is called {columns}",
                needed="names that stand once in the row of names are needed",
            )  # fmt: skip
            continue
        if evidence.log.events and evidence.log.code is None and evidence.log.text is None:
            yield facts.problem(
                ENTRY, ref, "log", "events", about="events",
                found="events are named, and no column of codes or words",
                needed="code or text is needed to find them by",
            )  # fmt: skip
        elif read.unseen:
            keys = listed([f"“{short(one)}”" for one in read.unseen], 4)
            yield facts.problem(
                ENTRY, ref, "log", "events", level=Level.WARN, about="events",
                found=f"none of the {read.entries} entries bears {keys}", needed="keys that the log bears are needed",
                mend="Copy them out of the log. What was looked for and is not there is a finding, not an event.",
            )  # fmt: skip
