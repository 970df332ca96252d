"""Words of confidence in the conclusion are those of the scale: established, probable, possible, undetermined.

Fails: "with reasonable engineering certainty"; "90 % certain"; "very likely".
Passes: "probable"; "it is possible that"; "95 % confidence bound". The words looked for are the list *scale*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems

ENTRY = Entry(
    name="confidence-word-unscaled",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Words of confidence in the conclusion are those of its scale.",
    reason="A second scale beside the first lets each side choose the word it likes.",
    source="ASTM E620-18 (an opinion states its basis); the scale of four words is ours",
    status="from memory",
    mend="Use established, probable, possible or undetermined, whose meanings the report prints.",
    rows=("R78",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text."""
    yield from word_problems(facts, ENTRY, "scale", "a word of the scale is needed, or none")
