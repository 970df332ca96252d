"""The times of readings leave the time that reading takes.

One hand reads one instrument at a time; two conditions of one test take a second at least to change from one to the
other; and a test that has to settle, by its protocol, is read when it has.

Fails: the examiner reads M-1 and M-2, on two items, at the same minute; two settings of one sheet at the same second;
the skin simulant read twenty minutes into a sheet whose test settles for an hour.
Passes: two instruments on one item at one moment, side by side; rows of one minute, whose seconds nobody wrote down.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from asfound.measure.show import show_duration
from asfound.measure.units import convert, unit
from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import Work, answered, canonical, works

ENTRY = Entry(
    name="readings-too-close",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The times of readings leave the time that reading takes.",
    reason="Times that no hand could have kept were written down afterwards, and so may the numbers beside them.",
    source="common practice, no source",
    status="common practice",
    mend="Compare with the paper and correct what was copied wrongly; where two people read, give each sheet its own "
    "role; where a logger read, say so in the note of the row.",
    rows=("R60",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a pair of sheets, then one a sheet and kind."""
    every = [work for work in works(facts) if work.rows]
    yield from _two_at_once(facts, every)
    for work in every:
        yield from _within_a_second(facts, work)
        yield from _before_it_settled(facts, work)


def _two_at_once(facts: Facts, every: list[Work]) -> Iterator[Problem]:
    seen: dict[tuple[str, str], list[tuple[Work, Reading]]] = {}
    told: set[tuple[str, str]] = set()
    for work in every:
        for row in answered(work.rows):
            if row.at is None or row.note:
                continue
            key = (str(work.sheet.by), row.at.at.isoformat())
            for other, before in seen.get(key, ()):
                apart = other.sheet.instrument != work.sheet.instrument and not _things(other) & _things(work)
                if apart and (other.name, work.name) not in told:
                    told.add((other.name, work.name))
                    yield facts.problem(
                        ENTRY,
                        row.id,
                        "at",
                        found=f"{row.id} and {before.id} were read by the same hand at the same moment, {row.at.text}, "
                        f"with {work.sheet.instrument} and {other.sheet.instrument} on different things",
                        needed="times at which one person can have read both are needed",
                    )
            seen.setdefault(key, []).append((work, row))


def _things(work: Work) -> frozenset[str]:
    return frozenset((work.sheet.item, *work.sheet.accessories))


def _within_a_second(facts: Facts, work: Work) -> Iterator[Problem]:
    """Rows of other conditions at one second. Times without seconds, and rows with a note, say too little for it."""
    seen: dict[str, Reading] = {}
    for row in answered(work.rows):
        if row.at is None or row.note or not _has_seconds(row.at):
            continue
        before = seen.setdefault(row.at.at.isoformat(), row)
        if before is not row and canonical(work, before) != canonical(work, row):
            yield facts.problem(
                ENTRY,
                row.id,
                "at",
                found=f"{row.id} and {before.id} are of other conditions and have one time, {row.at.text}",
                needed="the time it takes to go from one condition to the next is needed between them",
            )
            return


def _has_seconds(moment: Moment) -> bool:
    return moment.text.partition(" ")[2].partition(" ")[0].count(":") == 2 or moment.at.second != 0


def _before_it_settled(facts: Facts, work: Work) -> Iterator[Problem]:
    if work.test is None or work.test.settles is None:
        return
    settles, seconds = work.test.settles, unit("s")
    of = unit(settles.unit)
    if of is None or seconds is None:
        return
    least = timedelta(seconds=float(convert(settles.value, of, seconds)))
    for row in answered(work.rows):
        if row.at is None or row.note or row.at.at - work.sheet.from_.at >= least:
            continue
        yield facts.problem(
            ENTRY,
            row.id,
            "at",
            found=f"{row.id} was read {show_duration(row.at.at - work.sheet.from_.at)} into the sheet {work.name}",
            needed=f"by the protocol {show_duration(least)} are needed until “{work.test.title}” has settled",
        )
        return
