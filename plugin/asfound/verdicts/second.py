"""Two instruments on one thing: whether what they read agrees within the doubts of both.

It is made of every sheet that repeats another with a second instrument, and of any two that go back to the same first
sheet, whatever the protocol asks for: a contradiction that nobody asked about contradicts all the same.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from msgspec import Struct

from asfound.measure.agreement import en_agrees, en_number
from asfound.measure.show import show_number
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.model.verdict import SECOND_INSTRUMENT, Outcome, Result
from asfound.model.work import Sheet, SheetMoment
from asfound.verdicts.context import comparable
from asfound.verdicts.doubts import range_for, repeated_doubt, spread
from asfound.verdicts.measured import Measured, SheetWork, is_open, six

Told = tuple[tuple[str, str], ...]
"""The conditions a reading was taken at that are on record, by name, in the form that is equal for what is the same."""


class Side(Struct, frozen=True):
    """What one instrument says at one combination of conditions: a reading, or the mean of its repeats.

    y, U  value and expanded doubt in the unit of the verdict
    """

    refs: tuple[str, ...]
    y: float
    U: float

    @property
    def said(self) -> str:
        """Name in a line of figures."""
        more = len(self.refs) - 1
        return f"mean of {self.refs[0]} and {more} more" if more else self.refs[0]


def second_instrument(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """The comparison of a sheet with the one it repeats, where both were read of the same with two instruments.

    En = (x - y) / sqrt(U(x)^2 + U(y)^2) at each combination of conditions, x and y being what each instrument reads
    there, of repeats the mean; the one that is largest in size is the value. Source: ISO 13528:2015, 9.7 (from memory).
    """
    other = works.get(work.sheet.repeats_of or "")
    if other is not None:
        yield from _compared(work, other, "Two instruments compared")


def among_repeats(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """The comparisons of a repeat with those sheets that go back to the same first one and that it does not name.

    Two repeats may each agree with the first and not with one another. Each pair is compared once, by the name of the
    other behind that of the sheet, so that no comparison of today is called otherwise for one of tomorrow. Source: that
    of `second_instrument`.
    """
    if work.sheet.repeats_of is None:
        return
    ident = f"Y-{work.name.removeprefix('S-')}-{SECOND_INSTRUMENT.replace(' ', '-')}"
    for other in works.values():
        back = other.sheet.repeats_of
        if other is work or other.name == work.sheet.repeats_of or back == work.name:
            continue
        if back is not None and sort_key(other.name) > sort_key(work.name):
            continue  # told of the other
        if _first(other, works) == _first(work, works):
            for one in _compared(work, other, "Two instruments compared, each on a repeat"):
                yield replace(one, id=f"{ident}-{other.name.removeprefix('S-')}")


def compared_sheets(result: Result, case: Case) -> tuple[str, str]:
    """The sheet a comparison of two instruments is told of, and the other one."""
    return result.sheet, next(name for ref in result.of if (name := case.reading[ref].sheet) != result.sheet)


def _first(work: SheetWork, works: Mapping[str, SheetWork]) -> str:
    """The sheet that a chain of repeats goes back to; of a chain that closes upon itself, the first by name."""
    names = [work.name]
    while (at := works.get(names[-1])) is not None and at.sheet.repeats_of is not None:
        if at.sheet.repeats_of in names:
            return min(names[names.index(at.sheet.repeats_of) :])
        names.append(at.sheet.repeats_of)
    return names[-1]


def _compared(work: SheetWork, other: SheetWork, title: str) -> Iterator[Result]:
    if other.sheet.instrument == work.sheet.instrument or other.to is not work.to:
        return
    if of_what(other.sheet) != of_what(work.sheet):
        return  # what differs may be the thing, what was fitted to it or what was asked, and not the instrument
    rows = []
    for ours, theirs in pairs(work, other):
        one, first = side(work, ours), side(other, theirs)
        if one is not None and first is not None:
            rows.append((en_number(one.y, one.U, first.y, first.U), one, first))
    if not rows:
        return
    en = max((value for value, _, _ in rows), key=abs)
    agree = en_agrees(en)
    said = "agree within their doubts" if agree else "do not agree within their doubts"
    yield Result(
        "", SECOND_INSTRUMENT, work.name, title, Decimal(f"{en:.4g}"), "1", None,
        tuple(dict.fromkeys(ref for _, one, first in rows for ref in (*one.refs, *first.refs))),
        f"{work.sheet.instrument} and {other.sheet.instrument} {said}: the largest En number "
        f"is {abs(en):.2f} in size, where 1 is the bound.",
        Outcome.PASS if agree else Outcome.FAIL,
        tuple((f"{one.said} against {first.said}", show_number(Decimal(f"{value:.2f}"))) for value, one, first in rows),
        apart=tuple((one.refs, first.refs) for value, one, first in rows if not en_agrees(value)),
    )  # fmt: skip


def side(work: SheetWork, readings: Sequence[Measured]) -> Side | None:
    """What an instrument says by readings under the same conditions; None where that is no number with a doubt.

    The doubt of a mean holds the instrument's own in full, which no repeat makes smaller, and the scatter as that of a
    mean (JCGM 100:2008, 4.2.3).
    """
    if any(is_open(one) for one in readings):
        return None  # a bound among them: what they say together is no number
    found = [one for one in readings if one.y is not None]
    refs = tuple(one.reading.id for one in found)
    if not found:
        return None
    if len(found) == 1:
        (one,) = found
        return Side(refs, float(one.y or 0), one.U) if one.U else None
    mean = sum((one.y or Decimal(0) for one in found), Decimal(0)) / len(found)
    chosen = range_for(mean, work.ranges)
    if chosen is None:
        return None
    scatter = spread([float(one.y or 0) for one in found])
    U = six(repeated_doubt(float(mean), chosen, scatter.contribution / math.sqrt(len(found)), scatter.dof).U)
    return Side(refs, float(mean), U) if U else None


def of_what(sheet: Sheet) -> tuple[str, str, frozenset[str], SheetMoment]:
    """What a sheet was read of: where two sheets differ in it, that may be why they read differently."""
    return sheet.item, sheet.test.partition("--")[0], frozenset(sheet.accessories), sheet.moment


def pairs(work: SheetWork, other: SheetWork) -> Iterator[tuple[list[Measured], list[Measured]]]:
    """The readings of a sheet at each combination of its conditions, with those of the other sheet there.

    One sheet may say more of the conditions than the other does. What it says more then stands for both, where there is
    but one combination it can be; where there are several, nobody knows which was meant, and nothing is compared.
    """
    ours, theirs = _by_conditions(work), _by_conditions(other)
    matches: dict[Told, Told] = {}
    kinds = sorted({_names(told) for told in theirs}, key=lambda names: (-len(names), sorted(names)))
    for names in {_names(told) for told in ours}:
        # Those that say the same are set beside each other first.
        for others in sorted(kinds, key=lambda each: each != names):
            if not (names <= others or others <= names):
                continue
            common = names & others
            left = _single([told for told in ours if _names(told) == names], common)
            right = _single([told for told in theirs if _names(told) == others], common)
            for shared, told in left.items():
                match = right.get(shared)
                if told is not None and match is not None:
                    matches.setdefault(told, match)
    yield from ((readings, theirs[matches[told]]) for told, readings in ours.items() if told in matches)


def _by_conditions(work: SheetWork) -> dict[Told, list[Measured]]:
    found: dict[Told, list[Measured]] = {}
    for one in work.measured:
        spoken = ((name, work.setting.spoken(one.reading, name)) for name in work.test.conditions)
        told = tuple((name, comparable(text, "")) for name, text in spoken if text)
        found.setdefault(told, []).append(one)
    return found


def _names(told: Told) -> frozenset[str]:
    return frozenset(name for name, _ in told)


def _single(every: list[Told], common: frozenset[str]) -> dict[Told, Told | None]:
    """What is told in common → the only combination of which it is told; None where there are several."""
    found: dict[Told, Told | None] = {}
    for told in every:
        shared = tuple(pair for pair in told if pair[0] in common)
        found[shared] = None if shared in found else told
    return found
