"""Reports to set, and what they are made of."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path
from typing import Any

from asfound import assess, pages
from asfound.document import Report
from asfound.document.translate import Measures, Translated, translate
from asfound.model.dossier import Dossier
from asfound.pages import Paper

ROOT = Path(__file__).parents[3]
CASES = tuple(sorted(path.parent for path in (ROOT / "cases").glob("*/case.yml")))
ON = dt.date(2026, 11, 28)
MEASURES = Measures(465, 312)


def read(folder: Path, path: str) -> bytes | None:
    """The bytes of a file below a folder; None where there is none."""
    try:
        return (folder / path).read_bytes()
    except OSError:
        return None


def assessed(folder: Path, root: Path = ROOT) -> Dossier:
    """A case, assessed."""
    found = assess.assess_case(root, folder, ON).dossier
    assert found is not None
    return found


def on_paper(folder: Path, root: Path = ROOT) -> Paper:
    """The record of a case as HTML for paper."""
    dossier = assessed(folder, root)
    return pages.paper(dossier, dict(pages.pictures_of(dossier, partial(read, folder))))


def small(html: str, **changes: Any) -> Report:
    """A report with a body of our own."""
    facts: dict[str, Any] = {
        "title": "A tingle at the warmer", "case": "small", "standing": "Draft, never issued", "issued": False,
        "dated": dt.date(2026, 5, 5), "digest": "0123 4567 89ab cdef",
    }  # fmt: skip
    return Report(**{**facts, "html": html, **changes})


def translated(html: str, **images: bytes) -> Translated:
    """A body of our own, translated; `images` by `src`."""
    return translate(html, images, MEASURES)
