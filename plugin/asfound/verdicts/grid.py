"""The rows that a planned test asks for: port × mode × setting × condition, those of the event first.

The one place where this is reckoned. Coverage, the reading sheets, the form, the bench sheet and the list of what is
still needed take it from here. Pure: it reads and writes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import product

from asfound.measure.units import OtherQuantityError, convert, unit
from asfound.model.base import told
from asfound.model.case import Case
from asfound.model.grid import Combination, Grid, GridColumn, GridRow
from asfound.model.limits import Test
from asfound.model.number import ValueKind, parted
from asfound.model.work import PlannedTest, PreparedSheet, Reading
from asfound.verdicts.context import Setting, same, typed_amount

NOT_A_READING = frozenset({ValueKind.BLANK, ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE})
_Placed = tuple[tuple[Setting, Reading], ...]


def grids(case: Case, tests: Mapping[str, Test], repeats: int = 1) -> dict[str, Grid]:
    """The grid of every planned test, in the order of the plan; empty without a plan. See `grid`."""
    if case.plan is None:
        return {}
    return {name: grid(case, name, tests.get(name.partition("--")[0]), repeats) for name in case.plan.tests}


def grid(case: Case, planned: str, test: Test | None, repeats: int = 1) -> Grid:
    """The required rows of one planned test, each with the reading or the waiting row that fills it.

    `repeats` is how often a reading on which a conclusion may rest is taken (`repeats_wanted` of the settings): that is
    asked at the conditions of the event of a test that is to separate explanations and gives a number. Rows at the
    conditions of the event come first, then those of the plan's coverage in its own order. A test whose plan asks for
    no combinations has one combination without conditions, which any reading of it fills. Raises KeyError for a test
    that is not planned.
    """
    assert case.plan is not None
    plan = case.plan.tests[planned]
    sheets = _sheets(case, planned)
    found = combinations(case, planned)
    columns = _columns(plan, test, _settings(case, planned))
    # Read once more, a mark or a record says what it said.
    often = repeats if plan.separates and (test is None or (test.answer == "number" and test.done != "read")) else 1
    rows: list[GridRow] = []
    spare: list[str] = []
    for one in sorted(found, key=lambda one: not one.as_used):
        rows += _rows(one, plan, columns, often if one.as_used or not one.conditions else 1, len(rows), case, spare)
    known = {ref for one in found for ref in (*one.taken, *one.answered, *one.waiting)}
    standing = [row.id for name in sheets if name in case.readings for row in case.standing(name)]
    waiting = [row.id for name in sheets if name in case.readings for row in case.readings[name].waiting]
    return Grid(
        planned,
        planned.partition("--")[0],
        test.title if test else planned,
        plan.item,
        columns,
        _value_unit(test),
        test.answer if test else "number",
        tuple(rows),
        tuple(ref for ref in (*standing, *waiting) if ref not in known or ref in spare),
        sheets,
        "" if plan.not_done is None else told(plan.not_done),
    )


def combinations(case: Case, planned: str) -> tuple[Combination, ...]:
    """The combinations of conditions a planned test asks for, in the order of the plan, each with its rows.

    The conditions of the event are one of them even where the plan's coverage leaves them out, so long as they name a
    value for each of its conditions; that one stands last and does not count as coverage. Raises KeyError.
    """
    assert case.plan is not None
    plan = case.plan.tests[planned]
    settings = _settings(case, planned)
    rows = tuple((at, row) for at in settings for row in case.standing(at.name))
    laid = tuple((at, row) for at in settings for row in case.readings[at.name].waiting)
    axes = tuple(plan.coverage)
    found = [
        _combination(wanted, rows, laid, plan, used=_is_used(wanted, plan))
        for values in product(*(plan.coverage[axis] for axis in axes))
        for wanted in (tuple(zip(axes, values, strict=True)),)
    ]
    if axes and not any(one.as_used for one in found) and all(axis in plan.as_used for axis in axes):
        wanted = tuple((axis, plan.as_used[axis]) for axis in axes)
        found.append(_combination(wanted, rows, laid, plan, used=True, covers=False))
    return tuple(found)


def _sheets(case: Case, planned: str) -> tuple[str, ...]:
    taken = (name for name, _ in case.sheets_of(planned))
    return (*taken, *(name for name, sheet in case.prepared.items() if sheet.test == planned))


def _settings(case: Case, planned: str) -> tuple[Setting, ...]:
    sheets: dict[str, PreparedSheet] = {**case.sheets, **case.prepared}
    return tuple(
        Setting.of(name, sheets[name], case.readings[name], case.items)
        for name in _sheets(case, planned)
        if name in case.readings
    )


def _is_used(wanted: tuple[tuple[str, str], ...], plan: PlannedTest) -> bool:
    return bool(plan.as_used) and all(same(value, plan.as_used[name]) for name, value in wanted if name in plan.as_used)


def _combination(
    wanted: tuple[tuple[str, str], ...],
    rows: _Placed,
    laid: _Placed,
    plan: PlannedTest,
    *,
    used: bool,
    covers: bool = True,
) -> Combination:
    here = [row for at, row in rows if all(at.matches(row, name, value) for name, value in wanted)]
    ready = tuple(row.id for at, row in laid if all(at.matches(row, name, value) for name, value in wanted))
    taken = tuple(row.id for row in here if row.value.kind not in NOT_A_READING)
    answered = tuple(row.id for row in here if row.value.kind in NOT_A_READING)
    why, obtainable = ("", True) if taken else _why_not(wanted, here, plan)
    return Combination(wanted, used, covers, taken, answered, ready, why, obtainable)


def _why_not(wanted: tuple[tuple[str, str], ...], here: list[Reading], plan: PlannedTest) -> tuple[str, bool]:
    """What is said of a combination nobody read, and whether it could still be had."""
    for row in here:
        if row.value.kind is ValueKind.NOT_OBTAINABLE:
            return row.value.why, False
        if row.value.kind is ValueKind.NOT_MEASURED:
            return row.value.why, True
    for text, why in plan.not_obtainable.items():
        # `port=2, activation=foot switch` names every combination that has both.
        named = [part.partition("=") for part in text.split(",")]
        if all(
            any(name.strip() == axis and same(value, said.strip()) for axis, value in wanted) for name, _, said in named
        ):
            return why, False
    return "", True


def _rows(
    one: Combination,
    plan: PlannedTest,
    columns: tuple[GridColumn, ...],
    often: int,
    before: int,
    case: Case,
    spare: list[str],
) -> Iterator[GridRow]:
    """The rows of one combination; waiting rows that none of them needs are added to `spare`."""
    if any(case.reading[ref].value.kind is ValueKind.COUNT for ref in one.taken):
        # `3 of 10` holds its repeats.
        often = 1
    given = dict(one.conditions)
    if one.as_used:
        given = {**plan.as_used, **given}
    cells = tuple((column.name, cell_text(given.get(column.name, ""), column.unit)) for column in columns)
    free = list(one.waiting)
    for repeat in range(1, often + 1):
        reading = one.taken[repeat - 1] if repeat <= len(one.taken) else ""
        laid = free.pop(0) if free and not reading and one.obtainable else ""
        if repeat > 1 and not one.obtainable:
            break
        yield GridRow(
            before + repeat, cells, one.conditions, one.as_used, repeat, reading, laid, one.obtainable, one.why
        )  # fmt: skip
    spare += free


def cell_text(text: str, symbol: str) -> str:
    """A value of the plan as it is typed under a column: `0.09 kW` under [W] is `90`, `90 W` keeps its digits."""
    typed = typed_amount(text)
    to = unit(symbol) if symbol else None
    if typed is None or typed[1] is None or to is None:
        return text
    if typed[1] is to:
        return parted(text)[0]
    try:
        return _plain(convert(typed[0], typed[1], to))
    except OtherQuantityError:
        return text


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _columns(plan: PlannedTest, test: Test | None, settings: tuple[Setting, ...]) -> tuple[GridColumn, ...]:
    """Conditions of the coverage, then those known of the event, then what else the protocol asks to be on record.

    What every sheet of the test says once, or the item says of itself, needs no column.
    """
    known = test.conditions if test else {}
    said = {name for name in known if settings and all(at.constant(name) is not None for at in settings)}
    names = [*plan.coverage]
    names += [name for name in plan.as_used if name not in names]
    names += [name for name, column in known.items() if column.required and name not in names and name not in said]
    found = []
    for name in names:
        column = known.get(name)
        values = (*plan.coverage.get(name, ()), *((plan.as_used[name],) if name in plan.as_used else ()))
        symbol = column.unit if column and column.unit else _common_unit(values)
        found.append(
            GridColumn(
                name,
                column.title if column else name,
                symbol or "",
                column.values if column else (),
                name in plan.coverage,
                bool(column and column.required),
            )
        )
    return tuple(found)


def _common_unit(values: tuple[str, ...]) -> str:
    """The unit all values are written in; empty where one is a word or they differ."""
    units = {parted(text)[1] for text in values}
    only = next(iter(units)) if len(units) == 1 else ""
    return only if only and all((typed := typed_amount(text)) and typed[1] for text in values) else ""


def _value_unit(test: Test | None) -> str:
    return "" if test is None or test.answer == "yes or no" else test.unit
