"""The conclusion is held no more strongly than the evidence earns, mechanism and reason apart.

The ceiling is what the weakest link of the chain bears; the author may hold less, never more.

Fails: `level: established` where the pad lay in a bin before anybody had charge of it.
Passes: `level: probable` there, or `level: possible`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.weighing import rank
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._levels import firm
from asfound.rules.weighing._shared import clause, cut, opinions

ENTRY = Entry(
    name="level-above-ceiling",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The conclusion is held no more strongly than the weakest link of its chain bears.",
    reason="Opinion that outruns its data is the first thing the other side looks for, and the surest to be struck.",
    source="Fed. R. Evid. 702 (as amended 1 December 2023); ASTM E678-07(2013), 3.1; the scale of levels is ours",
    status="confirmed",
    mend="Lower the level, or mend the link that is named; the page of findings says what would raise it.",
    rows=("R78", "V1", "V2", "V3", "V4"),
)

_RIVALS = frozenset({"rival-not-tested", "rival-not-separated", "rival-standing"})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for the mechanism, one for the reason."""
    for part, opinion in opinions(facts):
        ceiling = firm(facts, part)
        if ceiling is None or rank(opinion.level) <= rank(ceiling.level):
            continue
        weakest = ceiling.weakest
        mend = ENTRY.mend
        if part == "mechanism" and weakest is not None and weakest.name in _RIVALS:
            mend += " An explanation of why it came to be so, and not of how it happened, says explains: reason."
        said = f": {cut(clause(weakest.text))}" if weakest is not None else ""
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            part,
            "level",
            about="",
            found=f"the {part} is held as {opinion.level}, and the evidence earns {ceiling.level}{said}",
            needed=f"{ceiling.level} or less is needed" if rank(ceiling.level) else f"{ceiling.level} is needed",
            mend=mend,
        )
