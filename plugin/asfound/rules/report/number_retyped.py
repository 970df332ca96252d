"""A number in the text comes from the table it stands in.

Fails: "The leakage was 0.24 mA [R-touch-3]." where the table says 61.2 µA; "61.2 mA"; "7.8 mmHg" for 7.8 cmH2O; "60 to
65 uA" beside a reading of 72 uA. "It delivered 112 mL/h [R-flow-5]." warns.
Passes: "The leakage was [=R-touch-3]." Settings, limits, stated values, doubts and the sizes of things may be typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.units import Unit
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import Said
from asfound.rules._work import in_unit
from asfound.rules.report._cited import Shown, Sources, declared, say, sentences_of, sources_of, times
from asfound.rules.report._typed import Shape, Typed, rounds_to, slip, typed_numbers

ENTRY = Entry(
    name="number-retyped",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A number in the text is printed from its reading, not typed again.",
    reason="A number typed twice will differ once, and the copy is the one that is read out.",
    source="common practice, no source",
    status="common practice",
    mend="Print the value from the table by its id, as in [=R-flow-5].",
    rows=("R51", "R95"),
)

_ABOUT_ANOTHER = re.compile(
    r"\b(?:more|less|higher|lower|above|below|over|under|between|and|about|by|than|least|most|limit|of|within|every|"
    r"after|for|half|rated|setting|set|dial|to|into|with|across|through|through a|into a|at)\s+$",
    re.IGNORECASE,
)
# "A current of 92 uA" and "it rose to 92 uA" speak of the reading, whatever the little word before the number.
_OF_THE_READING = re.compile(
    r"\b(?:(?:current|flow|rate|reading|value|power|resistance|pressure|temperature|force|output|leakage|voltage|energy|"
    r"volume|area|noise|mean|average|impedance|delay|dose) of"
    r"|(?:rose|fell|came|went|dropped|increased|decreased|sank|climbed|amounted) to)\s+$",
    re.IGNORECASE,
)
# "The 50 ohm load", "a 12 V supply": the size of a thing, not what was read.
_OF_A_THING = re.compile(
    r"^[\s-]+(?:resistor|load|tube|fuse|cable|cord|socket|supply|battery|syringe|bag|plug|catheter|needle|range|scale|box|"
    r"cylinder|capacitor|line|meter|model|pad|setting|screen|bottle|filter|hose|clamp|weight|lamp|limit|step|square)s?\b",
    re.IGNORECASE,
)
_OF_A_LIMIT = re.compile(
    r"\b(?:limits?|tolerances?|window|specifi\w*|states?|stated|allows?|permits?|from its maker)\b[^.;]*$",
    re.IGNORECASE,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a typed number: equal to a reading it could refer to warns, different from it rejects."""
    free = tuple(declared(facts))
    for text, sentence in sentences_of(facts):
        numbers = [one for one in typed_numbers(sentence.text) if one.shape is not Shape.DOUBT]
        if not numbers:
            continue
        sources = sources_of(facts, text, sentence, free)
        for typed in numbers:
            judge = _range if typed.shape is Shape.RANGE else _plain
            problem = judge(facts, text, typed, sources.of(typed.unit))
            if problem is not None:
                yield problem


def _plain(facts: Facts, text: Said, typed: Typed, sources: Sources) -> Problem | None:
    value, known = typed.values[0], typed.unit
    exact = sources.is_declared(value, known)
    for one in (*sources.here, *sources.below):
        there = in_unit(one.value, one.unit, known)
        assert there is not None
        if there == value or (not exact and rounds_to(there, value)):
            if one.ref[0] == "A":
                return None
            found = f"types {typed.shown}, which is the value of {one.ref}"
            return say(
                facts, ENTRY, text, one.ref, found, f"a reference is needed instead: [={one.ref}]", level=Level.WARN
            )
    if exact or _OF_A_THING.match(typed.after):
        return None
    for one in (*sources.here, *sources.below):
        if found := _slipped(one, value, known, one in sources.here):
            return say(facts, ENTRY, text, one.ref, f"types {typed.shown}, {found}", _needed(one))
    if not sources.here or (_ABOUT_ANOTHER.search(typed.before) and not _OF_THE_READING.search(typed.before)):
        return None
    first = sources.here[0]
    mend = "Print the value by its id; a difference or a ratio belongs into a derived result, not into the text."
    found = f"types {typed.shown} beside {first.ref}, which is {first.text}"
    return say(facts, ENTRY, text, first.ref, found, _needed(first), mend)


def _needed(one: Shown) -> str:
    if one.ref[0] == "A":
        return "the value of the setting is needed"
    return f"the value of the reading is needed: [={one.ref}]"


def _slipped(one: Shown, value: Decimal, known: Unit, here: bool) -> str:
    """How a number differs from a reading by a slip: a power of ten, or the same figures under another unit."""
    there = in_unit(one.value, one.unit, known)
    assert there is not None
    power = slip(there, value)
    if power and (here or abs(power) in {3, 6}):
        return f"{times(power)} {one.ref} ({one.text})"
    figures = len(value.normalize().as_tuple().digits)
    if known.symbol != one.unit and rounds_to(one.value, value) and (figures > 2 or (here and figures > 1)):
        return f"the figures of {one.ref} ({one.text}) under another unit"
    return ""


def _range(facts: Facts, text: Said, typed: Typed, sources: Sources) -> Problem | None:
    """A range beside readings holds them all."""
    low, high = typed.values
    free = all(sources.is_declared(end, typed.unit) for end in typed.values)
    if free or _OF_A_THING.match(typed.after) or _OF_A_LIMIT.search(typed.before):
        return None
    for one in sources.here:
        value = in_unit(one.value, one.unit, typed.unit)
        assert value is not None
        if low <= value <= high or any(rounds_to(value, end) for end in typed.values):
            continue
        power = next((by for by in (3, -3, 2, -2, 1, -1) if low <= value.scaleb(by) <= high), 0)
        slipped = f"; it holds {times(power)} it" if power else ""
        found = f"types {typed.shown} beside {one.ref}, which is {one.text} and lies outside{slipped}"
        return say(facts, ENTRY, text, one.ref, found, "a range that holds the readings it stands beside is needed")
    return None
