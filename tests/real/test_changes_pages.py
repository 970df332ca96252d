"""The record of changes on a real site: with the whole history, without, cut short, and switched off."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
from pathlib import Path

import pytest

from ..support.correction import typed_again
from ..support.repository import Repo
from .support import PLAIN, base, build, configure

CHANGES = "site/case/base/changes/index.html"


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """The base case, committed, and a reading corrected in a second commit."""
    made = Repo(configure(base(tmp_path / "here"), PLAIN))
    made.commit("All of it")
    readings = made.root / "cases/base/readings/flow.csv"
    text = readings.read_text("utf-8")
    readings.write_text(typed_again(text, "4,100,111.9", "4,100,111.8"), "utf-8", newline="\n")
    made.commit("Read the photograph of the display again")
    return made


def test_each_record_leads_to_its_part_of_the_page(repo: Repo) -> None:
    build(repo.root)
    page = (repo.root / CHANGES).read_text("utf-8")
    assert "“111.9” → “111.8”" in page and "Read the photograph of the display again" in page
    assert "bench@example.org" not in page and "A. Bench" not in page
    finding = (repo.root / "site/case/base/findings/index.html").read_text("utf-8")
    assert 'href="../changes/#of-F-1"' in finding and 'id="of-F-1"' in page
    # The head of the page and the search know nothing of it: it is no part of the report.
    assert "111.9" not in (repo.root / "site/assets/asfound/asfound-index.js").read_text("utf-8")


def test_a_folder_that_moved_keeps_its_history_and_a_squash_says_what_it_erased(repo: Repo) -> None:
    repo.git("mv", "cases/base", "cases/renamed")
    repo.commit("Another folder")
    build(repo.root)
    page = (repo.root / CHANGES).read_text("utf-8")
    assert "“111.9” → “111.8”" in page and "Another folder" in page
    assert "The plan and its first results entered git in one commit" in page


def test_switched_off_nobody_asks_git(repo: Repo) -> None:
    configure(repo.root, PLAIN, asfound={"history": False})
    build(repo.root)
    page = (repo.root / CHANGES).read_text("utf-8")
    assert "Not provable. The history was not asked for." in page
    assert "#of-" not in (repo.root / "site/case/base/findings/index.html").read_text("utf-8")


def test_outside_git_one_sentence_says_so(tmp_path: Path) -> None:
    root = configure(base(tmp_path / "bare"), PLAIN)
    build(root)
    assert "Not provable. The cases do not lie in a git repository" in (root / CHANGES).read_text("utf-8")


def test_a_clone_that_is_cut_short_is_refused_with_the_way_to_mend_it_and_the_site_still_builds(
    repo: Repo, tmp_path: Path
) -> None:
    short = tmp_path / "short"
    subprocess.run(["git", "clone", "-q", "--depth", "1", f"file://{repo.root}", str(short)], check=True)
    build(short)
    page = (short / CHANGES).read_text("utf-8")
    assert "Not provable." in page and "git fetch --unshallow" in page and "<h2" not in page.split("af-caution")[0]


def test_an_unborn_branch_and_a_folder_that_is_not_committed_build_too(tmp_path: Path) -> None:
    unborn = Repo(configure(base(tmp_path / "unborn"), PLAIN))
    build(unborn.root)
    assert "No commit holds the case yet" in (unborn.root / CHANGES).read_text("utf-8")
    (unborn.root / ".gitignore").write_text("site\n", "utf-8")
    unborn.git("add", ".gitignore")
    unborn.git("commit", "-q", "-m", "Something else")
    build(unborn.root)
    assert "Not committed yet" in (unborn.root / CHANGES).read_text("utf-8")


def test_git_is_called_a_few_times_for_a_site_and_never_for_a_page(repo: Repo, tmp_path: Path) -> None:
    for name in ("two", "three"):
        shutil.copytree(repo.root / "cases/base", repo.root / "cases" / name)
        head = repo.root / "cases" / name / "case.yml"
        head.write_text(head.read_text("utf-8").replace("case: base", f"case: {name}"), "utf-8")
    repo.commit("Two more")
    real = shutil.which("git")
    assert real is not None
    counted = tmp_path / "bin" / "git"
    counted.parent.mkdir()
    calls = tmp_path / "calls"
    counted.write_text(f'#!/bin/sh\necho "$@" >> "{calls}"\nexec "{real}" "$@"\n', "utf-8")
    counted.chmod(counted.stat().st_mode | stat.S_IXUSR)
    build(repo.root, PATH=f"{counted.parent}{os.pathsep}{os.environ['PATH']}")
    lines = calls.read_text("utf-8").splitlines()
    assert sum(" log " in line for line in lines) == 1
    pages = len(list((repo.root / "site" / "case").rglob("index.html")))
    assert pages >= 36 and len(lines) < pages


def test_the_same_history_gives_the_same_bytes(repo: Repo, tmp_path: Path) -> None:
    build(repo.root)
    clone = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", f"file://{repo.root}", str(clone)], check=True)
    build(clone)
    first, second = ((root / CHANGES).read_bytes() for root in (repo.root, clone))
    assert first == second and str(tmp_path).encode() not in first
