"""Small things the rules about weighing share."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.reasoning import ConfidenceLevel, Explanation, Opinion
from asfound.model.weighing import Standing


def weighed(facts: Facts) -> Iterator[tuple[Explanation, Standing]]:
    """Every explanation that was weighed, with how it stands."""
    if facts.weighing is None:
        return
    for one in facts.weighing.standings:
        yield facts.case.explanations[one.ref], one


def earned(facts: Facts) -> Iterator[tuple[Explanation, Standing]]:
    """Those of which it is known what the evidence earns: nothing that is listed with them could not be read."""
    return ((explanation, one) for explanation, one in weighed(facts) if not facts.unread.on(one.ref))


def opinions(facts: Facts) -> tuple[tuple[str, Opinion], ...]:
    """`mechanism` and `reason`, and what was concluded of each; empty without a conclusion."""
    made = facts.case.conclusion
    return () if made is None else (("mechanism", made.mechanism), ("reason", made.reason))


def concluded(facts: Facts) -> Iterator[tuple[str, Opinion, tuple[str, ...]]]:
    """The parts of the conclusion that conclude something, with the explanations they name."""
    if facts.weighing is None:
        return
    for part, opinion in opinions(facts):
        if opinion.level is not ConfidenceLevel.UNDETERMINED:
            yield part, opinion, facts.weighing.ceiling(part).named


def clause(sentence: str) -> str:
    """A sentence of the weighing as the end of another: without its stop, and without a capital that only begins it."""
    text = sentence.rstrip(".")
    first, _, rest = text.partition(" ")
    plain = first.lower() if first.isalpha() and (first[1:].islower() or len(first) == 1) else first
    return f"{plain} {rest}" if rest else plain


def cut(text: str, most: int = 170) -> str:
    """A clause short enough for a headline."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"
