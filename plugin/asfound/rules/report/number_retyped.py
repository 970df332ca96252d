"""A number in the text comes from the table it stands in.

Fails: "The leakage was 0.24 mA [R-touch-3]." where the table says 61.2 µA; "It delivered 112 mL/h [R-flow-5]." warns.
Passes: "The leakage was [=R-touch-3]." Settings, limits, stated values and doubts may be typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

from asfound.measure.units import Unit, unit
from asfound.model.facts import Facts
from asfound.model.number import Fault, read_decimal
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import Said, said, whole_sentences
from asfound.rules._work import amounts, in_unit, quantity

ENTRY = Entry(
    name="number-retyped",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A number in the text is printed from its reading, not typed again.",
    reason="A number typed twice will differ once, and the copy is the one that is read out.",
    source="common practice, no source",
    status="common practice",
    mend="Print the value from the table by its id, as in [=R-flow-5].",
    rows=("R95",),
)

_SPACE = " \u00a0\u202f"
_NUMBER = re.compile(
    "(?<![\\w.,/])(?P<sign>[-+\u2212±]?) ?"
    f"(?P<number>\\d{{1,3}}(?:[{_SPACE},]\\d{{3}})+(?:\\.\\d+)?|\\d+(?:[.,]\\d+)?)"
    f"[{_SPACE}]?(?P<unit>[A-Za-zµμΩΩ%°/][^\\s,;:!?)\\]]{{0,9}})"
)
_ABOUT_ANOTHER = re.compile(
    r"\b(?:more|less|higher|lower|above|below|over|under|between|and|about|by|than|least|most|limit|of|within|every|after|"
    r"for|half|rated|setting|set|dial|to)\s+$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Shown:
    """A reading or result as the text could have printed it."""

    ref: str
    value: Decimal
    unit: str
    text: str


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a typed number: equal to a reading it could refer to warns, different from it rejects."""
    declared = tuple(_declared(facts))
    for text in said(facts):
        below = _below(facts, text.rests_on)
        for sentence in whole_sentences(text.text):
            here = tuple(one for ref in sentence.refs for one in _shown(facts, ref))
            for match in _NUMBER.finditer(sentence.text):
                known, typed = unit(match["unit"].rstrip(".")), read_decimal(_plain(match["number"]))
                if known is None or isinstance(typed, Fault) or match["sign"] == "±":
                    continue
                if match["sign"] in {"-", "\u2212"}:
                    typed = -typed
                problem = _judge(facts, text, typed, known, (here, below, declared), sentence.text[: match.start()])
                if problem is not None:
                    yield problem


def _judge(
    facts: Facts,
    text: Said,
    typed: Decimal,
    known: Unit,
    sources: tuple[tuple[_Shown, ...], tuple[_Shown, ...], tuple[tuple[Decimal, str], ...]],
    before: str,
) -> Problem | None:
    here, below, declared = sources
    here, below = (
        tuple(one for one in many if in_unit(one.value, one.unit, known) is not None) for many in (here, below)
    )
    shown = f"{typed} {known.symbol}"
    exact = any(in_unit(value, name, known) == typed for value, name in declared)
    for one in (*here, *below):
        value = in_unit(one.value, one.unit, known)
        assert value is not None
        if value == typed or (not exact and _rounds_to(value, typed)):
            return facts.problem(
                ENTRY,
                text.where,
                *text.path,
                found=f"{text.name} types {shown}, which is the value of {one.ref}",
                needed=f"a reference is needed instead: [={one.ref}]",
                level=Level.WARN,
            )
    if exact:
        return None
    for one in (*here, *below):
        value = in_unit(one.value, one.unit, known)
        factor = _factor(value, typed) if value is not None else 0
        if factor and (one in here or abs(factor) == 3):
            size = 10 ** abs(factor)
            return facts.problem(
                ENTRY,
                text.where,
                *text.path,
                found=f"{text.name} types {shown}, {'' if factor > 0 else '1/'}{size} "
                f"{'times' if factor > 0 else 'of'} {one.ref} ({one.text})",
                needed=f"the value of the reading is needed: [={one.ref}]",
            )
    if not here or _ABOUT_ANOTHER.search(before):
        return None
    return facts.problem(
        ENTRY,
        text.where,
        *text.path,
        found=f"{text.name} types {shown} beside {here[0].ref}, which is {here[0].text}",
        needed=f"the value of the reading is needed: [={here[0].ref}]",
        mend="Print the value by its id; a difference or a ratio belongs into a derived result, not into the text.",
    )


def _plain(number: str) -> str:
    """A number as prose may write it: thousands parted by a space or a comma, or a comma for the point."""
    grouped = re.fullmatch(f"(\\d{{1,3}}(?:[{_SPACE},]\\d{{3}})+)(\\.\\d+)?", number)
    if grouped:
        return re.sub(f"[{_SPACE},]", "", grouped[1]) + (grouped[2] or "")
    return number.replace(",", ".")


def _rounds_to(value: Decimal, typed: Decimal) -> bool:
    exponent = Decimal(1).scaleb(int(typed.as_tuple().exponent))
    return any(value.quantize(exponent, rounding) == typed for rounding in (ROUND_HALF_UP, ROUND_HALF_EVEN))


def _factor(value: Decimal, typed: Decimal) -> int:
    """The power of ten by which a typed number is off; 0 where it is off by something else."""
    for power in (3, -3, 2, -2, 1, -1):
        scaled = typed.scaleb(-power)
        if value != 0 and (scaled == value or _rounds_to(value, scaled)):
            return power
    return 0


def _shown(facts: Facts, ref: str) -> Iterator[_Shown]:
    row, result = facts.case.reading.get(ref), facts.result.get(ref)
    if row is not None and row.value.is_number and row.value.number is not None and unit(row.unit) is not None:
        yield _Shown(ref, row.value.number, row.unit, f"{row.value.text} {row.unit}")
    elif result is not None and result.value is not None and unit(result.unit) is not None:
        yield _Shown(ref, result.value, result.unit, f"{result.value} {result.unit}")


def _below(facts: Facts, refs: tuple[str, ...]) -> tuple[_Shown, ...]:
    """What a text rests on, by way of findings too."""
    found: dict[str, _Shown] = {}
    for ref in refs:
        finding = facts.case.findings.get(ref)
        for source in finding.rests_on if finding is not None else (ref,):
            found.update({one.ref: one for one in _shown(facts, source)})
    return tuple(found.values())


def _declared(facts: Facts) -> Iterator[tuple[Decimal, str]]:
    """Numbers that are not readings and may be typed: settings, conditions, limits, doubts, stated values."""
    case = facts.case
    for record in (*case.items.values(), *case.sheets.values(), *((case.injury,) if case.injury else ())):
        for _, amount in amounts(record):
            yield amount.value, amount.unit
    texts = [text for item in case.items.values() for text in item.characteristics.values()]
    texts += [text for sheet in case.sheets.values() for text in sheet.constants.values()]
    for setting in case.scene.settings.values() if case.scene else ():
        if isinstance(setting.value, str):
            texts += [setting.value, f"{setting.value} {setting.unit or ''}"]
    for planned in case.plan.tests.values() if case.plan else ():
        texts += [text for values in planned.coverage.values() for text in values]
    pairs = {(text, "") for text in texts}
    for table in case.readings.values():
        pairs |= {(text, table.units.get(name, "")) for row in table.rows for name, text in row.conditions.items()}
    for text, column in sorted(pairs):
        read = quantity(text, column)
        if read is not None:
            yield read[0], read[1].symbol
    for verdict in facts.verdicts:
        for bound in {verdict.lower, verdict.upper} - {None}:
            if bound is not None:
                yield bound, verdict.unit
        if verdict.doubt is not None:
            yield Decimal(f"{verdict.doubt:.2g}"), verdict.unit
