"""A count in the text is the one in the table.

Fails: "in 7 of 10 flexes [R-flex-1]" where the table says 3 of 10; "nine of ten trials [S-alarm]" where eight rows say
yes; "30 of 32 combinations [S-output]" where 31 were measured.
Passes: "in [=R-flex-1] flexes"; "in three of ten flexes [R-flex-1]", which is what the table says, warns.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.model.verdict import CellState
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import Said
from asfound.rules.report._cited import say, sentences_of
from asfound.rules.report._typed import Counted, counted

ENTRY = Entry(
    name="count-retyped",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A count in the text is the one in the table it cites.",
    reason="How often something happened decides between a fault and a chance; the text must not round it.",
    source="common practice, no source",
    status="common practice",
    mend="Print the count by its id, as in [=R-flex-1], or correct it.",
    rows=("R95",),
)


class _Known(Struct, frozen=True):
    """A count on record: `n` of `of`, where; `printed` says whether a reference can print it."""

    ref: str
    n: int
    of: int
    printed: bool = False


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a count. A count that shares neither figure with the record speaks of something else."""
    for text, sentence in sentences_of(facts):
        known: tuple[_Known, ...] | None = None
        for typed in counted(sentence.text):
            if known is None:
                known = tuple(_known(facts, sentence.refs))
            problem = _judge(facts, text, typed, known)
            if problem is not None:
                yield problem


def _judge(facts: Facts, text: Said, typed: Counted, known: tuple[_Known, ...]) -> Problem | None:
    same = next((one for one in known if (one.n, one.of) == (typed.n, typed.of)), None)
    if same is not None:
        if not same.printed:
            return None
        found = f'types "{typed.shown.strip()}", which is the value of {same.ref}'
        return say(
            facts, ENTRY, text, same.ref, found, f"a reference is needed instead: [={same.ref}]", level=Level.WARN
        )
    near = next((one for one in known if one.of == typed.of), None) or next(
        (one for one in known if one.printed and one.n == typed.n), None
    )
    if near is None:
        return None
    found = f'types "{typed.shown.strip()}" beside {near.ref}, which has {near.n} of {near.of}'
    return say(facts, ENTRY, text, near.ref, found, "the count on record is needed")


def _known(facts: Facts, refs: tuple[str, ...]) -> Iterator[_Known]:
    for ref in refs:
        row = facts.case.reading.get(ref)
        if row is not None and row.value.kind is ValueKind.COUNT and row.value.number is not None and row.value.of:
            yield _Known(ref, int(row.value.number), row.value.of, printed=True)
        if ref in facts.case.sheets:
            yield from _of_sheet(facts, ref)
    rows = [row for ref in refs if (row := facts.case.reading.get(ref)) is not None]
    said = [row.value.kind for row in rows if row.value.kind in {ValueKind.YES, ValueKind.NO}]
    if len(said) > 1:
        for kind in (ValueKind.YES, ValueKind.NO):
            yield _Known("the readings cited", said.count(kind), len(said))


def _of_sheet(facts: Facts, ref: str) -> Iterator[_Known]:
    """What can be counted of a sheet: yes and no, counts added up, combinations measured."""
    rows = facts.case.standing(ref)
    said = [row.value.kind for row in rows if row.value.kind in {ValueKind.YES, ValueKind.NO}]
    if said:
        for kind in (ValueKind.YES, ValueKind.NO):
            yield _Known(ref, said.count(kind), len(said))
    counts = [(int(row.value.number), row.value.of) for row in rows if row.value.number is not None and row.value.of]
    if counts:
        yield _Known(ref, sum(n for n, _ in counts), sum(of for _, of in counts))
    for grid in facts.coverage:
        if grid.test == facts.case.sheets[ref].test:
            done = grid.count(CellState.DONE) + grid.count(CellState.FAILING)
            yield _Known(ref, done, len(grid.cells))
            yield _Known(ref, len(grid.cells) - done, len(grid.cells))
