"""Where use is named, what led the user there was looked at: display, label, training, alarm and layout.

Fails: an explanation of the line *use* is named in the conclusion and `use_reviewed` is empty; or the conclusion says
*user error* without it.
Passes: `use_reviewed: {display: …, label: …, training: …, alarm: …, layout: …}`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.reasoning import Line
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.weighing._shared import concluded, opinions

ENTRY = Entry(
    name="user-error-unexamined",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Use is named only where display, label, training, alarm and layout were looked at.",
    reason="What a person did with a device is shaped by the device; the regulator counts it among its problems.",
    source="21 CFR 803.3 (user error is device-related); J Med Eng 2014, article 314138",
    status="confirmed",
    mend="Say under use_reviewed in conclusion.yml what was looked at in each, be it that nothing was found.",
    rows=("R83",),
)

ASKED = ("display", "label", "training", "alarm", "layout")
_SAID = re.compile(
    r"\b(?:user|operator|use|human|staff|nursing|handling)(?:'s|’s)?[ -](?:error|mistake|fault|failure)s?\b"
    r"|\bmisuse[ds]?\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:no|not|never|nor|without|neither|nothing)\b[^.;]*$", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem, at the first part of the conclusion that names use."""
    made = facts.case.conclusion
    if made is None:
        return
    looked = {name.casefold() for name in made.use_reviewed}
    missing = [name for name in ASKED if not any(name in each for each in looked)]
    if not missing:
        return
    for part, found in _named(facts):
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            part,
            found=f"the {part} {found}, and nothing is said of {listed(missing)}",
            needed="what was looked at in display, label, training, alarm and layout is needed",
        )
        return


def _named(facts: Facts) -> Iterator[tuple[str, str]]:
    for part, _, named in concluded(facts):
        used = [ref for ref in named if facts.case.explanations[ref].line is Line.USE]
        if used:
            yield part, f"names {listed(used)}, an explanation by use"
    for part, opinion in opinions(facts):
        text = read_prose(opinion.text).plain
        for said in _SAID.finditer(text):
            if not _DENIED.search(text[: said.start()]):
                yield part, f'speaks of "{said.group(0)}"'
