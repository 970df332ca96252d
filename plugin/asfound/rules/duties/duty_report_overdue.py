"""A report that is owed was sent by its due date.

Fails: a serious injury of which staff became aware on 2 March 2026, and nothing sent on 17 March.
Passes: sent on the due day itself; a decision not to report, with its reasons; an event class that asks for no report.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.duties._lines import day, days, due_words, owed, place

ENTRY = Entry(
    name="duty-report-overdue",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A report that is owed was sent by its due date.",
    reason="Reports are late when somebody waits for the cause; the duty asks only for what is reasonably known.",
    source="21 CFR 803.10(a) and 803.30; 29 CFR 1904.39(a)",
    status="confirmed",
    mend="Send it now with what is reasonably known, and record when and to whom. This is no legal advice.",
    rows=("R109",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a duty: the report that is furthest past its date speaks for it."""
    for line in owed(facts):
        if not line.late or line.due is None:
            continue
        unsent = [one for one in line.unsent if one.late]
        worst = max(unsent or line.sendings, key=lambda one: one.late)
        if unsent:
            said = f"nothing says that the report to the {worst.to} was sent, on {day(facts.on)}"
        else:
            assert worst.sent_at is not None
            said = f"the report to the {worst.to} was sent on {day(worst.sent_at.date())}"
        yield facts.problem(
            ENTRY, *place(line, "sent_at"),
            found=f"{said}; that is {days(worst.late)} after it was due",
            needed=f'"{line.kind}" was due by {due_words(line)} ({line.within} from {line.start})',
        )  # fmt: skip
