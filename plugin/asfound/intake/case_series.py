"""The long series that calculations of a case ask for, out of its evidence, with the window that was asked for."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from asfound.intake.series import read_series
from asfound.measure.units import OtherQuantityError, convert, unit
from asfound.model.base import Amount
from asfound.model.calculation import FromSeries
from asfound.model.case import Case
from asfound.physics.calc import Calculation
from asfound.problems import Problem

Columns = Mapping[str, Any]


def read_case_series(
    root: Path, case: Case, known: Mapping[str, Calculation]
) -> tuple[dict[str, Columns], list[Problem]]:
    """Columns by calculation (Z-...), as arrays in its units; and what is wrong with the files.

    What cannot be read is left out, with its problem; so is a file that is kept elsewhere. A file whose columns several
    calculations ask for is read once for each.
    """
    found: dict[str, Columns] = {}
    problems: list[Problem] = []
    for ref, record in case.calculations.items():
        of, wanted = known.get(record.calculation), record.series
        if of is None or wanted is None or not of.columns:
            continue
        evidence = case.evidence.get(wanted.evidence)
        if evidence is None or evidence.file is None or evidence.file not in case.files:
            continue
        named = {wanted.columns.get(one.name, one.name): one for one in of.columns}
        path = root / case.folder / evidence.file
        try:
            read = read_series(path, f"{case.folder}/{evidence.file}", {name: one.unit for name, one in named.items()})
        except OSError:
            continue  # the reader of the folder has said so
        problems += read.problems
        if read.columns:
            columns = {one.name: read.columns[name] for name, one in named.items()}
            cut = _cut(wanted, of, columns)
            if cut is not None:
                found[ref] = cut
    return found, list(dict.fromkeys(problems))


def _cut(wanted: FromSeries, of: Calculation, columns: dict[str, Any]) -> Columns | None:
    """The rows between `from` and `to` of one column; None where a bound is in another quantity, or no row is left."""
    if wanted.from_ is None and wanted.to is None:
        return columns
    along = wanted.along or of.columns[0].name
    symbol = next((one.unit for one in of.columns if one.name == along), None)
    if symbol is None:
        return None
    keep = columns[along] == columns[along]
    for bound, least in ((wanted.from_, True), (wanted.to, False)):
        at = _bound(bound, symbol)
        if bound is not None and at is None:
            return None
        if at is not None:
            keep &= columns[along] >= at if least else columns[along] <= at
    return {name: values[keep] for name, values in columns.items()} if bool(keep.any()) else None


def _bound(amount: Amount | None, symbol: str) -> float | None:
    if amount is None:
        return None
    from_, to = unit(amount.unit), unit(symbol)
    if from_ is None or to is None:
        return None
    try:
        return float(convert(amount.value, from_, to))
    except OtherQuantityError:
        return None
