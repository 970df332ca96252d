"""The examiner's own bench was checked as the protocol asks.

Fails: the protocol asks for "leads nulled" and "outlet tested"; the sheet's checks name neither.
Passes: the sheet carries both checks with their times and what was read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import works

ENTRY = Entry(
    name="bench-unchecked",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Every sheet carries the checks of the bench that its protocol asks for.",
    reason="A lead that was not nulled or an outlet wired wrongly gives a clean series of wrong readings.",
    source="ISO/IEC 17025:2017, 6.4.10 and 7.7.1",
    status="from memory",
    mend="Enter the checks below the sheet, with time, reference and reading; or say in its note why one was left out.",
    rows=("R61",),
)

_WORD = re.compile(r"[a-z0-9]{3,}")


def _words(text: str) -> frozenset[str]:
    # A trailing s is dropped, so that "lead nulled" answers "leads nulled".
    return frozenset(word.rstrip("s") for word in _WORD.findall(text.casefold()))


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet that holds readings, naming the checks that are missing."""
    for work in works(facts):
        if work.test is None or not work.rows:
            continue
        made = [_words(one.what) for one in work.sheet.checks]
        missing = [asked for asked in work.test.bench_checks if not any(_answers(_words(asked), one) for one in made)]
        if missing:
            yield facts.problem(
                ENTRY,
                work.name,
                "checks",
                found=f"the sheet {work.name} lacks {len(missing)} of the checks its test asks for ("
                + "; ".join(missing)
                + ")",
                needed="the check of instrument and bench beside the readings is needed",
            )


def _answers(asked: frozenset[str], made: frozenset[str]) -> bool:
    """Whether a check made is the one asked for: half of its words or more are there."""
    return bool(asked) and 2 * len(asked & made) >= len(asked)
