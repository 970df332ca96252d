"""No slip of the pen takes a verdict away without a word: the base case with one value after another mistaken.

Wherever a value stands, another that stands behind the same name in the same file is put there: the function of another
sheet, the unit of another range, another thing. Either every verdict is still given, or the check says something new.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.assess.repository import open_repository
from asfound.model.verdict import Outcome
from tests.rules.support import BASE, CASE, ON, repository_path

_PAIR = re.compile(r"([A-Za-z_ ]+): ([^,{}\[\]#]+?)(?=\s*(?:[,}\]#]|$))")
_NONE = frozenset({Outcome.NO_REQUIREMENT, Outcome.NOT_ASSESSABLE})
FILES = ("sheets.yml", "plan.yml", "items.yml", ".asfound/instruments.yml", ".asfound/limits/base-limits.yml")
LOSING = ("sheets.yml", ".asfound/instruments.yml", ".asfound/limits/base-limits.yml")
"""Files where a slip does cost a verdict; of the other two none does yet."""


def slips(text: str) -> Iterator[tuple[int, str, str]]:
    """Line, from 1; what stands there, name and value; the text with each other value of the name, in turn."""
    lines = text.split("\n")
    found = [(at, match) for at, line in enumerate(lines) for match in _PAIR.finditer(line)]
    values: dict[str, set[str]] = {}
    for _, match in found:
        values.setdefault(match[1].strip(), set()).add(match[2].strip())
    for at, match in found:
        for other in sorted(values[match[1].strip()] - {match[2].strip()}):
            line = f"{lines[at][: match.start(2)]}{other}{lines[at][match.end(2) :]}"
            yield at + 1, f"{match[0].strip()} -> {other}", "\n".join((*lines[:at], line, *lines[at + 1 :]))


def look(root: Path) -> tuple[dict[tuple[str, str], Outcome], set[tuple[str, str]]]:
    """Verdicts by subject and limit, and what is said: the rule and its words."""
    shared = open_repository(root)
    found = assess_case(root, root / CASE, ON, shared)
    told = {(one.rule, one.found) for one in (*shared.problems, *found.problems)}
    if found.dossier is None:
        return {}, told
    return {(one.subject, one.limit.id if one.limit else ""): one.outcome for one in found.dossier.core.verdicts}, told


@pytest.mark.parametrize("name", FILES)
def test_a_verdict_that_is_lost_is_told(name: str, tmp_path: Path) -> None:
    root = tmp_path / "here"
    shutil.copytree(BASE, root)
    place = root / repository_path(name)
    text = place.read_text("utf-8")
    before, told = look(root)
    given = {key for key, outcome in before.items() if outcome not in _NONE}
    tried, lost, silent = 0, 0, []
    for line, what, slipped in slips(text):
        place.write_text(slipped, "utf-8")
        after, said = look(root)
        tried += 1
        gone = [key for key in given if after.get(key, Outcome.NO_REQUIREMENT) in _NONE]
        lost += bool(gone)
        if gone and not said - told:
            silent.append(f"{name}:{line} {what} takes {sorted(gone)[0]} away, and nothing is said")
    assert silent == []
    assert tried > 5 and given, "nothing was tried"
    if name in LOSING:
        assert lost, "no verdict was lost, so silence would prove nothing"
