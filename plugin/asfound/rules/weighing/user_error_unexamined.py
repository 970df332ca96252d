"""Where use is named, what led the user there was looked at: display, label, training, alarm and layout.

Fails: an explanation of the line *use* is named in the conclusion and `use_reviewed` is empty; or the conclusion says
*user error* without it.
Passes: `use_reviewed: {display: …, label: …, training: …, alarm: …, layout: …}`; "no use error was found". The words
looked for are the list *use-error*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Line
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems
from asfound.rules._words import listed
from asfound.rules.weighing._shared import concluded

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


def check(facts: Facts) -> Iterator[Problem]:
    """One problem at the first part of the conclusion that names an explanation by use, and one a text that says so."""
    made = facts.case.conclusion
    looked = {name.casefold() for name in made.use_reviewed} if made is not None else set()
    missing = [name for name in ASKED if not any(name in each for each in looked)]
    if not missing:
        return
    needed = f"what was looked at in {listed(missing)} is needed first"
    for part, _, named in concluded(facts) if made is not None else ():
        used = [ref for ref in named if facts.case.explanations[ref].line is Line.USE]
        if used:
            found = f"the {part} names {listed(used)}, an explanation by use"
            yield facts.problem(ENTRY, "conclusion.yml", part, about="", found=found, needed=needed)
            break
    yield from word_problems(facts, ENTRY, "use-error", needed)
