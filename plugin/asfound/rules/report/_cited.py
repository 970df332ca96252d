"""What a number in a sentence may stand for: what it cites, what lies below, and what may be typed freely."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from asfound.measure.units import Unit, unit
from asfound.model.facts import Facts
from asfound.problems import Entry, Level, Problem
from asfound.rules._texts import Clause, Said, explanations, said, summary, whole_sentences
from asfound.rules._work import amounts, in_unit, quantity


class Shown(Struct, frozen=True):
    """A reading, setting or result as the text could have printed it."""

    ref: str
    value: Decimal
    unit: str
    text: str


class Sources(Struct, frozen=True):
    """What a number in one sentence may be: cited in it, rested on, or declared anywhere in the case."""

    here: tuple[Shown, ...]
    below: tuple[Shown, ...]
    declared: tuple[tuple[Decimal, str], ...]

    def of(self, known: Unit) -> Sources:
        """Those that can be told in a unit."""
        here, below = (
            tuple(one for one in many if in_unit(one.value, one.unit, known) is not None)
            for many in (self.here, self.below)
        )
        return Sources(here, below, self.declared)

    def is_declared(self, value: Decimal, known: Unit) -> bool:
        """Whether a setting, condition, limit, doubt or stated value is just this."""
        return any(in_unit(one, name, known) == value for one, name in self.declared)


def sentences_of(facts: Facts) -> Iterator[tuple[Said, Clause]]:
    """Every sentence in which a number could be a copy: findings, conclusion, explanations, summary."""
    for text in (*said(facts), *explanations(facts), *summary(facts)):
        for sentence in whole_sentences(text.text):
            yield text, sentence


def sources_of(facts: Facts, text: Said, sentence: Clause, declared: tuple[tuple[Decimal, str], ...]) -> Sources:
    """What stands behind the numbers of one sentence. A sheet cited whole lies below, with its rows."""
    here = tuple(one for ref in sentence.refs for one in _shown(facts, ref))
    sheets = tuple(one for ref in sentence.refs for one in _rows(facts, ref))
    return Sources(here, tuple(dict.fromkeys((*sheets, *_below(facts, text.rests_on)))), declared)


def say(
    facts: Facts,
    entry: Entry,
    text: Said,
    ref: str,
    found: str,
    needed: str,
    mend: str = "",
    level: Level | None = None,
) -> Problem:
    """A problem of a text, at its place; `ref` is the record whose figure it types."""
    said = f"{text.name} {found}"
    return facts.problem(entry, text.where, *text.path, about=ref, found=said, needed=needed, mend=mend, level=level)


def times(power: int) -> str:
    """`1000 times`, `1/10 of`: a slip in words."""
    size = 10 ** abs(power)
    return f"{size} times" if power > 0 else f"1/{size} of"


def _rows(facts: Facts, ref: str) -> Iterator[Shown]:
    """The readings of a sheet that is cited whole."""
    for row in facts.case.standing(ref) if ref in facts.case.sheets else ():
        yield from _shown(facts, row.id)


def _shown(facts: Facts, ref: str) -> Iterator[Shown]:
    row, result = facts.case.reading.get(ref), facts.result.get(ref)
    if row is not None and row.value.is_number and row.value.number is not None and unit(row.unit) is not None:
        yield Shown(ref, row.value.number, row.unit, f"{row.value.text} {row.unit}")
    elif (scene := facts.case.scene) is not None and ref in scene.settings:
        setting = scene.settings[ref]
        read = quantity(setting.value, setting.unit or "") if isinstance(setting.value, str) else None
        if read is not None:
            yield Shown(ref, read[0], read[1].symbol, f"{read[0]} {read[1].symbol}")
    elif result is not None and result.value is not None and unit(result.unit) is not None:
        yield Shown(ref, result.value, result.unit, f"{result.value} {result.unit}")


def _below(facts: Facts, refs: tuple[str, ...]) -> tuple[Shown, ...]:
    """What a text rests on, by way of findings too."""
    found: dict[str, Shown] = {}
    for ref in refs:
        finding = facts.case.findings.get(ref)
        for source in finding.rests_on if finding is not None else (ref,):
            found.update({one.ref: one for one in _shown(facts, source)})
    return tuple(found.values())


def declared(facts: Facts) -> Iterator[tuple[Decimal, str]]:
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
