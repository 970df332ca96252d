"""Nothing that alters evidence is done while a party still has time to answer.

Work that alters nothing may go on.

Fails: `reply_by: 2026-03-10 17:00 -05:00` without an answer, a connector unmated on 6 March.
Passes: the answer came before; or the time to answer had run out.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import Answer, Notice
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short
from asfound.rules.parties._parties import Act, acts

ENTRY = Entry(
    name="reply-window-open",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Nothing that alters evidence is done while a party still has time to answer.",
    reason="A time to answer that is not waited for is no time to answer.",
    source="ASTM E1138-89 (withdrawn 1995), party in interest; National Institute of Justice, destructive testing",
    status="confirmed",
    mend="If the answer came earlier, record it with answered_at; else the step stands as it is, and is owned up to.",
    rows=("ST5", "R39"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an act."""
    for act in acts(facts):
        if act.order:
            continue
        waiting = [ref for ref, notice in facts.case.notices.items() if _open(notice, act)]
        if waiting:
            until = max(
                (facts.case.notices[ref].reply_by for ref in waiting), key=lambda at: at.at if at else act.at.at
            )
            yield facts.problem(
                ENTRY,
                act.ref,
                act.field,
                found=f"something of {ids(act.items)} was altered at {act.at.text} ({short(act.what)}), "
                f"while an answer to {ids(waiting)} was awaited until {until.text if until else 'a time not stated'}",
                needed="the answer, or the end of the time for it, is needed before",
            )


def _open(notice: Notice, act: Act) -> bool:
    if notice.urgent or notice.reply_by is None or notice.reply_by <= act.at or notice.sent_at > act.at:
        return False
    if notice.answered_at is not None:
        return notice.answered_at > act.at
    # A reply without its time is taken to have come in time; what it said is asked by the rule on consent.
    return notice.reply is None and notice.answer in {None, Answer.NO_ANSWER}
