"""A reading that carries the conclusion was repeated, and its repeats agree within its doubt.

Fails: the conclusion rests on one reading that nobody repeated.
Passes: three rows of the same conditions, whose spread is no wider than the doubt; `17 of 20`, which is twenty trials;
what stands on a mark or in the device's own record, which is no trial and reads the same however often it is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.units import unit
from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import Work, answered, canonical, in_unit, works
from asfound.verdicts.doubts import quick_doubt, range_for, ranges_in

ENTRY = Entry(
    name="few-repeats",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A reading that carries the conclusion is repeated, and the repeats agree within its doubt.",
    reason="One reading cannot show its own scatter.",
    source="ISO/IEC 17025:2017, 7.7.1; the number of repeats is a setting of ours",
    status="from memory",
    mend="Repeat the reading as rows of their own with repeat_of, or say in the limits of the work why it was not, "
    "and lift this with an exception.",
    rows=("R58",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """For each sheet the conclusion rests on: the readings with too few repeats, then those that scatter."""
    carrying = _carrying(facts)
    if not carrying:
        return
    every = list(works(facts))
    repeats = _Alike(every)
    wanted = facts.settings.repeats_wanted
    for work in every:
        if _of_record(work):
            continue
        few: list[str] = []
        seen: set[str] = set()
        for row in answered(work.rows):
            if row.id not in carrying or row.id in seen:
                continue
            alike = repeats.of(work, row)
            if _times(alike) < wanted:
                # A repeat that cannot be read is told where it stands, and may be all that lacks.
                if not facts.unread.any(repeats.kin(work)):
                    few.append(row.id)
                continue
            seen.update(one.id for one in alike)
            yield from _scatter(facts, work, row, alike)
        if few:
            yield facts.problem(
                ENTRY,
                few[0],
                found=f"the conclusion rests on {named(few)}, read fewer than {wanted} times",
                needed=f"{wanted} readings at the same conditions are needed where a conclusion rests on one",
            )


def _of_record(work: Work) -> bool:
    """Whether a sheet holds what stands on a mark or in the device's own record, with nothing joined to it."""
    test = work.test
    if test is None:
        return False
    answered_of_it = test.answer == "yes or no" and test.connects == "nothing" and "device-record" in test.reaches
    return test.read_from in {"mark", "record"} or answered_of_it


def _times(alike: tuple[Reading, ...]) -> int:
    """How often it was tried: a count of trials is as many as it says."""
    return sum(one.value.of or 0 if one.value.kind is ValueKind.COUNT else 1 for one in alike)


def _carrying(facts: Facts) -> frozenset[str]:
    """Readings that the mechanism and the carrying facts rest on, by way of findings and derived results."""
    conclusion = facts.case.conclusion
    if conclusion is None:
        return frozenset()
    todo = [*conclusion.mechanism.rests_on, *(ref for one in conclusion.carried_by for ref in one.rests_on)]
    seen: set[str] = set()
    while todo:
        ref = todo.pop()
        if ref in seen:
            continue
        seen.add(ref)
        if ref in facts.case.findings:
            todo.extend(facts.case.findings[ref].rests_on)
        elif ref in facts.result and len(facts.result[ref].of) <= facts.settings.repeats_wanted:
            # A result over a longer series carries its own scatter; its single readings are not asked one by one.
            todo.extend(facts.result[ref].of)
    return frozenset(ref for ref in seen if ref in facts.case.reading)


class _Alike:
    """Standing readings by their conditions and by the reading they repeat, looked up without a search."""

    def __init__(self, every: list[Work]) -> None:
        self._kin = {
            work.name: [
                other.name
                for other in every
                if other.name == work.name or work.name == other.sheet.repeats_of or other.name == work.sheet.repeats_of
            ]
            for work in every
        }
        self._at: dict[tuple[str, tuple[tuple[str, str], ...]], list[Reading]] = {}
        self._root: dict[str, list[Reading]] = {}
        self._key: dict[str, tuple[tuple[str, str], ...]] = {}
        for work in every:
            for row in answered(work.rows):
                key = tuple(sorted(canonical(work, row).items()))
                self._key[row.id] = key
                self._at.setdefault((work.name, key), []).append(row)
                self._root.setdefault(row.repeat_of or row.id, []).append(row)

    def kin(self, work: Work) -> list[str]:
        """The sheets on which repeats of a sheet's readings may stand, itself among them."""
        return self._kin[work.name]

    def of(self, work: Work, row: Reading) -> tuple[Reading, ...]:
        """A reading and its repeats: same conditions on its sheet and on sheets of its kin, and those named so."""
        found = {one.id: one for name in self._kin[work.name] for one in self._at.get((name, self._key[row.id]), ())}
        found.update({one.id: one for one in self._root.get(row.repeat_of or row.id, ())})
        return tuple(found.values())


def _scatter(facts: Facts, work: Work, row: Reading, alike: tuple[Reading, ...]) -> Iterator[Problem]:
    """Whether repeats on one sheet spread more than the instrument's own doubt allows.

    The doubt of the verdict cannot be asked: it already holds the spread.
    """
    shown = unit(row.unit)
    if shown is None or not row.value.is_number or row.value.number is None:
        return
    inside = range_for(
        row.value.number, ranges_in(facts.instruments.get(work.sheet.instrument), work.sheet.function, shown)
    )
    mine = {one.id for one in work.rows}
    numbers = [
        there
        for one in alike
        if one.id in mine
        and one.value.is_number
        and one.value.number is not None
        and (there := in_unit(one.value.number, one.unit, shown)) is not None
    ]
    if inside is None or len(numbers) < 2:
        return
    half = (max(numbers) - min(numbers)) / 2
    doubt = quick_doubt(float(row.value.number), inside)
    if half > Decimal(str(doubt)):
        yield facts.problem(
            ENTRY,
            row.id,
            found=f"{len(numbers)} repeats of {row.id} spread by {half.normalize():f} {shown.symbol} to either side, "
            f"more than the instrument's doubt of {doubt:.2g} {shown.symbol}",
            needed="an account of the scatter is needed where a conclusion rests on the reading",
            mend="Look for what varied (contact, warm-up, position), record it, and repeat.",
        )
