"""What was wrong with the calculations of a case, as problems of the rule that speaks of it."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.worked import Lack, WorkFault
from asfound.problems import Entry, Problem


def told(facts: Facts, entry: Entry, *lacks: Lack) -> Iterator[Problem]:
    """A problem for each fault of these kinds."""
    for worked in facts.worked:
        for fault in worked.faults:
            if fault.lack in lacks and not _unread(facts, worked.ref, fault):
                yield facts.problem(
                    entry, worked.ref, *fault.path, about="", found=f"{worked.ref}: {fault.found}", needed=fault.needed,
                    mend=fault.mend,
                )  # fmt: skip


def _unread(facts: Facts, ref: str, fault: WorkFault) -> bool:
    """Whether a fault may be no more than what a record it takes in, and that cannot be read, makes of it."""
    record = facts.case.calculations.get(ref)
    if record is None or facts.unread.nothing:
        return False
    if fault.lack is Lack.FAILED:
        return facts.unread.on(ref)
    if fault.lack is Lack.ROWS and fault.path == ("series", "evidence") and record.series is not None:
        return facts.unread.on(record.series.evidence)
    if fault.lack is Lack.ROWS and record.rows is not None:
        return fault.path[-1:] in {("sheet",), ("where",)} and facts.unread.on(record.rows.sheet)
    if fault.lack is Lack.INPUT and fault.path[:1] == ("inputs",):
        given = record.inputs.get(fault.path[1])
        refs = (given,) if isinstance(given, str) else given if isinstance(given, tuple) else ()
        return facts.unread.any(refs)
    return False
