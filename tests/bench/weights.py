"""Bytes: the heaviest page of the demonstration cases but for the whole report, and what a case adds to the search.

A page counts with the theme's frame and with its chart data, without the script that all pages share, and as it is
before any compression on the way. The pages that are named as heavier in `tests/demo/test_weight.py` are in the note.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from asfound.assess import assess_cases, find_cases
from asfound.model.dossier import Dossier
from asfound.pages import Options, search_index
from tests.demo.test_weight import CASES, FRAME, HEAVIER, sizes

from .method import Line

ROOT = Path(__file__).resolve().parents[2]
PAGE, ENTRY = 300_000, 2_000


def heaviest() -> tuple[str, int]:
    """Case and page, and its bytes with the frame; of those that are not named as heavier."""
    found = {
        f"{case}/{page}": size + FRAME
        for case in CASES
        for page, size in sizes(case).items()
        if page != "record" and (case, page) not in HEAVIER
    }
    worst = max(found, key=lambda name: found[name])
    return worst, found[worst]


def entry(dossiers: list[Dossier]) -> float:
    """Bytes a case adds to the index."""
    whole, none = (len(search_index(some, [], Options())) for some in (dossiers, []))
    return (whole - none) / len(dossiers)


def demonstrated() -> list[Dossier]:
    """The cases of the demonstration."""
    found = assess_cases(ROOT, find_cases(ROOT), dt.date(2026, 5, 30))
    return [one.dossier for one in found if one.dossier is not None]


def measure() -> list[Line]:
    """Two lines."""
    name, size = heaviest()
    dossiers = demonstrated()
    each = entry(dossiers)
    more = ", ".join(f"{case}/{page} {sizes(case)[page] + FRAME:,} B" for case, page in HEAVIER)
    note = f"{name}; heavier by name: {more}" if more else name
    return [
        Line("the heaviest page of a case", f"{PAGE:,} B", size / PAGE, 1.0, f"{size:,} B", f"{PAGE:,} B", note),
        Line("search index, a case", f"{ENTRY:,} B", each / ENTRY, 1.0, f"{each:,.0f} B", f"{ENTRY:,} B",
             f"{len(dossiers)} cases of the demonstration"),
    ]  # fmt: skip
