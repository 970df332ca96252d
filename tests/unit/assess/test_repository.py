"""Where a repository begins, which folders are cases, and that nothing people put there ends in a traceback."""

from __future__ import annotations

import datetime as dt
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.assess import assess_case, assess_cases, find_cases, find_root, open_repository
from asfound.problems import Level

ON = dt.date(2026, 5, 5)
HEAD = """\
case: {name}
title: A tingle at the warmer
stage: open
event:
  kind: shock
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock of the room, read by the nurse
  where: day surgery, room 2
  account: The nurse reports a tingle when a hand touched the pole of the warmer.
harmed: none
"""


def case(root: Path, folder: str, name: str = "small") -> Path:
    """A case of one file."""
    place = root / folder
    place.mkdir(parents=True)
    (place / "case.yml").write_text(HEAD.format(name=name), encoding="utf-8")
    return place


@pytest.mark.parametrize("mark", [".asfound", ".git", "mkdocs.yml"])
def test_the_root_is_the_nearest_folder_with_a_mark(tmp_path: Path, mark: str) -> None:
    deep = tmp_path / "a" / "b" / "c"
    deep.mkdir(parents=True)
    (tmp_path / "a" / mark).mkdir()
    (tmp_path / ".git").mkdir()
    assert find_root(deep) == (tmp_path / "a").resolve()


def test_cases_are_found_at_any_depth_but_not_in_evidence_or_hidden_folders(tmp_path: Path) -> None:
    for folder in ("cases/b", "cases/2026/a", "cases/b/evidence/old", "cases/.trash/c", "cases/evidence/d", "other/e"):
        case(tmp_path, folder)
    (tmp_path / "cases" / "empty").mkdir()
    found = [path.relative_to(tmp_path).as_posix() for path in find_cases(tmp_path)]
    assert found == ["cases/2026/a", "cases/b"]
    assert [path.name for path in find_cases(tmp_path, "other")] == ["e"]
    assert find_cases(tmp_path, "nowhere") == ()


def test_a_folder_that_goes_while_cases_are_looked_for_is_not_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for folder in ("cases/a", "cases/b", "cases/c"):
        case(tmp_path, folder)
        (tmp_path / folder / "readings").mkdir()
    opened = os.scandir

    def open_late(place: str | int) -> Iterator[os.DirEntry[str]]:
        # Listed with the folder above it and gone when it is opened: a folder of one case, and another case whole.
        if str(place) == str(tmp_path / "cases/a/readings"):
            (tmp_path / "cases/a/readings").rmdir()
        elif str(place) == str(tmp_path / "cases/b"):
            shutil.rmtree(tmp_path / "cases/b")
        return opened(place)

    monkeypatch.setattr(os, "scandir", open_late)
    assert [path.name for path in find_cases(tmp_path)] == ["a", "c"]
    assert not (tmp_path / "cases/b").exists()


def test_two_cases_with_one_identity(tmp_path: Path) -> None:
    case(tmp_path, "cases/a")
    case(tmp_path, "cases/b")
    case(tmp_path, "cases/c", "other")
    first, second, third = assess_cases(tmp_path, find_cases(tmp_path), ON)
    assert not [one for one in (*first.problems, *third.problems) if one.rule == "case-id-twice"]
    [twice] = [one for one in second.problems if one.rule == "case-id-twice"]
    assert (twice.span.path, twice.level) == ("cases/b/case.yml", Level.REJECT) and "cases/a" in twice.found
    assert second.dossier is not None and twice in second.dossier.core.problems


def test_the_organisations_faults_stand_apart_and_once(tmp_path: Path) -> None:
    case(tmp_path, "cases/a")
    case(tmp_path, "cases/b", "other")
    (tmp_path / ".asfound").mkdir()
    (tmp_path / ".asfound" / "settings.yml").write_text("organisation: [a]\nrepeats_wanted: many\n", encoding="utf-8")
    found = assess_cases(tmp_path, find_cases(tmp_path), ON)
    assert [one.folder for one in found] == [".asfound", "cases/a", "cases/b"]
    assert found[0].dossier is None
    assert [one.span.line for one in found[0].problems] == [1, 2], "both faults of the file in one run"


def test_every_broken_file_speaks_in_one_run(tmp_path: Path) -> None:
    place = case(tmp_path, "cases/a")
    for name, text in {
        "items.yml": "I-1: {what: [}\n",
        "scene.yml": "recorded_at: yesterday\n",
        "custody.csv": "line,items\n1\n",
        "plan.yml": b"\xff\xfe",
        "findings.yml": "F-1:\n  text: a\n  colour: red\n",
        "sheets.yml": "S-a: none\n",
        "clocks.yml": "- K-1\n",
    }.items():
        (place / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    made = assess_case(tmp_path, place, ON)
    assert made.dossier is not None
    spoken = {one.span.path.rpartition("/")[2] for one in made.problems if one.level is Level.REJECT}
    assert spoken >= {"items.yml", "scene.yml", "custody.csv", "plan.yml", "findings.yml", "sheets.yml", "clocks.yml"}
    assert list(made.problems) == sorted(made.problems, key=lambda one: one.key)


def test_a_case_whose_head_cannot_be_read_has_problems_and_no_dossier(tmp_path: Path) -> None:
    place = case(tmp_path, "cases/a")
    (place / "case.yml").write_text("case: [unfinished\n", encoding="utf-8")
    made = assess_case(tmp_path, place, ON)
    assert made.dossier is None and made.count(Level.REJECT) >= 1 and made.folder == "cases/a"


def test_odd_things_where_a_case_should_be(tmp_path: Path) -> None:
    """A folder called case.yml, links to a case elsewhere, a link to nothing: told, not fallen over."""
    root = tmp_path / "repository"
    (root / "cases" / "a" / "case.yml").mkdir(parents=True)
    outside = case(tmp_path / "elsewhere", "x")
    (root / "cases" / "linked").symlink_to(outside)
    (root / "cases" / "b").mkdir()
    (root / "cases" / "b" / "case.yml").symlink_to(outside / "case.yml")
    (root / "cases" / "c").mkdir()
    (root / "cases" / "c" / "case.yml").symlink_to(root / "nothing")
    found = assess_cases(root, find_cases(root), ON)
    assert {one.folder for one in found} >= {"cases/a", "cases/b"}
    for one in found:
        assert one.count(Level.REJECT) >= 1, one
        assert one.folder.startswith("cases/")


def test_an_open_repository_holds_the_packaged_book(tmp_path: Path) -> None:
    shared = open_repository(tmp_path)
    assert shared.problems == () and "iec-62353-2014" in shared.book.sets and "generic" in shared.book.protocols
