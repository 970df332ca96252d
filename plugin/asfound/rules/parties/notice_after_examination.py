"""Every party was told before the examination began, and had the time it was given to answer.

Whoever asked for the examination or allowed it need not be told of it. A letter of counsel, `from_counsel: yes`, which
states that the parties were told, stands for the notices it speaks of. Only the first notice to each party counts.

Fails: a notice of 6 March, an inspection of 5 March; a party without any notice; an answer asked for by a day after
the examination it announces.
Passes: each party's notice sent before the first inspection row and the first sheet; or counsel's letter.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.parties._parties import asks, broken_parties, first_work, notices_to, parties

ENTRY = Entry(
    name="notice-after-examination",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every party was told before the examination began, and had the time it was given to answer.",
    reason="A notice that comes after the examination it announces gives nobody the chance to attend.",
    source="National Institute of Justice, destructive testing (notice to the other side)",
    status="confirmed",
    mend="Record the notice with the time it was truly sent; counsel's letter that the parties were told is enough.",
    rows=("R39", "ST5"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a notice, and one for all parties without any."""
    began = first_work(facts)
    if began is None or broken_parties(facts):
        return
    ref, at = began
    untold: list[str] = []
    spoken: set[str] = set()
    for party in parties(facts):
        notices = notices_to(facts, party)
        if any(notice.from_counsel for _, notice in notices):
            continue
        if not notices:
            untold += [] if asks(facts, party) else [party]
            continue
        name, notice = notices[0]
        if name in spoken:
            continue
        spoken.add(name)
        if notice.sent_at > at:
            yield facts.problem(
                ENTRY,
                name,
                "sent_at",
                found=f"the notice is of {notice.sent_at.text}, the examination began at {at.text} ({ref})",
                needed="a notice before the examination is needed",
            )
        elif notice.examination_at and notice.reply_by and notice.reply_by > notice.examination_at:
            yield facts.problem(
                ENTRY,
                name,
                "reply_by",
                found=f"an answer is asked for by {notice.reply_by.text}, "
                f"after the examination announced for {notice.examination_at.text}",
                needed="time to answer before the examination is needed",
            )
        elif notice.examination_at and at < notice.examination_at:
            yield facts.problem(
                ENTRY,
                name,
                "examination_at",
                found=f"the examination began at {at.text} ({ref}), it was announced for {notice.examination_at.text}",
                needed="an examination no earlier than announced is needed",
            )
    if untold:
        yield facts.problem(
            ENTRY,
            "notices.yml",
            found=f"{listed([f'the {party}' for party in untold], 4)} had no notice of the examination, "
            f"which began at {at.text} ({ref})",
            needed="a notice to each party before the examination is needed",
            mend="Record the notices in notices.yml, or counsel's letter that these parties were told.",
        )
