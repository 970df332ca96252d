"""A calculation as something that can be named, asked for what it needs, run alone, and printed with its source.

The functions below `physics` compute; here is what they need, in which unit, what they assume, and on whose authority.
A calculation is added as a module in `calculations`, with its own `CALCULATIONS`.
"""

from __future__ import annotations

import importlib
import math
import pkgutil
import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any

from msgspec import Struct, structs

from asfound.measure.budget import Expanded, coverage_factor, expanded_of, truncate_dof
from asfound.measure.show import NBSP, short, show_factor, with_unit
from asfound.measure.units import unit
from asfound.model.plots import Plot

NOT_A_DIAGNOSIS = "It says what is plausible under its assumptions; it is no diagnosis, and no proof that it happened."
PASS = "A figure within its usual range does not show that the device took no part."

WIDENED = "The doubt of what went in is in both ends."
"""What is said of a range that was widened."""


class Input(Struct, frozen=True):
    """One figure or word a calculation needs.

    unit     symbol it is computed in; what is typed is converted. Empty for a pure number or a word
    default  None where it has to be given
    choices  the words it may be, where it is one
    """

    name: str
    unit: str
    what: str
    default: float | str | None = None
    choices: tuple[str, ...] = ()


class Column(Struct, frozen=True):
    """One column of a file of values."""

    name: str
    unit: str
    what: str


class Answer(Struct, frozen=True):
    """One result.

    low, high  the range over models or percentiles, where there are several
    doubt      expanded, from the doubts of the inputs; None where none were given
    dof        effective degrees of freedom behind it, not truncated; infinite where nothing limits them
    said       a sentence where the number alone would be misread
    key        short name by which a case cites it; the name itself, with hyphens, where it is empty
    """

    name: str
    value: float | None
    unit: str
    low: float | None = None
    high: float | None = None
    doubt: float | None = None
    said: str = ""
    key: str = ""
    dof: float = math.inf

    @property
    def k(self) -> float:
        """Coverage factor of the doubt (JCGM 100:2008, G.4 and G.6.4): 2 where nothing limits it."""
        return coverage_factor(truncate_dof(self.dof))

    @property
    def slug(self) -> str:
        """What stands behind `Y-<calculation>-` in a case."""
        return self.key or re.sub(r"[^a-z0-9]+", "-", self.name.casefold()).strip("-")


Rows = Mapping[str, Any]
Run = Callable[[Mapping[str, Any], Rows], Sequence[Answer]]
Draw = Callable[[Mapping[str, Any], Rows, Sequence[Answer]], Sequence[Plot]]
Finish = Callable[[Mapping[str, Any], Sequence[Answer]], Sequence[Answer]]


class Calculation(Struct, frozen=True):
    """A calculation: what it needs, how it computes, what it assumes, and where it comes from.

    columns  of the file it reads; empty where it needs none
    status   how well the source was read: confirmed, secondary, from memory, common practice, computed
    reaches  topics of explanations it models, and can speak to no other; empty where it only turns readings into
             another figure and so speaks to what they speak to
    plots    what there is to see of it
    dose     whether what it models is a dose of heat, current, flow or energy; an area or a delay alone is none
    finish   sentences that hang on the doubts: it is given the answers once their doubts are known
    row_doubts    whether doubts of its rows are carried; one that fits a line through them has their scatter instead
    in_stretches  whether it goes through a long series stretch by stretch, so that none is held whole for it
    """

    name: str
    title: str
    inputs: tuple[Input, ...]
    formula: str
    source: str
    status: str
    assumes: tuple[str, ...]
    run: Run
    columns: tuple[Column, ...] = ()
    cautions: tuple[str, ...] = (NOT_A_DIAGNOSIS,)
    reaches: tuple[str, ...] = ()
    plots: Draw | None = None
    dose: bool = True
    finish: Finish | None = None
    in_stretches: bool = False
    row_doubts: bool = False

    def input(self, name: str) -> Input | None:
        """An input by name."""
        return next((one for one in self.inputs if one.name == name), None)


@cache
def calculations() -> Mapping[str, Calculation]:
    """Every calculation by name, in order of name.

    Raises ValueError where a name is taken twice: a fault of ours.
    """
    from asfound.physics import calculations as home

    found: dict[str, Calculation] = {}
    for info in pkgutil.iter_modules(home.__path__, home.__name__ + "."):
        for one in importlib.import_module(info.name).CALCULATIONS:
            if found.setdefault(one.name, one) is not one:
                raise ValueError(f"the calculation {one.name} is there twice")
    return {name: found[name] for name in sorted(found)}


def calculation(name: str) -> Calculation | None:
    """One calculation, or None where there is none of this name. Only its own module is loaded for it."""
    from asfound.physics import calculations as home

    module = home.WHERE.get(name)
    if module is None:
        return calculations().get(name)
    of_module: Sequence[Calculation] = importlib.import_module(f"{home.__name__}.{module}").CALCULATIONS
    return next(one for one in of_module if one.name == name)


def evaluate(
    of: Calculation, values: Mapping[str, Any], rows: Rows | None = None, doubts: Mapping[str, float] | None = None,
    in_rows: Rows | None = None, dofs: Mapping[str, float] | None = None, row_dofs: Rows | None = None,
) -> tuple[Answer, ...]:  # fmt: skip
    """Run a calculation. `values` are in the units of its inputs; what is missing takes its default.

    `doubts` are twice the standard uncertainty of each input (k = 2) and carried to first order through central
    differences over the whole doubt (JCGM 100:2008, 5.1.3, note 2): each input is moved up and down by its doubt, and
    half the change is its part; the parts are added as squares, as for inputs that do not depend on one another, and so
    is the doubt an answer has of itself, from the scatter of its rows. `dofs` are the degrees of freedom behind the
    doubts of inputs, infinite where none are named; those of an answer follow Welch and Satterthwaite
    (G.4), and its doubt is expanded with their k, which is 2 where nothing limits them. A range is widened by the same
    doubts: its lower end by how far each input within its doubt moves it down, its upper end by how far up. Where a
    moved input leaves what the model speaks to, the whole change on the other side is its part, and the answer says so;
    where it does so on both sides, its doubt is not carried, and the answer says that. `in_rows` are the doubts of
    columns, row by row, and `row_dofs` what is behind each: a column is moved as a whole, since what one instrument
    adds is alike in all its readings (5.2.2, note 1), and the fewest degrees of freedom of the rows that move an answer
    are taken for it, as a budget does of inputs that hang together. Raises ValueError with what is wrong.
    """
    given = {one.name: one.default for one in of.inputs if one.default is not None} | dict(values)
    missing = [one.name for one in of.inputs if one.name not in given]
    if missing:
        raise ValueError(f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not given")
    if of.columns and rows is None:
        raise ValueError("a file with values is needed")
    finish = of.finish or (lambda _, answers: answers)
    answers = tuple(of.run(given, rows or {}))
    moved = {name: doubt for name, doubt in (doubts or {}).items() if doubt}
    shifts: list[tuple[str, list[_Side], Mapping[str, float]]] = [
        (
            name,
            [_side(of, given, rows or {}, name, given[name] + step) for step in (doubt, -doubt)],
            {f"{one.name}{star}": (dofs or {}).get(name, math.inf) for one in answers for star in ("", "*")},
        )
        for name, doubt in moved.items()
    ]
    for name, column in (in_rows or {}).items():
        ways = [{**(rows or {}), name: (rows or {})[name] + sign * column} for sign in (1.0, -1.0)]
        behind = {} if row_dofs is None else _freedom(of, given, rows or {}, name, column, row_dofs[name], answers)
        shifts.append((name, [_side(of, given, way, name, None) for way in ways], behind))
    if not shifts:
        return _finished(finish, given, answers)
    told = list(answers)
    parts: dict[str, list[_Parted]] = {}
    down: dict[str, list[_Parted]] = {}
    up: dict[str, list[_Parted]] = {}
    for name, sides, free in shifts:
        for place, one in enumerate(answers):
            found = [side.answers[one.name] for side in sides if one.name in side.answers]
            numbers = [each.value for each in found if each.value is not None]
            if one.value is not None and numbers:
                part = _part(numbers[0], numbers[1]) if len(numbers) == 2 else 2.0 * _part(numbers[0], one.value)
                parts.setdefault(one.name, []).append((part, free.get(one.name, math.inf)))
            if one.low is not None and one.high is not None:
                least, most = _outward(one.low, one.high, found)
                dof = free.get(f"{one.name}*", math.inf)
                down.setdefault(one.name, []).append((least, dof))
                up.setdefault(one.name, []).append((most, dof))
            if (one.value is not None or one.low is not None) and len(found) < 2 and (not found or found[0] != one):
                said = _one_sided(of, name, [side for side in sides if one.name not in side.answers])
                told[place] = structs.replace(told[place], said=f"{told[place].said} {said}".strip())
    carried = [_carried(one, parts[one.name]) if one.name in parts and one.value is not None else one for one in told]
    return _finished(finish, given, [_widened(one, down.get(one.name, ()), up.get(one.name, ())) for one in carried])


_Parted = tuple[float, float]
"""What one input adds, as twice a standard uncertainty, and the degrees of freedom behind it."""


def _carried(answer: Answer, parts: Sequence[_Parted]) -> Answer:
    own = (answer.doubt or 0.0) * 2.0 / answer.k
    # Summed in this order, so that a doubt which nothing limits is the root of the sum of squares and no digit else.
    twice = math.hypot(own, math.sqrt(sum(part**2 for part, _ in parts)))
    dofs = (answer.dof, *(dof for _, dof in parts))
    found = expanded_of((own, *(part for part, _ in parts)), dofs, twice=twice)
    return structs.replace(answer, doubt=found.U, dof=found.dof)


def _finished(finish: Finish, given: Mapping[str, Any], answers: Sequence[Answer]) -> tuple[Answer, ...]:
    return tuple(_with_factor(one) for one in finish(given, answers))


def _with_factor(one: Answer) -> Answer:
    """An answer that says its k, where it is not the 2 that is meant by itself."""
    if not show_factor(one.k) or not (one.doubt or one.low is not None):
        return one
    dof = int(truncate_dof(one.dof))
    free = "1 effective degree" if dof == 1 else f"{dof} effective degrees"
    return structs.replace(
        one, said=f"{one.said} The doubt is that of k{NBSP}={NBSP}{short(one.k, 3)}, for {free} of freedom.".strip()
    )


def _freedom(
    of: Calculation, given: Mapping[str, Any], rows: Rows, name: str, column: Any, freedom: Any,
    answers: Sequence[Answer],
) -> dict[str, float]:  # fmt: skip
    """By answer, the fewest degrees of freedom of the rows whose doubts in a column move it; those of the ends of its
    range under its name with a star."""
    found: dict[str, float] = {}
    for dof in sorted(set(freedom.tolist())):
        if math.isinf(dof) or len(found) == 2 * len(answers):
            break
        side = _side(of, given, {**rows, name: rows[name] + column * (freedom == dof)}, name, None)
        for one in answers:
            there = side.answers.get(one.name)
            if there is None or there.value != one.value:
                found.setdefault(one.name, dof)
            if there is None or (there.low, there.high) != (one.low, one.high):
                found.setdefault(f"{one.name}*", dof)
    return found


class _Side(Struct, frozen=True):
    """What comes out with one input moved: the answers by name, or none and why."""

    at: float | None
    answers: Mapping[str, Answer]
    why: str = ""


def _side(of: Calculation, given: Mapping[str, Any], rows: Rows, name: str, at: float | None) -> _Side:
    try:
        moved = given if at is None else {**given, name: at}
        return _Side(at, {one.name: one for one in of.run(moved, rows)})
    except ValueError as error:
        return _Side(at, {}, str(error))
    except (ZeroDivisionError, OverflowError):
        return _Side(at, {}, "it divides by zero or runs over")


def _one_sided(of: Calculation, name: str, silent: Sequence[_Side]) -> str:
    """What is said of an answer for which the model does not speak where an input is moved by its doubt."""
    one = of.input(name)
    symbol = unit(one.unit) if one is not None and one.unit else None
    places = " and ".join(
        f"{side.at:.4g}" if symbol is None else with_unit(f"{side.at:.4g}", symbol)
        for side in silent
        if side.at is not None
    )
    places = places or "the ends of its doubts"
    why = next((side.why for side in silent if side.why), "there is no such answer")
    carried = "is not in this figure" if len(silent) == 2 else "is carried on the other side alone"
    return f"With the {name} at {places} nothing comes of it ({why}), so that its doubt {carried}."


def _outward(low: float, high: float, moved: Sequence[Answer]) -> tuple[float, float]:
    """How far the ends of a range go down and up while one input moves within its doubt."""
    lows = [one.low for one in moved if one.low is not None and not math.isclose(one.low, low, rel_tol=1e-12)]
    highs = [one.high for one in moved if one.high is not None and not math.isclose(one.high, high, rel_tol=1e-12)]
    return max(0.0, low - min(lows, default=low)), max(0.0, max(highs, default=high) - high)


def _widened(answer: Answer, lower: Sequence[_Parted], upper: Sequence[_Parted]) -> Answer:
    if answer.low is None or answer.high is None:
        return answer
    ends = [
        expanded_of([part for part, _ in parts], [dof for _, dof in parts]) if parts else Expanded(0.0, 2.0, math.inf)
        for parts in (lower, upper)
    ]
    down, up = (end.U for end in ends)
    if not (down or up):
        return answer
    # A quantity that cannot be negative may be moved below 0 by the sum of several doubts, and by none of them alone.
    low = answer.low - down if answer.low < 0.0 else max(0.0, answer.low - down)
    said = f"{answer.said} {WIDENED}".strip()
    dof = answer.dof if answer.value is not None else min(end.dof for end in ends)
    return structs.replace(answer, low=low, high=answer.high + up, said=said, dof=dof)


def _part(up: float, down: float) -> float:
    """Half a change; 0 for one that is nothing but the rounding of floats, whose digits would pass for a doubt."""
    return 0.0 if math.isclose(up, down, rel_tol=1e-12) else (up - down) / 2.0
