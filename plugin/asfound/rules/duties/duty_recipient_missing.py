"""A report went to everybody who must have it.

Fails: a death, sent to the maker and not to the agency; a record that was sent and does not say to whom.
Passes: both; a serious injury sent to the maker alone; to the agency alone where the maker is not known.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.duties._lines import owed

ENTRY = Entry(
    name="duty-recipient-missing",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="A report went to everybody who must have it, and the record says to whom.",
    reason="Of a death both the agency and the maker must hear; who tells the one may forget the other.",
    source="21 CFR 803.30(a)(1) and (2)",
    status="confirmed",
    mend="Send it to the other too, or write under sent_to to whom it went.",
    rows=("R110",),
    private=True,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a duty."""
    for line in owed(facts):
        sent = [one for one in line.sendings if one.sent_at is not None and not one.unsaid]
        vague = [one for one in line.sendings if one.unsaid]
        if vague and len(line.sendings) > 1:
            whom = " and the ".join(str(one.to) for one in line.sendings)
            yield facts.problem(
                ENTRY, vague[0].record, "sent_at",
                found=f"{vague[0].record} was sent, and sent_to does not say to whom",
                needed=f'"{line.kind}" goes to the {whom} ({line.word or "if it applies"})',
            )  # fmt: skip
        elif sent and line.unsent:
            whom = " nor the ".join(str(one.to) for one in line.unsent)
            went = " and the ".join(str(one.to) for one in sent)
            yield facts.problem(
                ENTRY, sent[0].record, "sent_to",
                found=f"the report went to the {went}, and not to the {whom}",
                needed=f'"{line.kind}" goes to both ({line.word or "if it applies"}: {line.source})',
            )  # fmt: skip
