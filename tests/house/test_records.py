"""Two kinds of records: what is written down and read back field by field is a dataclass, all else a Struct."""

from __future__ import annotations

import ast
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "plugin" / "asfound"
WRITTEN = ("model", "problems")
"""Boxes whose records stand in a dossier, an approval or an edition."""
ELSEWHERE = {
    "assess/outside.py": "what is known from outside is kept between two runs",
    "assess/tags.py": "a part of that",
    "assess/run.py": "two of its fields have no say in whether two are equal, which a Struct cannot say",
    "compare/change.py": "a change is told to programs as JSON",
    "compare/difference.py": "a part of that",
    "document/bench.py": "the sheet is handed to the typesetter as JSON",
    "figures/palette.py": "its colours are named by its fields",
    "pages/page.py": "finished pages are kept between two builds",
}


def _decorated(text: str) -> list[str]:
    return [
        one.name
        for one in ast.walk(ast.parse(text))
        if isinstance(one, ast.ClassDef) and any("dataclass" in ast.unparse(mark) for mark in one.decorator_list)
    ]


def test_a_dataclass_is_written_down_somewhere() -> None:
    """Making one costs Python 0.6 ms, fifty times a Struct; two hundred of them were a tenth of a check of one case."""
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if path.relative_to(PACKAGE).parts[0] not in WRITTEN and _decorated(path.read_text("utf-8"))
    }
    assert found == set(ELSEWHERE)


def test_a_struct_stands_in_no_box_whose_records_are_written_down() -> None:
    """pydantic writes and reads dataclasses by their fields, and knows nothing of a Struct."""
    found = [
        path.name for box in WRITTEN for path in (PACKAGE / box).rglob("*.py") if "msgspec" in path.read_text("utf-8")
    ]
    assert found == []
