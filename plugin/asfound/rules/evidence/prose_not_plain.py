"""Texts are plain Markdown: paragraphs, lists, stress, links and citations.

Fails: `<b>burnt</b>`; an image; a heading; a link to a file.
Passes: "The plug [E-4] is **dry**."
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.walk import SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="prose-not-plain",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Texts are plain Markdown: paragraphs, lists, stress, links and citations.",
    reason="What a page shows must be what the file says, on paper, on screen and in the archive alike.",
    source="CommonMark 0.31.2, of which this is a part; the choice is ours",
    status="ours",
    mend="Say it in paragraphs and lists; register pictures in evidence.yml and cite them.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for each thing the language does not have."""
    for spot in walk_case(facts.case):
        if spot.kind is not SpotKind.PROSE:
            continue
        for fault in dict.fromkeys(read_prose(spot.value).faults):
            where = f" (line {fault.line + 1} of the text)" if fault.line else ""
            yield facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                about="",
                found=f"{fault.found}{where}",
                needed=fault.needed,
                mend=fault.mend,
            )
