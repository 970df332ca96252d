"""Of a test for which a set at hand holds a limit, the plan names one of the sets; or a note says that it names none.

Fails: touch current was read, and the plan names no set with a limit for it, though four at hand have one.
Passes: one of them is named; a planned test that says `limits: []`; a limit for other conditions than any reading's;
one that stands there for comparison alone; and one of a kind, in service or a maker's, of which the plan names a set
for other tests of the same protocol.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.model.facts import Facts
from asfound.model.limits import Limit, LimitKind
from asfound.model.verdict import Outcome
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import Work, answered, works
from asfound.verdicts.context import Setting
from asfound.verdicts.judge import candidates

ENTRY = Entry(
    name="limits-not-chosen",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="Where the plan names no limit for a test, and there is one at hand, the reader is told so.",
    reason="A set left out takes every verdict of a test away, and with them what an adverse reading demands.",
    source="ISO/IEC 17025:2017, 7.1.3 (the requirements a result is held against are defined beforehand) and 7.8.6.2",
    status="from memory",
    mend="Name the set that applies where the device was used, or say in the plan that no limit is meant: limits: [].",
    rows=("R65",),
)
_OF_ONE_THING = frozenset({LimitKind.EXEMPLAR, LimitKind.OWN_HISTORY})


def check(facts: Facts) -> Iterator[Problem]:
    """One note a test of the protocol, at the plan's choice of sets."""
    plan = facts.case.plan
    if plan is None:
        return
    # A value that the maker states is a limit too, and no set holds it.
    judged = {
        facts.case.reading[one.subject].sheet
        for one in facts.verdicts
        if one.subject in facts.case.reading and one.outcome is not Outcome.NO_REQUIREMENT
    }
    read: dict[str, list[tuple[Work, tuple[Reading, ...]]]] = {}
    for work in works(facts):
        if work.test is not None and (rows := answered(work.rows)):
            read.setdefault(work.protocol_name, []).append((work, rows))
    for test, found in read.items():
        uses = [work.sheet.test for work, _ in found]
        meant = any(use in plan.tests and plan.tests[use].limits is not None for use in uses)
        if meant or any(work.name in judged for work, _ in found):
            continue
        if any(candidates(facts.book.sets, plan, use) for use in uses):
            continue
        if sets := _speaking(facts, test, found):
            yield facts.problem(
                ENTRY,
                "plan.yml",
                "limit_sets",
                about=test,
                found=f"the readings of {named(work.name for work, _ in found)} are held against nothing, since the "
                f"plan names no limit set that has one for {test}; {named(sets)} {'has' if len(sets) == 1 else 'have'}",
                needed="a look at the choice of sets is needed",
            )


def _speaking(facts: Facts, test: str, found: Sequence[tuple[Work, tuple[Reading, ...]]]) -> list[str]:
    barred = _OF_ONE_THING | _chosen(facts, test)
    return [
        name
        for name, one in sorted(facts.book.sets.items())
        if any(
            test in limit.tests
            and limit.result is None
            and not limit.kind.reference_only
            and limit.kind not in barred
            and any(_speaks(facts, limit, *at) for at in found)
            for limit in one.limits.values()
        )
    ]


def _chosen(facts: Facts, test: str) -> frozenset[LimitKind]:
    """The kinds of authority that the plan has chosen a set of already, for other tests of the same protocol.

    Whoever holds leakage against one country's figures has not left out the other country's, and a thing has one maker.
    """
    beside = {name for one in facts.protocols if test in one.tests for name in one.tests}
    plan, sets = facts.case.plan, facts.book.sets
    return frozenset(
        limit.kind
        for name in (() if plan is None else plan.limit_sets)
        if name in sets
        for limit in sets[name].limits.values()
        if beside.intersection(limit.tests)
    )


def _speaks(facts: Facts, limit: Limit, work: Work, rows: Sequence[Reading]) -> bool:
    """Whether a limit is for the conditions of one reading of a sheet at least."""
    if work.table is None:
        return False
    setting = Setting.of(work.name, work.sheet, work.table, facts.case.items)
    asked = (*limit.only.items(), *limit.when.items())
    return any(
        all(any(setting.matches(row, name, one) for one in allowed) for name, allowed in asked)
        and not any(setting.matches(row, name, one) for name, barred in limit.unless.items() for one in barred)
        for row in rows
    )
