"""What changes or destroys evidence has the consent of every party, or an order.

Asked of the steps of gates.yml and of the sheets of tests that alter, from *changes* on: flexing a suspect conductor,
unmating a suspect connector and an earth test at high current are *changes*. A *reversible* step needs the leave of the
client alone. Silence is no consent, an objection still less; a party that is gone is no longer asked. A party agrees
through a notice, sent before, whose `consents_to` names the act, its item or its planned test, or which the act cites
under `consents`. `order` cites a court's order or an agreement of the parties.

Fails: the case of the pump cut open on 6 March, the maker's answer of 9 March; a flexed test without any notice.
Passes: each party's notice with `answer: consents` and `consents_to: [B-1]`, sent before; or an order.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import Tier
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed, short
from asfound.rules.parties._parties import acts, agreed, broken_parties, notices_to, parties

ENTRY = Entry(
    name="altering-step-without-consent",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What changes or destroys evidence has the consent of every party in interest, or an order.",
    reason="Nobody can look again at what one side has altered alone; a court may hold that against the side that did.",
    source="ASTM E860-22, 4.1; National Institute of Justice, destructive testing (notice, consent or order)",
    status="confirmed",
    mend="Record each party's notice and answer in notices.yml, with consents_to; if it was not asked for, say so, and "
    "do nothing further that alters.",
    rows=("R37", "ST3"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an act, naming the parties that did not agree."""
    if broken_parties(facts):
        return
    every = parties(facts)
    for act in acts(facts):
        if act.order:
            continue
        lacking = [
            party for party in every if not any(agreed(act, ref, notice) for ref, notice in notices_to(facts, party))
        ]
        if lacking or not every:
            who = listed([f"the {party}" for party in lacking], 4) if every else "any party"
            done = "destroyed" if act.tier is Tier.DESTROYS else "changed"
            yield facts.problem(
                ENTRY,
                act.ref,
                act.field,
                found=f"something of {ids(act.items)} was {done} at {act.at.text} ({short(act.what)}) "
                f"without the consent of {who}",
                needed="the consent of every party before that, or an order, is needed",
            )
