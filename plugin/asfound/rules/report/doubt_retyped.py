"""A doubt typed beside a reading is the one that was computed for it.

Fails: "[=R-touch-3] ± 19 uA" where the doubt computed is ±1.9 uA.
Passes: "± 1.9 uA", the expanded doubt; half of it, the standard one; a tolerance that is declared in the case.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.units import Unit
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import Clause
from asfound.rules._work import in_unit
from asfound.rules.report._cited import declared, say, sentences_of, sources_of, times
from asfound.rules.report._typed import Shape, rounds_to, slip, typed_numbers

ENTRY = Entry(
    name="doubt-retyped",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A doubt typed beside a reading is the one that was computed for it.",
    reason="Whoever holds the reading against a limit will do it with the doubt in the sentence.",
    source="JCGM 100:2008, 7.2.3 (how a result and its expanded uncertainty are stated)",
    status="from memory",
    mend="Leave it out: the page prints it beside the reading.",
    rows=("R95",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a doubt. Where none was computed for what is cited, nothing is said."""
    for text, sentence in sentences_of(facts):
        for typed in typed_numbers(sentence.text):
            if typed.shape is not Shape.DOUBT:
                continue
            value, doubts = typed.values[0], tuple(_doubts(facts, sentence, typed.unit))
            if not doubts or any(rounds_to(doubt, value) or rounds_to(value, _two(doubt)) for _, doubt in doubts):
                continue
            if sources_of(facts, text, sentence, tuple(declared(facts))).is_declared(value, typed.unit):
                continue
            ref, doubt = doubts[0]
            power = slip(_two(doubt), value)
            by = f", and what is typed is {times(power)} it" if power else ""
            found = f"types {typed.shown}; the doubt computed for {ref} is ±{_two(doubt):f} {typed.unit.symbol}{by}"
            yield say(facts, ENTRY, text, ref, found, "the doubt that was computed is needed, or none")


def _doubts(facts: Facts, sentence: Clause, known: Unit) -> Iterator[tuple[str, Decimal]]:
    """Expanded and standard doubts of what a sentence cites, in a unit."""
    for ref in sentence.refs:
        found = [(one.doubt, one.k, one.unit) for one in facts.verdicts_of.get(ref, ()) if one.subject == ref]
        result = facts.result.get(ref)
        if result is not None:
            found.append((result.doubt, result.k, result.unit))
        for doubt, k, name in found:
            for size in (doubt, doubt / k) if doubt is not None and k else (doubt,):
                there = in_unit(Decimal(repr(size)), name, known) if size else None
                if there is not None:
                    yield ref, there


def _two(value: Decimal) -> Decimal:
    """To two significant digits, as doubts are printed."""
    return value.quantize(Decimal(1).scaleb(value.adjusted() - 1)) if value else value
