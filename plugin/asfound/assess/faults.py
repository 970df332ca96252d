"""Faults of an organisation's limits and protocols, put at their place as problems."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from asfound import limits
from asfound.intake import BenchReading
from asfound.limits import BookFault
from asfound.problems import Problem

_ENTRIES = {entry.name: entry for entry in limits.ENTRIES}


def book_problems(faults: Iterable[BookFault], bench: BenchReading) -> Iterator[Problem]:
    """Each fault as a problem. A fault in a file of ours would be found by our tests; it is shown all the same."""
    for fault in faults:
        entry = _ENTRIES[fault.rule]
        span = bench.at(fault.file, *fault.path)
        yield Problem(fault.rule, entry.level, span, fault.found, fault.needed, fault.mend or entry.mend)
