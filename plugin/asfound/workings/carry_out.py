"""One calculation of a case: its inputs taken, run, and its answers told."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from msgspec import structs

from asfound.measure.reduce import reduce_extremes
from asfound.measure.show import with_unit
from asfound.measure.units import unit
from asfound.model.calculation import Calculated
from asfound.model.plots import Plot
from asfound.model.verdict import Result
from asfound.model.worked import Lack, Worked, WorkedAnswer, WorkedInput, WorkFault
from asfound.physics.calc import WIDENED, Answer, Calculation, calculation, calculations, evaluate
from asfound.physics.sampled import Stored
from asfound.physics.saying import answer_text
from asfound.workings.taking import Bench, take, take_rows

BUCKETS = 300
"""A curve of more than four places for each of these is kept reduced to that."""
KIND = "worked out"
"""What derived results are called that come of a calculation."""


def carry_out(
    bench: Bench,
    ref: str,
    record: Calculated,
    series: Mapping[str, Any] | None,
    faults: Iterable[WorkFault] = (),
) -> tuple[Worked, tuple[Result, ...]]:
    """Run one calculation. Without answers where a fault stops it; every fault is told at once."""
    found = list(faults)
    of = calculation(record.calculation)
    if of is None:
        near = difflib.get_close_matches(record.calculation, calculations(), n=1)
        needed = f"“{near[0]}” is perhaps meant" if near else "a calculation that `asfound calc` lists is needed"
        found.append(WorkFault(Lack.NO_SUCH, ("calculation",), f"there is no “{record.calculation}”", needed))
        return _bare(ref, record, found), ()
    values, doubts, dofs, without, shown = _inputs(bench, of, record, found)
    rows, used, in_rows, row_dofs, unknown = _rows(bench, of, record, series, found)
    reaches = _reaches(of, record, found)
    of_refs = _of(shown, used, record)
    answers: tuple[Answer, ...] = ()
    plots: tuple[Plot, ...] = ()
    lacking: dict[str, list[str]] = {}
    if not any(one.stops for one in found):
        try:
            answers = evaluate(of, values, rows if of.columns else None, doubts, in_rows, dofs, row_dofs)
            lacking = _lacking(of, values, rows, (*without, *unknown))
            answers = _owned_up(answers, lacking, doubts)
        except (ValueError, ZeroDivisionError, OverflowError) as error:
            text = str(error) if isinstance(error, ValueError) else "it divides by zero or runs over"
            answers = ()
            found.append(WorkFault(Lack.FAILED, (), text, "inputs for which it can be computed are needed"))
        else:
            plots = _plots(of, values, rows, answers)
    results = tuple(_result(ref, of, answer, of_refs) for answer in answers)
    bench.lacking.update(one.id for answer, one in zip(answers, results, strict=True) if answer.name in lacking)
    told = tuple(
        WorkedAnswer(result.id, answer.name, answer_text(answer), answer.said)
        for answer, result in zip(answers, results, strict=True)
    )
    count = rows.size if isinstance(rows, Stored) else len(next(iter(rows.values()), ()))
    return (
        Worked(
            ref, of.name, of.title, of.formula, of.source, of.status, of.assumes, of.cautions, tuple(shown), told,
            of_refs, reaches, count, tuple(found), plots, bool(reaches) and of.dose,
        ),
        results,
    )  # fmt: skip


def _bare(ref: str, record: Calculated, faults: Sequence[WorkFault]) -> Worked:
    return Worked(ref, record.calculation, record.calculation, "", "", "", (), (), (), (), (), (), 0, tuple(faults))


def _inputs(
    bench: Bench, of: Calculation, record: Calculated, found: list[WorkFault]
) -> tuple[dict[str, Any], dict[str, float], dict[str, float], list[str], list[WorkedInput]]:
    """By input: the values, twice their standard doubts, the degrees of freedom behind those; inputs whose doubt, or
    part of it, is not on record; and what is shown."""
    values: dict[str, Any] = {}
    doubts: dict[str, float] = {}
    dofs: dict[str, float] = {}
    without: list[str] = []
    shown: list[WorkedInput] = []
    meant: set[str] = set()
    for name in record.inputs:
        if of.input(name) is None:
            known = ", ".join(one.name for one in of.inputs) or "none"
            near = difflib.get_close_matches(name, [one.name for one in of.inputs], n=1)
            needed = f"“{near[0]}” is perhaps meant" if near else f"its inputs are: {known}"
            meant.update(near)
            found.append(WorkFault(Lack.INPUT, ("inputs", name), f"{of.name} has no input “{name}”", needed))
    for one in of.inputs:
        if one.name not in record.inputs:
            if one.name in meant:
                continue  # told already, under the name that stands there
            if one.default is None:
                needed = f"“{one.name}” is needed: {one.what}"
                found.append(WorkFault(Lack.INPUT, ("inputs",), f"{of.name} is not given “{one.name}”", needed))
            else:
                default = one.default if isinstance(one.default, str) else f"{one.default:g}"
                of_unit = unit(one.unit) if one.unit else None
                text = with_unit(default, of_unit) if of_unit else f"{default} {one.unit}".strip()
                shown.append(WorkedInput(one.name, one.what, text, (), "taken, since nothing was said"))
            continue
        taken = take(bench, one, record.inputs[one.name])
        found += [fault for fault in (taken.fault, taken.remark) if fault is not None]
        if taken.fault is None and taken.shown is not None:
            values[one.name] = taken.value
            if taken.doubt:
                doubts[one.name], dofs[one.name] = taken.doubt, taken.dof
            without += [one.name] if taken.open else []
            shown.append(taken.shown)
    return values, doubts, dofs, without, shown


def _lacking(
    of: Calculation, values: Mapping[str, Any], rows: Mapping[str, Any], without: Sequence[str]
) -> dict[str, list[str]]:
    """By answer, the inputs and columns that move it among those whose doubt is not on record."""
    lacking: dict[str, list[str]] = {}
    # Held against what comes of the values alone: the ends of a range stand widened in the answers.
    bare = evaluate(of, values, rows if of.columns else None) if without else ()
    for name in without:
        near, beside = dict(values), rows
        if name in values:
            near[name] += abs(values[name]) * 1e-3 or 1e-3
        else:
            # A column is moved as a whole; what only counts from where it begins stays as it is.
            beside = {**rows, name: rows[name] + (float(abs(rows[name]).mean()) * 1e-3 or 1e-3)}
        try:
            there = {one.name: one for one in evaluate(of, near, beside if of.columns else None)}
        except (ValueError, ZeroDivisionError, OverflowError):
            there = {}
        for one in bare:
            moved = there.get(one.name)
            if moved is None or not _alike(moved, one):
                lacking.setdefault(one.name, []).append(name)
    return lacking


def _owned_up(
    answers: Sequence[Answer], lacking: Mapping[str, Sequence[str]], doubts: Mapping[str, float]
) -> tuple[Answer, ...]:
    """Answers with a doubt say of which input or column that moves them it holds none, or not all; else it would pass
    for whole."""
    told = []
    for one in answers:
        names = lacking.get(one.name, ()) if one.doubt or WIDENED in one.said else ()
        none, some = ([name for name in names if (name in doubts) is has] for has in (False, True))
        said = [one.said] if one.said else []
        if none:
            said.append(f"The doubt of {' and '.join(none)} is not on record, and is not in this figure.")
        if some:
            held = f"The doubt of {' and '.join(some)} is itself not whole"
            said.append(f"{held}, and what it lacks is not in this figure.")
        told.append(structs.replace(one, said=" ".join(said)))
    return tuple(told)


def _alike(one: Answer, other: Answer) -> bool:
    """Whether two answers say the same but for the rounding of sums."""
    pairs = ((one.value, other.value), (one.low, other.low), (one.high, other.high))
    return all(a is b or (a is not None and b is not None and math.isclose(a, b, rel_tol=1e-9)) for a, b in pairs)


def _rows(
    bench: Bench,
    of: Calculation,
    record: Calculated,
    series: Mapping[str, Any] | None,
    found: list[WorkFault],
) -> tuple[Mapping[str, Any], tuple[str, ...], Mapping[str, Any], Mapping[str, Any], tuple[str, ...]]:
    if record.rows is not None and record.series is not None:
        found.append(WorkFault(Lack.ROWS, ("rows",), "rows and a series are given", "one of the two is needed"))
        return {}, (), {}, {}, ()
    if not of.columns:
        if record.rows is not None or record.series is not None:
            where = "rows" if record.rows is not None else "series"
            found.append(WorkFault(Lack.ROWS, (where,), f"{of.name} takes no rows", "inputs alone are needed"))
        return {}, (), {}, {}, ()
    if record.rows is not None:
        taken = take_rows(bench, of, record.rows)
        if taken.fault is not None:
            found.append(taken.fault)
            return {}, (), {}, {}, ()
        import numpy as np

        columns, doubts, dofs = (
            {name: np.asarray(values, dtype=float) for name, values in one.items()}
            for one in (taken.columns, taken.doubts, taken.dofs)
        )
        return columns, taken.used, doubts, dofs, taken.open
    if record.series is None:
        names = ", ".join(one.name for one in of.columns)
        found.append(
            WorkFault(Lack.ROWS, (), f"{of.name} needs rows with {names}", "rows of a sheet, or a series, are needed")
        )
        return {}, (), {}, {}, ()
    if series is None:
        said = f"the series {record.series.evidence} could not be read"
        found.append(WorkFault(Lack.ROWS, ("series", "evidence"), said, "a file with its columns is needed"))
        return {}, (), {}, {}, ()
    return series, (record.series.evidence,), {}, {}, ()


def _reaches(of: Calculation, record: Calculated, found: list[WorkFault]) -> tuple[str, ...]:
    if record.reaches is None:
        return of.reaches
    wider = [one for one in record.reaches if one not in of.reaches]
    if wider:
        models = ", ".join(of.reaches) or "nothing beyond what its readings reach"
        said = f"it is said to reach {', '.join(wider)}, and {of.name} models {models}"
        found.append(WorkFault(Lack.REACH, ("reaches",), said, "no more than it models is needed"))
    return tuple(one for one in of.reaches if one in record.reaches)


def _of(shown: Sequence[WorkedInput], used: Sequence[str], record: Calculated) -> tuple[str, ...]:
    return tuple(dict.fromkeys([ref for one in shown for ref in one.of] + [*used]))


def _whole(of: Calculation, values: Mapping[str, Any]) -> dict[str, Any]:
    return {one.name: one.default for one in of.inputs if one.default is not None} | dict(values)


def _plots(
    of: Calculation, values: Mapping[str, Any], rows: Mapping[str, Any], answers: Sequence[Answer]
) -> tuple[Plot, ...]:
    """What there is to see, its long curves reduced with their extremes kept; nothing where it cannot be drawn.

    An answer stands without its picture.
    """
    if of.plots is None:
        return ()
    try:
        return tuple(_reduced(plot) for plot in of.plots(_whole(of, values), rows, answers))
    except (ValueError, TypeError, ZeroDivisionError, OverflowError):
        return ()


def _reduced(plot: Plot) -> Plot:
    curves = tuple(replace(one, points=_fewer(one.points)) for one in plot.curves)
    return replace(plot, curves=curves)


def _fewer(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    if len(points) <= 4 * BUCKETS:
        return tuple((float(f"{x:.9g}"), float(f"{y:.9g}")) for x, y in points)
    found = reduce_extremes([x for x, _ in points], [y for _, y in points], BUCKETS)
    pairs = zip(found.x, found.y, strict=True)
    return tuple((float(f"{x:.9g}"), float(f"{y:.9g}")) for x, y in pairs)


def _result(ref: str, of: Calculation, answer: Answer, refs: tuple[str, ...]) -> Result:
    text = f"{answer.name[:1].upper()}{answer.name[1:]}: {answer_text(answer)}."
    value = None if answer.value is None else _kept(answer.value, answer.doubt)
    doubt = None if not answer.doubt else float(f"{answer.doubt:.6g}")
    stem = ref.removeprefix("Z-")
    ident, title = f"Y-{stem}-{answer.slug}", f"{of.title}: {answer.name}"
    k = None if doubt is None else float(f"{answer.k:.6g}")
    # So many that k is 2 in all the digits kept are no limit.
    dof = None if k is None or k == 2.0 else float(f"{answer.dof:.6g}")
    return Result(
        ident, KIND, "", title, value, answer.unit, doubt, refs, f"{text} {answer.said}".strip(), k=k, dof=dof
    )  # fmt: skip


def _kept(value: float, doubt: float | None) -> Decimal:
    """A figure with six digits, or with as many more as its doubt has: what is cited must not end above its doubt."""
    finer = value and doubt and math.floor(math.log10(abs(value))) - math.floor(math.log10(doubt)) + 3
    return Decimal(f"{value:.{min(max(6, int(finer or 0)), 15)}g}")


__all__ = ["KIND", "carry_out"]
