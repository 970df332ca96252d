"""The demonstration weighed: its statuses, its weakest link, what falls, and what a bolder author is told.

The case and what it earns are our own invention; that an accounted hole in custody bears no more than *probable*, and
that a reason nobody examined is *undetermined*, are choices of ours (common practice, no source).
"""

from __future__ import annotations

import datetime as dt
import shutil
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.assess.repository import open_repository
from asfound.assess.strike import strike
from asfound.model.dossier import Dossier
from asfound.model.weighing import Fall, Weighing
from asfound.problems import Level

ROOT = Path(__file__).parents[2]
CASE = "cases/return-pad-lesion"
ON = dt.date(2026, 3, 20)


def dossier_of(root: Path) -> Dossier:
    found = assess_case(root, root / CASE, ON).dossier
    assert found is not None
    return found


@cache
def good() -> Dossier:
    return dossier_of(ROOT)


def weighing() -> Weighing:
    found = good().core.weighing
    assert found is not None
    return found


def changed(root: Path, *edits: tuple[str, str, str]) -> Dossier:
    """The case in a copy of the repository, with texts exchanged that stand there once."""
    shutil.copytree(ROOT / ".asfound", root / ".asfound")
    shutil.copytree(ROOT / CASE, root / CASE)
    for name, old, new in edits:
        path = root / CASE / name
        text = path.read_text("utf-8")
        assert text.count(old) == 1, (name, old)
        path.write_text(text.replace(old, new), "utf-8")
    return dossier_of(root)


def test_each_explanation_stands_as_its_author_says() -> None:
    assert {one.ref: str(one.status) for one in weighing().standings} == {
        "X-1": "supported", "X-2": "weakened", "X-3": "ruled out", "X-4": "weakened", "X-5": "weakened",
        "X-6": "weakened", "X-7": "not tested", "X-8": "weakened", "X-9": "weakened", "X-10": "referred to clinician",
        "X-11": "weakened",
    }  # fmt: skip
    assert not any(one.stronger for one in weighing().standings)
    assert [one.ref for one in weighing().standings if one.aside] == ["X-7"]


def test_the_accounted_while_of_the_pad_is_the_weakest_link() -> None:
    mechanism, reason = weighing().mechanism, weighing().reason
    assert (str(mechanism.level), mechanism.named) == ("probable", ("X-1",))
    assert mechanism.weakest is not None
    assert (mechanism.weakest.name, mechanism.weakest.refs) == ("custody-accounted", ("I-4", "C-1"))
    assert str(reason.level) == "undetermined"


@pytest.mark.parametrize(
    ("part", "old", "new", "says"),
    [
        ("mechanism", "level: probable", "level: established", "nobody had charge of I-4"),
        ("reason", "level: undetermined", "level: possible", "no explanation of why it came to be so"),
    ],
)
def test_one_level_more_is_refused_with_the_weakest_link(
    tmp_path: Path, part: str, old: str, new: str, says: str
) -> None:
    core = changed(tmp_path, ("conclusion.yml", old, new)).core
    (found,) = [one for one in core.problems if one.rule == "level-above-ceiling"]
    assert found.level is Level.REJECT and found.found.startswith(f"the {part} is held as") and says in found.found


def test_without_an_account_of_that_while_it_is_only_possible(tmp_path: Path) -> None:
    signed = "two corners turned up; gel moist in part,circulating-assistant,circulating-assistant,"
    gap = ("custody.csv", signed, "two corners turned up; gel moist in part,,,")
    core = changed(tmp_path, gap).core
    assert core.weighing is not None and core.weighing.mechanism.weakest is not None
    assert str(core.weighing.mechanism.level) == "possible"
    assert core.weighing.mechanism.weakest.name == "custody-unaccounted"


@pytest.mark.parametrize("refs", [["Y-log-heating-factor"], ["S-current"], ["I-4"], ["S-inhibit"], ["M-1"]])
def test_a_deciding_record_taken_away_lowers_the_level(refs: list[str]) -> None:
    found = strike(good(), open_repository(ROOT), refs)
    assert found.levels == (Fall("mechanism", "probable", "possible"),)


def test_the_print_alone_does_not_carry_it_since_the_loose_edge_was_seen() -> None:
    assert strike(good(), open_repository(ROOT), ["S-gel"]).levels == ()
    assert strike(good(), open_repository(ROOT), ["S-gel", "F-6"]).levels == (
        Fall("mechanism", "probable", "possible"),
    )
