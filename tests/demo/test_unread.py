"""A sheet that cannot be read is refused where it stands, and nothing that rests on it is refused beside it.

Whoever broke a header would else be told that explanations, calculations and the conclusion are wrong, mend those, and
be left with a weaker report. What each break makes of the file is common practice of hands and spreadsheets, no source.
"""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.assess.repository import Repository, open_repository
from asfound.problems import Level, Problem

ROOT = Path(__file__).parents[2]
ON = dt.date(2026, 5, 30)
CASES = sorted(one.parent.name for one in (ROOT / "cases").glob("*/case.yml"))
THREE_WAYS = ("return-pad-lesion", "syringe-emptied")
"""Cases whose sheets are broken in every way; of the others only the header is."""


def header(lines: list[bytes]) -> None:
    """The name of the column of values is misspelled."""
    lines[0] = lines[0].replace(b"value", b"vlaue", 1)


def number(lines: list[bytes]) -> None:
    """The first value holds two points."""
    names = lines[0].split(b",")
    at = next(number for number, name in enumerate(names) if name.startswith(b"value"))
    cells = lines[1].split(b",")
    cells[at] = b"12..5"
    lines[1] = b",".join(cells)


def encoding(lines: list[bytes]) -> None:
    """A byte that is no UTF-8 stands in the first row."""
    lines[1] += b"\xff"


WAYS: tuple[tuple[Callable[[list[bytes]], None], str], ...] = (
    (header, "column-missing"), (number, "value-unreadable"), (encoding, "text-not-utf8"),
)  # fmt: skip


def told(root: Path, name: str, shared: Repository) -> dict[tuple[str, str, str], Problem]:
    found = assess_case(root, root / "cases" / name, ON, shared).problems
    return {(one.rule, str(one.span), one.found): one for one in found if one.level in {Level.REJECT, Level.WARN}}


def each_broken(root: Path, name: str) -> Iterator[tuple[Path, str, list[Problem]]]:
    """Every sheet of a case, broken: the file, what is to be said of it, and what is said that was not said before."""
    shutil.copytree(ROOT / ".asfound", root / ".asfound")
    shutil.copytree(ROOT / "cases" / name, root / "cases" / name)
    shared = open_repository(root)
    before = told(root, name, shared)
    for sheet in sorted((root / "cases" / name / "readings").glob("*.csv")):
        whole = sheet.read_bytes()
        for way, rule in WAYS if name in THREE_WAYS else WAYS[:1]:
            lines = whole.split(b"\n")
            way(lines)
            assert b"\n".join(lines) != whole
            sheet.write_bytes(b"\n".join(lines))
            after = told(root, name, shared)
            yield sheet.relative_to(root), rule, [one for key, one in after.items() if key not in before]
        sheet.write_bytes(whole)


@pytest.mark.parametrize("name", CASES)
def test_a_broken_sheet_is_the_only_thing_refused(name: str, tmp_path: Path) -> None:
    tried = 0
    for sheet, rule, said in each_broken(tmp_path, name):
        tried += 1
        place = f"{sheet.as_posix()}:"
        assert [one.rule for one in said] == [rule], "\n".join(one.headline() for one in said)
        assert said[0].level is Level.REJECT and said[0].headline().startswith(place)
    assert tried >= 8
