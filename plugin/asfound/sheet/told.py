"""What is told of a sheet once it is closed: its verdicts in the words of the pages, and what the check says of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from msgspec import Struct

from asfound import checked
from asfound.pages.page import Options
from asfound.pages.view import CaseView
from asfound.pages.view_bench import RowWords
from asfound.problems import Level, Problem
from asfound.sheet.bench import Bench


class Told(Struct, frozen=True):
    """Verdicts by reading, and problems whose place is on the sheet, heaviest first."""

    rows: Mapping[str, RowWords]
    problems: tuple[Problem, ...]


_ORDER = {level: number for number, level in enumerate((Level.REJECT, Level.WARN, Level.NEEDED, Level.NOTE))}


def told_of(bench: Bench, name: str, on: dt.date) -> Told:
    """What is told of a closed sheet. Everything is assessed, as `asfound check` does, without asking git."""
    short = name.removeprefix("S-")
    found = checked.check_case(bench.root, bench.folder, on)
    problems = [one for one in found.problems if one.subject == name or one.subject.startswith(f"R-{short}-")]
    problems.sort(key=lambda one: (_ORDER[one.level], one.key))
    rows: dict[str, RowWords] = {}
    if found.dossier is not None:
        block = CaseView(found.dossier, "measurements", Options(), {}, single=True, site=False).sheet_block(name)
        rows = {row.ref: row for row in block.rows} if block is not None else {}
    return Told(rows, tuple(problems))
