"""The code scanned from a label can be read, and its check digit is right.

Codes that are not of GS1 are kept as scanned and not checked; so is every code where the library that reads them
(the extra `udi`) is not installed. Both are said in a note.

Fails: `udi: (01)07032069804989`, whose last digit should be 8.
Passes: `udi: (01)07032069804988(21)118`; `udi: {not_recorded: the label carries no such code}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short
from asfound.rules.custody._udi import NoReaderError, UnreadableError, other_kind, read_udi

ENTRY = Entry(
    name="udi-unreadable",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The code scanned from a label can be read, and its check digit is right.",
    reason="A code with a wrong digit names another thing, or none.",
    source="GS1 General Specifications, application identifiers and check digit (from memory)",
    status="from memory",
    mend="Scan the label again and paste what the scanner gives, or copy the line printed under the code, brackets "
    "included.",
    rows=("R17",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item; one note for all that could not be checked for want of the library."""
    unchecked: list[str] = []
    for ref, item in facts.case.items.items():
        if not isinstance(item.udi, str):
            continue
        kind = other_kind(item.udi)
        if kind:
            yield facts.problem(
                ENTRY,
                ref,
                "udi",
                found=f"the code of {ref} is {kind} and was not checked",
                needed="nothing more is needed; compare it with the label by eye",
                level=Level.NOTE,
            )
            continue
        try:
            read_udi(item.udi)
        except NoReaderError:
            unchecked.append(ref)
        except UnreadableError as error:
            yield facts.problem(
                ENTRY,
                ref,
                "udi",
                found=f"the code of {ref} cannot be read: {short(str(error), 120)}",
                needed="the element string as scanned is needed",
            )
    if unchecked:
        yield facts.problem(
            ENTRY,
            unchecked[0],
            "udi",
            found=f"the code of {ids(unchecked)} was not checked, because the library that reads it is not installed",
            needed="the extra udi of this program is needed to check it",
            mend='Install it with pip install "asfound[udi]" and check again.',
            level=Level.NOTE,
        )
