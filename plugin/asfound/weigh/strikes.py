"""Strike-out: what falls when a record, a thing, an instrument or somebody's work is taken away.

A strike asks what is left, and nothing else: it never raises a level. What spoke against the conclusion is not answered
by being taken away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from msgspec import Struct

from asfound import verdicts
from asfound.model.facts import Facts
from asfound.model.ids import sort_key
from asfound.model.limits import Test
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.verdict import Verdict
from asfound.model.weighing import Ceiling, Fall, Standing, Strike, rank
from asfound.weigh.ceilings import ceiling
from asfound.weigh.ground import Ground, answers
from asfound.weigh.standings import standing

_PARTS = ("mechanism", "reason")


class Whole(Struct, frozen=True):
    """A case weighed with all its records: what a strike is compared with."""

    ground: Ground
    standings: Mapping[str, Standing]
    mechanism: Ceiling
    reason: Ceiling
    judged: frozenset[str]
    """Sheets and derived results that a limit speaks of."""
    hangs_on: Mapping[str, frozenset[str]]
    """Of each explanation the records without any one of which it is weighed again."""

    @classmethod
    def of(cls, facts: Facts) -> Whole:
        """Weigh the case with all its records."""
        ground = Ground(facts)
        every = sorted(facts.case.explanations.items(), key=lambda pair: sort_key(pair[0]))
        standings = {ref: standing(ground, ref, one) for ref, one in every}
        mechanism = ceiling(ground, "mechanism", standings)
        reading = facts.case.reading
        judged = frozenset(
            reading[one.subject].sheet if one.subject in reading else one.subject
            for one in facts.verdicts
            if one.limit is not None
        )
        hangs_on = {ref: frozenset(_hangs_on(ground, one)) for ref, one in standings.items()}
        return cls(ground, standings, mechanism, ceiling(ground, "reason", standings, mechanism), judged, hangs_on)


def _hangs_on(ground: Ground, one: Standing) -> Iterator[str]:
    """The evidence for and against an explanation, and the sheets of the tests that can speak to what it needs."""
    for each in one.weights:
        yield from ground.hangs_on(each.ref)
    for name in {name for need in one.needs for name in need.capable}:
        yield from (sheet for sheet, _ in ground.case.sheets_of(name))


def known(facts: Facts, ref: str) -> bool:
    """Whether anything in the case bears this id: a record, an instrument, a derived result, or a role."""
    return facts.exists(ref) or ref in facts.case.head.people


def without(facts: Facts, refs: Iterable[str], whole: Whole | None = None) -> Strike:
    """What falls without some records of a case.

    A reference is the id of an instrument, item, sheet, reading, derived result, photograph or other piece of evidence,
    statement, inspection row, fact of the scene or the room, event, clock, planned test or finding; or a role of
    case.yml, whose readings, pictures, inspection and statements then go. Verdicts and results are computed again
    where single readings go; where whole sheets go, nothing else of the case depends on them. Raises nothing; an id
    that stands nowhere takes nothing away.
    """
    struck = tuple(dict.fromkeys(refs))
    base = whole or Whole.of(facts)
    gone = taken(facts, struck)
    computed = _again(facts, gone)
    lost = frozenset(result.id for result in facts.results if result.id not in computed.result)
    return _strike(base, struck, gone | lost, computed)


def strikes(whole: Whole) -> tuple[Strike, ...]:
    """What falls with each record by itself: only those with which anything falls, the most first."""
    facts = whole.ground.facts
    found = []
    results = _results_by_sheet(facts)
    for ref in _candidates(whole):
        gone = taken(facts, (ref,))
        lost = frozenset(one for sheet in gone for one in results.get(sheet, ()))
        one = _strike(whole, (ref,), gone | lost, None)
        if one.anything:
            found.append(one)
    return tuple(sorted(found, key=_size))


def _size(one: Strike) -> tuple[int, int, int, int, object]:
    drop = sum(_drop(fall) for fall in one.levels)
    return -drop, -len(one.statuses), -len(one.findings), -len(one.verdicts), sort_key(one.refs[0])


def _drop(fall: Fall) -> int:
    return rank(ConfidenceLevel(fall.before)) - rank(ConfidenceLevel(fall.after))


# --- what goes


def taken(facts: Facts, refs: Iterable[str]) -> frozenset[str]:
    """Every record that goes with some: the sheets of an instrument, what is of an item or a picture, a role's work.

    The readings of a sheet that is gone are not listed; a sheet is gone when none of its readings is left.
    """
    case = facts.case
    gone: set[str] = set()
    for ref in refs:
        gone.add(ref)
        if ref in case.head.people:
            gone.update(_work_of(facts, ref))
        elif ref[:1] == "M":
            gone.update(name for name, sheet in case.sheets.items() if sheet.instrument == ref)
        elif ref[:1] == "I":
            gone.update(_with_item(facts, ref))
        elif ref[:1] == "P":
            gone.update(name for name, _ in case.sheets_of(ref.removeprefix("P-")))
    _with_derived(facts, gone)
    for name in {case.reading[ref].sheet for ref in gone if ref in case.reading}:
        if not answers(row for row in case.standing(name) if row.id not in gone):
            gone.add(name)
    _with_models(facts, gone)
    return frozenset(gone)


def _with_derived(facts: Facts, gone: set[str]) -> None:
    """Take along what was made of a picture or file that is gone: a crop shows nothing that its original does not."""
    while more := {ref for ref, one in facts.case.evidence.items() if one.derived_from in gone and ref not in gone}:
        gone |= more


def _with_models(facts: Facts, gone: set[str]) -> None:
    """Take along every calculation that lacks one of its inputs, and its answers, and those that use them."""
    left = list(facts.worked)
    while True:
        fell = [one for one in left if one.ref in gone or any(_without(facts, ref, gone) for ref in one.of)]
        if not fell:
            return
        for one in fell:
            gone.update((one.ref, *(answer.id for answer in one.answers)))
        left = [one for one in left if one not in fell]


def _without(facts: Facts, ref: str, gone: set[str]) -> bool:
    reading, result = facts.case.reading.get(ref), facts.result.get(ref)
    sheet = reading.sheet if reading is not None else result.sheet if result is not None else ""
    return ref in gone or (sheet != "" and sheet in gone)


def _work_of(facts: Facts, role: str) -> Iterator[str]:
    case = facts.case
    yield from (name for name, sheet in case.sheets.items() if sheet.by == role)
    yield from (row.id for row in case.inspection if row.by == role)
    yield from (ref for ref, one in case.evidence.items() if one.taken_by == role)
    yield from (ref for ref, one in case.statements.items() if one.by == role)
    for told in case.statements.values():
        if told.by == role:
            yield from told.evidence  # a statement on paper goes with the statement
    if case.scene is not None and case.scene.recorded_by == role:
        yield from (*case.scene.settings, *case.scene.connections)


def _with_item(facts: Facts, ref: str) -> Iterator[str]:
    case = facts.case
    yield from (name for name, sheet in case.sheets.items() if ref in (sheet.item, *sheet.accessories))
    yield from (row.id for row in case.inspection if row.item == ref)
    yield from (name for name, one in case.evidence.items() if one.items == (ref,))
    yield from (name for name, one in case.findings.items() if ref in one.about)
    if case.scene is not None:
        yield from (name for name, one in case.scene.settings.items() if one.item == ref)


def _results_by_sheet(facts: Facts) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for result in facts.results:
        sheets = {facts.case.reading[ref].sheet for ref in result.of if ref in facts.case.reading}
        for name in sorted(sheets | {result.sheet}):
            found.setdefault(name, []).append(result.id)
    return found


def _again(facts: Facts, gone: frozenset[str]) -> Facts:
    """The facts with verdicts and results computed without the readings that went."""
    case = facts.case
    sheets = {name: sheet for name, sheet in case.sheets.items() if name not in gone}
    if len(sheets) == len(case.sheets) and not gone.intersection(case.reading):
        left = tuple(result for result in facts.results if result.id not in gone)
        return replace(facts, results=left, weighing=None)
    readings = {
        name: replace(table, rows=tuple(row for row in table.rows if row.id not in gone))
        for name, table in case.readings.items()
        if name not in gone
    }
    tests: dict[str, Test] = {}
    for protocol in facts.protocols:
        for name, test in protocol.tests.items():
            tests.setdefault(name, test)
    computed = verdicts.compute(replace(case, sheets=sheets, readings=readings), facts.book, tests, facts.instruments)
    # A calculation lost an input and is gone, or lost none and stands as it was.
    kept = [result for result in facts.results if result.id in facts.working]
    results = tuple(result for result in (*computed.results, *kept) if result.id not in gone)
    return replace(facts, verdicts=computed.verdicts, results=results, weighing=None)


# --- what falls


def _strike(whole: Whole, refs: tuple[str, ...], gone: frozenset[str], computed: Facts | None) -> Strike:
    """`computed` are the facts without what went; None where only whole sheets went, so that the rest is as it was."""
    facts = whole.ground.facts
    ground = whole.ground.without(gone, _same_case(facts, computed))
    fallen = tuple(
        ref for ref in facts.case.findings if ref not in refs and whole.ground.sources(ref) and not ground.sources(ref)
    )
    standings = {ref: _standing(whole, ground, ref, one) for ref, one in whole.standings.items()}
    before = {"mechanism": whole.mechanism, "reason": whole.reason}
    touched = any(standings[ref] is not one for ref, one in whole.standings.items())
    # Settings, clocks, statements and, where something comes and goes, sheets have a say beyond what cites them.
    wide = any(ref[:1] in {"A", "K", "W"} or (ref[:1] == "S" and whole.ground.told_intermittent) for ref in gone)
    after = dict(zip(_PARTS, _ceilings(ground, standings), strict=True)) if touched or wide else before
    return Strike(
        refs,
        tuple(sorted(fallen, key=sort_key)),
        _verdicts(whole, gone, computed),
        _results(facts, refs, gone, computed),
        tuple(
            Fall(ref, str(one.status), str(standings[ref].status))
            for ref, one in whole.standings.items()
            if one.status is not standings[ref].status
        ),
        tuple(
            Fall(part, str(before[part].level), str(after[part].level))
            for part in _PARTS
            if rank(after[part].level) < rank(before[part].level)
        ),
    )


def _same_case(facts: Facts, computed: Facts | None) -> Facts:
    return facts if computed is None else replace(computed, case=facts.case)


def _standing(whole: Whole, ground: Ground, ref: str, one: Standing) -> Standing:
    """The standing without what went; the one there was, where nothing it rests on went."""
    touched = not ground.gone.isdisjoint(whole.hangs_on[ref])
    return standing(ground, ref, ground.case.explanations[ref], one) if touched else one


def _ceilings(ground: Ground, standings: Mapping[str, Standing]) -> tuple[Ceiling, Ceiling]:
    mechanism = ceiling(ground, "mechanism", standings)
    return mechanism, ceiling(ground, "reason", standings, mechanism)


def _results(facts: Facts, refs: tuple[str, ...], gone: frozenset[str], computed: Facts | None) -> tuple[str, ...]:
    """Derived results that cannot be computed any more, or come out otherwise."""
    lost = {one.id for one in facts.results if one.id in gone}
    if computed is not None:
        lost |= {one.id for one in facts.results if one.id in computed.result and computed.result[one.id] != one}
    return tuple(sorted(lost.difference(refs), key=sort_key))


def _verdicts(whole: Whole, gone: frozenset[str], computed: Facts | None) -> tuple[str, ...]:
    """Readings, results, or whole sheets whose verdicts are gone or are no longer what they were."""
    facts = whole.ground.facts
    fell = gone & whole.judged
    if computed is not None:
        now = {_key(one): one.outcome for one in computed.verdicts}
        reading = facts.case.reading
        fell |= {
            one.subject
            for one in facts.verdicts
            if one.limit is not None
            and now.get(_key(one)) is not one.outcome
            and not (one.subject in reading and reading[one.subject].sheet in gone)
        }
    return tuple(sorted(fell, key=sort_key))


def _key(one: Verdict) -> tuple[str, str]:
    return one.subject, one.limit.id if one.limit is not None else ""


# --- what is tried


def _candidates(whole: Whole) -> tuple[str, ...]:
    """What is taken away by itself, one after the other: all that evidence comes from, and all that is cited."""
    ground, case = whole.ground, whole.ground.case
    found: set[str] = set(case.sheets)
    found.update(sheet.instrument for sheet in case.sheets.values())
    for one in whole.standings.values():
        for each in one.weights:
            found.update(ref for source in ground.sources(each.ref) for ref in source.refs if ref[:1] not in {"R", "S"})
    measured = {ref for sheet in case.sheets.values() for ref in (sheet.item, *sheet.accessories)}
    measured.update(row.item for row in case.inspection)
    found.update(ref for ref in measured if ref in case.items)
    found.update(role for role in case.head.people if any(True for _ in _work_of(ground.facts, role)))
    return tuple(sorted(found, key=sort_key))
