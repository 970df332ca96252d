"""The words of the conclusion claim no more than its level.

Fails: "The pad certainly stood off" and "this proves" at *probable*; "most likely" at *possible*.
Passes: the same at *established*; "it does not prove"; "whether it was clearly seated is open". The level meant is the
lower of the one claimed and the one the evidence earns. The words looked for are the list *over-claim*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import rank
from asfound.model.words import Hit
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._levels import firm
from asfound.rules._lexicon import word_problems
from asfound.rules._texts import Said

ENTRY = Entry(
    name="claim-above-level",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The words of the conclusion claim no more than its level.",
    reason="A sentence that says certainly beside the word probable is the one that is read out.",
    source="Fed. R. Evid. 702 as amended 1 December 2023 (an opinion goes no further than its basis)",
    status="confirmed",
    mend="Say it as strongly as the level and no more: what was found, and what it agrees with.",
    rows=("R78", "R81"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text. What stays open and what would settle it are questions, and are not asked."""
    if facts.case.conclusion is not None:
        yield from word_problems(
            facts,
            ENTRY,
            "over-claim",
            "words of the level are needed",
            lambda text, hit: _above(facts, text, hit),
        )


def level_of(facts: Facts, part: str) -> ConfidenceLevel | None:
    """The level that binds the words of a part of the conclusion; None where none does."""
    conclusion = facts.case.conclusion
    if conclusion is None or part not in {"mechanism", "reason", "carried_by"}:
        return None
    part = "reason" if part == "reason" else "mechanism"
    claimed: ConfidenceLevel = getattr(conclusion, part).level
    earned = firm(facts, part)
    return claimed if earned is None else min(claimed, earned.level, key=rank)


def _above(facts: Facts, text: Said, hit: Hit) -> bool:
    level = level_of(facts, str(text.path[0]))
    if level is None:
        return False
    return hit.word.from_level is None or rank(level) < rank(hit.word.from_level)
