"""Of several problems of one rule on one record each is known again by what it speaks of, and not by its number."""

from __future__ import annotations

import datetime as dt
import json
from collections import Counter
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.emit.told import Told, items
from asfound.model.dossier import core_json, dossier_json, pack_dossier, unpack_dossier
from asfound.problems import Problem

from .support import BASE, CASE, ON, Copy, Edit

ROOT = Path(__file__).parents[2]
NOWHERE = ("findings.yml", "[R-earth-1, R-earth-2,", "[R-earth-91, R-earth-92,")
LATE = dt.date(2026, 7, 1)
"""After the last day of every case held here."""
HELD = sorted(path for base in ("tests/cases", "cases") for path in (ROOT / base).iterdir() if path.is_dir())


def problems(tmp_path: Path, *edits: Edit) -> tuple[Problem, ...]:
    copy = Copy(tmp_path / f"copy-{len(list(tmp_path.iterdir()))}", edits)
    return assess_case(copy.root, copy.root / CASE, ON).problems


def prints(found: tuple[Problem, ...], rule: str) -> dict[str, str]:
    """What was found → fingerprint, of one rule."""
    told = items([Told(CASE, "base", found)])
    return {one.problem.found: one.fingerprint for one in told if one.problem.rule == rule}


@pytest.mark.parametrize("left", ["R-earth-91", "R-earth-92"])
def test_citations_of_one_finding_are_known_apart_when_one_is_mended(tmp_path: Path, left: str) -> None:
    file, old, new = NOWHERE
    assert (BASE / CASE / file).read_text().count(old) == 1
    both = prints(problems(tmp_path, NOWHERE), "citation-leads-nowhere")
    other = "R-earth-92" if left == "R-earth-91" else "R-earth-91"
    one = prints(problems(tmp_path, (file, old, new.replace(other, "R-earth-1"))), "citation-leads-nowhere")
    assert len(both) == len(set(both.values())) == 2 and len(one) == 1
    assert one.items() <= both.items()


def test_what_tells_problems_apart_is_kept_between_runs_and_no_part_of_what_is_signed(tmp_path: Path) -> None:
    copy = Copy(tmp_path / "copy", (NOWHERE,))
    dossier = assess_case(copy.root, copy.root / CASE, ON).dossier
    assert dossier is not None
    apart = [one.about for one in dossier.core.problems if one.rule == "citation-leads-nowhere"]
    assert apart == ["rests_on R-earth-91", "rests_on R-earth-92"]
    again = unpack_dossier(pack_dossier(dossier))
    assert [one.about for one in again.core.problems] == [one.about for one in dossier.core.problems]
    for text in (core_json(dossier.core), json.dumps(json.loads(dossier_json(dossier))["core"])):
        written = json.loads(text)["problems"]
        assert len(written) == len(dossier.core.problems) and all("about" not in one for one in written)


@pytest.mark.parametrize("root", [path for path in HELD if (path / "cases").is_dir() or (path / "case.yml").is_file()],
                         ids=lambda path: path.name)  # fmt: skip
def test_no_rule_says_two_things_of_one_record_that_nothing_but_their_order_parts(root: Path) -> None:
    """Every case held here, sound and weak. A rule that fails here hands `about` to its problems."""
    home, folders = (root, sorted((root / "cases").iterdir())) if (root / "cases").is_dir() else (ROOT, [root])
    for folder in folders:
        found = assess_case(home, folder, LATE).problems
        count = Counter((one.rule, one.subject or one.span.path, one.about) for one in found)
        assert {what: number for what, number in count.items() if number > 1} == {}
