"""Which cases hold a record, without assessing them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from asfound import intake
from asfound.assess.repository import Repository
from asfound.assess.used import used_by


def cases_holding(shared: Repository, folders: Iterable[Path], ref: str) -> tuple[Path, ...]:
    """The case folders in which an id stands, or once stood: as a record or result, or as something it uses."""
    found = []
    for folder in folders:
        case = intake.read_case(shared.root, folder, shared.bench).case
        if case is None:
            continue
        sheets = [name.removeprefix("S-") for name in case.sheets]
        if (
            case.exists(ref)
            or ref in case.files
            or any(sheet.instrument == ref for sheet in case.sheets.values())
            or any(ref.startswith(f"Y-{name}-") for name in sheets)
            or ("/" in ref and used_by(case, shared.bench).holds(ref))
            or shared.chronicle.past(case.id, case.folder).of(ref)
        ):
            found.append(folder)
    return tuple(found)
