"""Two instruments on one thing: whether what they read agrees within the doubts of both.

It is made of every sheet that repeats another with a second instrument, whatever the protocol asks for: a contradiction
that nobody asked about contradicts all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from asfound.measure.agreement import en_agrees, en_number
from asfound.measure.show import show_number
from asfound.model.verdict import Outcome, Result
from asfound.model.work import Sheet, SheetMoment
from asfound.verdicts.context import comparable
from asfound.verdicts.measured import Measured, SheetWork, is_open

KIND = "second instrument"

Told = tuple[tuple[str, str], ...]
"""The conditions a reading was taken at that are on record, by name, in the form that is equal for what is the same."""


def second_instrument(work: SheetWork, works: Mapping[str, SheetWork]) -> Iterator[Result]:
    """The comparison of a sheet with the one it repeats, where both were read of the same with two instruments.

    En = (x - y) / sqrt(U(x)^2 + U(y)^2), of each reading and the first of the other sheet at its conditions; the one
    that is largest in size is the value. Source: ISO 13528:2015, 9.7 (from memory).
    """
    other = works.get(work.sheet.repeats_of or "")
    if other is None or other.sheet.instrument == work.sheet.instrument or other.to is not work.to:
        return
    if of_what(other.sheet) != of_what(work.sheet):
        return  # what differs may be the thing, what was fitted to it or what was asked, and not the instrument
    rows = []
    for one, first in pairs(work, other):
        if one.y is None or first.y is None or not one.U or not first.U or is_open(one) or is_open(first):
            continue
        rows.append((en_number(float(one.y), one.U, float(first.y), first.U), one, first))
    if not rows:
        return
    en = max((value for value, _, _ in rows), key=abs)
    agree = en_agrees(en)
    said = "agree within their doubts" if agree else "do not agree within their doubts"
    yield Result(
        "", KIND, work.name, "Two instruments compared", Decimal(f"{en:.4g}"), "1", None,
        tuple(dict.fromkeys(each.reading.id for _, one, first in rows for each in (one, first))),
        f"{work.sheet.instrument} and {other.sheet.instrument} {said}: the largest En number "
        f"is {abs(en):.2f} in size, where 1 is the bound.",
        Outcome.PASS if agree else Outcome.FAIL,
        tuple(
            (f"{one.reading.id} against {first.reading.id}", show_number(Decimal(f"{value:.2f}")))
            for value, one, first in rows
        ),
        apart=tuple((one.reading.id, first.reading.id) for value, one, first in rows if not en_agrees(value)),
    )  # fmt: skip


def of_what(sheet: Sheet) -> tuple[str, str, frozenset[str], SheetMoment]:
    """What a sheet was read of: where two sheets differ in it, that may be why they read differently."""
    return sheet.item, sheet.test.partition("--")[0], frozenset(sheet.accessories), sheet.moment


def pairs(work: SheetWork, other: SheetWork) -> Iterator[tuple[Measured, Measured]]:
    """Each reading of a sheet with the first of the other sheet at its conditions.

    One sheet may say more of the conditions than the other does. What it says more then stands for both, where there is
    but one combination it can be; where there are several, nobody knows which was meant, and nothing is compared.
    """
    ours, theirs = _by_conditions(work), _by_conditions(other)
    matches: dict[Told, Measured] = {}
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
                    matches.setdefault(told, theirs[match][0])
    for told, readings in ours.items():
        if told in matches:
            yield from ((one, matches[told]) for one in readings)


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
