"""Floor 3¾: the calculations of a case, carried out. Pure: a long series is handed in by whoever read it.

Each takes readings, results, series or stated figures, runs a named calculation of `physics`, and gives its answers as
derived results with the records they rest on, so that prints, weighing and pages treat them like any other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct

from asfound.model.bench import Instrument
from asfound.model.calculation import Calculated
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.model.limits import Test
from asfound.model.verdict import Result
from asfound.model.worked import Lack, Worked, WorkFault
from asfound.workings.carry_out import carry_out
from asfound.workings.taking import Bench

__all__ = ["Workings", "answer_id", "work_out"]


class Workings(Struct, frozen=True):
    """What was worked out, and its answers as derived results."""

    worked: tuple[Worked, ...] = ()
    results: tuple[Result, ...] = ()


def work_out(
    case: Case,
    tests: Mapping[str, Test],
    instruments: Mapping[str, Instrument],
    results: Iterable[Result],
    series: Mapping[str, Mapping[str, Any]] | None = None,
    frozen: Iterable[Worked] = (),
    frozen_results: Iterable[Result] = (),
) -> Workings:
    """Carry out every calculation of a case.

    `series` are the columns of long series by the calculation (Z-...) that asks for them, in its units, as arrays.
    `frozen` is what an edition held: taken over where a series is not at hand, since it cannot be computed again.
    Calculations that use the answers of others come after them; a round of them is a fault of each.
    """
    if not case.calculations:
        return Workings()
    bench = Bench(case, tests, instruments, {one.id: one for one in results})
    kept = {one.ref: one for one in frozen}
    old = {one.id: one for one in frozen_results}
    done: dict[str, Worked] = {}
    made: list[Result] = []
    waiting = dict(sorted(case.calculations.items(), key=lambda pair: sort_key(pair[0])))
    while waiting:
        ready = [ref for ref, one in waiting.items() if not _waits(_results_in(one), waiting, case.calculations)]
        if not ready:
            break
        for ref in ready:
            record = waiting.pop(ref)
            before = kept.get(ref)
            if record.series is not None and before is not None and ref not in (series or {}):
                worked, found = before, tuple(old[one.id] for one in before.answers if one.id in old)
            else:
                worked, found = carry_out(bench, ref, record, (series or {}).get(ref))
            done[ref] = worked
            made += found
            bench.results.update({one.id: one for one in found})
    for ref, record in waiting.items():
        fault = WorkFault(
            Lack.ROUND, ("inputs",), "it waits for its own answer, through others",
            "calculations without a round are needed",
        )  # fmt: skip
        done[ref] = carry_out(bench, ref, record, None, (fault,))[0]
    return Workings(tuple(done[ref] for ref in sorted(done, key=sort_key)), tuple(made))


def _results_in(record: Calculated) -> tuple[str, ...]:
    """Ids of derived results a calculation takes in."""
    found: list[str] = []
    for given in record.inputs.values():
        refs = (given,) if isinstance(given, str) else given if isinstance(given, tuple) else ()
        found += [ref for ref in refs if ref[:1] == "Y"]
    return tuple(found)


def answer_id(ref: str, slug: str) -> str:
    """`Z-spot`, `energy` → `Y-spot-energy`."""
    return f"Y-{ref.removeprefix('Z-')}-{slug}"


def _waits(wanted: Iterable[str], waiting: Mapping[str, Any], known: Iterable[str]) -> bool:
    """Whether a result it takes in may still come of another calculation, or of itself.

    `Y-spot-2-energy` is an answer of `Z-spot-2` where there is one, and else one of `Z-spot`.
    """
    stems = {f"Y-{ref.removeprefix('Z-')}-": ref for ref in known}
    owners = (max((stem for stem in stems if want.startswith(stem)), key=len, default="") for want in wanted)
    return any(stems[stem] in waiting for stem in owners if stem)
