"""A report whose last days run is sent with what is reasonably known; the cause is not waited for.

Fails: two work days before the end, nothing sent.
Passes: sent; more days left than the duty begins to remind at.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.duties._lines import due_words, owed, place

ENTRY = Entry(
    name="duty-report-near",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A report is sent with what is reasonably known before its time ends; the cause is not waited for.",
    reason="A facility need not find out what it does not know, and no clock stops for an examination.",
    source="21 CFR 803.30(a) and (b); how many days before is ours",
    status="confirmed",
    mend="Send it with what is reasonably known, and record when and to whom. This is a reminder, not legal advice.",
    rows=("ST9",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a duty."""
    made = facts.case.conclusion
    cause_open = made is None or made.mechanism.level is ConfidenceLevel.UNDETERMINED or facts.case.open
    for line in owed(facts):
        if not line.near or not line.unsent or line.late or line.due is None:
            continue
        count = "today is the last day" if line.left == 0 else f"{line.left} {_unit(line.counting, line.left)} left"
        because = "; that the cause is open is no reason to wait" if cause_open else ""
        whom = " and the ".join(str(one.to) for one in line.unsent)
        yield facts.problem(
            ENTRY, *place(line),
            found=f'"{line.kind}" is due by {due_words(line)}, {count}, and nothing was sent to the {whom}',
            needed=f"what is reasonably known is to be sent{because}",
        )  # fmt: skip


def _unit(counting: str, left: int | None) -> str:
    unit = "work day" if counting == "work days" else "day"
    return f"{unit} is" if left == 1 else f"{unit}s are"
