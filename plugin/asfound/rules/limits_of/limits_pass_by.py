"""Of a test that has limits, at least one speaks to its readings; or a note says that none does.

Fails: leakage at high frequency read into 400 Ω, and the one limit of the plan's sets for it is for 200 Ω: the readings
are held against nothing.
Passes: the same into 200 Ω, or with some of its readings into 400 Ω; and a planned test that says `limits: []`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.model.facts import Facts
from asfound.model.limits import Limit
from asfound.model.verdict import LimitRef, Outcome
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import Work, answered, works
from asfound.verdicts.context import Setting
from asfound.verdicts.judge import candidates

ENTRY = Entry(
    name="limits-pass-by",
    family=Family.COMPLETENESS,
    level=Level.NOTE,
    title="Where no limit speaks to the readings of a test that has some, the reader is told so, and why.",
    reason="A condition typed wrongly, or read otherwise, takes every verdict of a test away without a word.",
    source="ISO/IEC 17025:2017, 7.8.6.2 a and b (to which results a statement applies, and which clauses)",
    status="confirmed",
    mend="Record or correct the condition; else read the test under a limit's conditions as well, or "
    "say in the plan that no limit is meant: limits: [].",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a test of the protocol, at the first of its sheets, whatever uses of it were planned."""
    if facts.case.plan is None:
        return
    # Where something is not on record a limit would speak, and the verdict says so.
    spoken = {
        facts.case.reading[one.subject].sheet
        for one in facts.verdicts
        if one.subject in facts.case.reading and (one.limit is not None or one.outcome is not Outcome.NO_REQUIREMENT)
    }
    read: dict[str, list[tuple[Work, tuple[Reading, ...]]]] = {}
    for work in works(facts):
        if work.test is not None and (rows := answered(work.rows)):
            read.setdefault(work.sheet.test.partition("--")[0], []).append((work, rows))
    for found in read.values():
        # A reading that cannot be read may be the one a limit speaks to.
        if any(work.name in spoken or facts.unread.test(work.sheet.test) for work, _ in found):
            continue
        for work, rows in found:
            limits = [
                (ref, limit)
                for ref, limit in candidates(facts.book.sets, facts.case.plan, work.sheet.test)
                if limit.result is None
            ]
            if limits:
                yield _problem(facts, work, rows, limits)
                break


def _problem(facts: Facts, work: Work, rows: Sequence[Reading], limits: Sequence[tuple[LimitRef, Limit]]) -> Problem:
    ids = named([ref.id for ref, _ in limits])
    said = ""
    if work.table is not None:
        setting = Setting.of(work.name, work.sheet, work.table, facts.case.items)
        said = next((told for _, limit in limits if (told := _differs(setting, rows[0], limit))), "")
    return facts.problem(
        ENTRY, work.name,
        found=f"no limit for the test speaks to the readings of {work.name} ({ids}){said}",
        needed="a look at its conditions is needed",
    )  # fmt: skip


def _differs(setting: Setting, row: Reading, limit: Limit) -> str:
    """The first condition of a limit that is another at a reading; empty where it gives way to a maker's value."""
    for name, allowed in (*limit.only.items(), *limit.when.items()):
        found = setting.spoken(row, name)
        if not any(setting.matches(row, name, one) for one in allowed):
            stands = f'is "{found}" at {row.id}' if found is not None else "is not on record"
            # In quotation marks, since a value may hold "and" or "or" itself.
            speaks = " or ".join(f'"{one}"' for one in allowed)
            return f": {name} {stands}, and it speaks of {speaks}"
    for name, barred in limit.unless.items():
        if any(setting.matches(row, name, one) for one in barred):
            return f': {name} is "{setting.spoken(row, name)}" at {row.id}, of which it does not speak'
    return ""
