"""The long series that calculations of a case ask for, out of its evidence, with the window that was asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from asfound.intake.series import read_series
from asfound.intake.series_parts import Window
from asfound.intake.series_spill import Spilled
from asfound.measure.units import convert, unit
from asfound.model.base import Amount
from asfound.model.calculation import FromSeries
from asfound.model.case import Case
from asfound.physics.calc import Calculation
from asfound.problems import Problem

Columns = Mapping[str, Any]


def read_case_series(
    root: Path, case: Case, known: Callable[[str], Calculation | None]
) -> tuple[dict[str, Columns], list[Problem]]:
    """Columns by calculation (Z-...), as arrays in its units; and what is wrong with the files.

    `known` gives a calculation by its name.
    What cannot be read is left out, with its problem; so is a file that is kept elsewhere. A file whose columns several
    calculations ask for is read once for each.
    """
    found: dict[str, Columns] = {}
    problems: list[Problem] = []
    for ref, record in case.calculations.items():
        of, wanted = known(record.calculation), record.series
        if of is None or wanted is None or not of.columns:
            continue
        evidence = case.evidence.get(wanted.evidence)
        if evidence is None or evidence.file is None or evidence.file not in case.files:
            continue
        named = {wanted.columns.get(one.name, one.name): one for one in of.columns}
        path = root / case.folder / evidence.file
        try:
            units = {name: one.unit for name, one in named.items()}
            window = _window(wanted, of, {one.name: name for name, one in named.items()})
            read = read_series(path, f"{case.folder}/{evidence.file}", units, window, of.in_stretches)
        except (OSError, ValueError):
            continue  # the reader of the folder has said so; or the window is about no quantity of the series
        problems += read.problems
        if isinstance(read.columns, Spilled):
            found[ref] = read.columns.named({one.name: name for name, one in named.items()})
        elif read.columns:
            found[ref] = {one.name: read.columns[name] for name, one in named.items()}
    return found, list(dict.fromkeys(problems))


def _window(wanted: FromSeries, of: Calculation, named: Mapping[str, str]) -> Window | None:
    """The rows between `from` and `to` of one column, so that of a long file no more is held than is asked for.

    `named` is column of the calculation → column of the file. Raises ValueError where there is no such column or a
    bound is in another quantity.
    """
    if wanted.from_ is None and wanted.to is None:
        return None
    along = wanted.along or of.columns[0].name
    symbol = next((one.unit for one in of.columns if one.name == along), None)
    if symbol is None:
        raise ValueError(f"there is no column {along}")
    return Window(named[along], _bound(wanted.from_, symbol), _bound(wanted.to, symbol))


def _bound(amount: Amount | None, symbol: str) -> float | None:
    if amount is None:
        return None
    from_, to = unit(amount.unit), unit(symbol)
    if from_ is None or to is None:
        raise ValueError(f"{amount.text} is in no unit of the column")
    return float(convert(amount.value, from_, to))
