"""Floor 3½: from readings and limits to verdicts, derived results and coverage. Pure: reads and writes nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from asfound.model.bench import Instrument
from asfound.model.case import Case
from asfound.model.limits import Book, Limit, Test
from asfound.model.pause import without_collecting
from asfound.model.verdict import Coverage, Result, Verdict
from asfound.model.work import Plan
from asfound.verdicts.coverage import cover
from asfound.verdicts.judge import candidates, judge_sheet
from asfound.verdicts.measured import prepare
from asfound.verdicts.of_results import judge_result
from asfound.verdicts.results import derive

__all__ = ["Computed", "compute"]


class Computed(Struct, frozen=True):
    """Everything computed from the readings of a case."""

    verdicts: tuple[Verdict, ...] = ()
    results: tuple[Result, ...] = ()
    coverage: tuple[Coverage, ...] = ()
    limits: Mapping[str, Limit] | None = None
    """The limits that spoke, by `set/name`."""


def compute(case: Case, book: Book, tests: Mapping[str, Test], instruments: Mapping[str, Instrument]) -> Computed:
    """Verdicts, results and coverage of a case.

    `tests` are the protocol tests in reach of the plan, by name. A case without a plan has nothing to compute:
    what a reading is held against is chosen before it is taken.
    """
    with without_collecting():
        return Computed() if case.plan is None else _compute(case, case.plan, book, tests, instruments)


def _compute(
    case: Case, plan: Plan, book: Book, tests: Mapping[str, Test], instruments: Mapping[str, Instrument]
) -> Computed:
    works = {name: work for name in case.sheets if (work := prepare(name, case, tests, instruments)) is not None}
    verdicts: list[Verdict] = []
    used: dict[str, Limit] = {}
    for work in works.values():
        planned = work.sheet.test
        limits = candidates(book.sets, plan, planned)
        last = None
        for verdict in judge_sheet(work, limits, plan, planned):
            verdicts.append(verdict)
            ref = verdict.limit
            if ref is not None and ref is not last:
                last = ref
                used[ref.id] = book.sets[ref.set].limits[ref.name]
    results: list[Result] = []
    for work in works.values():
        made = [
            judge_result(result, work, candidates(book.sets, plan, work.sheet.test), plan)
            for result in derive(work, works)
        ]
        results += [result for result, _ in made]
        for _, spoken in made:
            for verdict in spoken:
                verdicts.append(verdict)
                assert verdict.limit is not None
                used[verdict.limit.id] = book.sets[verdict.limit.set].limits[verdict.limit.name]
    return Computed(tuple(verdicts), tuple(results), _coverage(case, plan, tests, verdicts), used)


def _coverage(case: Case, plan: Plan, tests: Mapping[str, Test], verdicts: Iterable[Verdict]) -> tuple[Coverage, ...]:
    if not any(test.coverage for test in plan.tests.values()):
        return ()
    by_reading: dict[str, list[Verdict]] = {}
    for verdict in verdicts:
        for ref in dict.fromkeys((verdict.subject, *verdict.members)):
            by_reading.setdefault(ref, []).append(verdict)
    grids = [cover(case, name, tests.get(name.partition("--")[0]), by_reading) for name in plan.tests]
    return tuple(grid for grid in grids if grid is not None)
