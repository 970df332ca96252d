"""What was said before is said again only of the very same; and which cases a commit touches."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.cli.check import run_check
from asfound.folders import find_cases
from asfound.hooks import Told, ToldBefore, touched_cases
from asfound.store import Store
from tests.rules.support import BASE
from tests.support.repository import Repo

ON = dt.date(2026, 4, 1)
CASE = "cases/base"


@pytest.fixture
def repo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repo:
    shutil.copytree(BASE, tmp_path / "here")
    monkeypatch.setenv("ASFOUND_CACHE", str(tmp_path / "cache"))
    made = Repo(tmp_path / "here")
    made.commit("the case")
    return made


def told(repo: Repo, on: dt.date = ON) -> tuple[Told, ...] | None:
    return ToldBefore(repo.root, on, Store(repo.root.parent / "cache")).all([CASE])


def append(name: str) -> Callable[[Repo], object]:
    def more(repo: Repo) -> None:
        place = repo.root / name
        place.write_text(place.read_text("utf-8") + "# a remark\n", "utf-8")

    return more


def commit(repo: Repo) -> None:
    (repo.root / "README.md").write_text("beside\n", "utf-8")
    repo.commit("beside")


@pytest.mark.parametrize("history", [True, False])
def test_a_check_is_said_again_to_the_letter(repo: Repo, capsys: pytest.CaptureFixture[str], history: bool) -> None:
    assert told(repo) is None
    code = run_check((CASE,), "text", ON.isoformat(), "reject", str(repo.root), history)
    printed = capsys.readouterr().out
    again = told(repo)
    assert again is not None and code == 0
    assert "".join(f"{line}\n" for one in again for line in one.lines) == printed
    assert "reject" not in again[-1].levels


CHANGES: dict[str, Callable[[Repo], object]] = {
    "a byte of the case": append(f"{CASE}/items.yml"),
    "a byte of the organisation's": append(".asfound/settings.yml"),
    "a file more": lambda repo: (repo.root / CASE / "evidence/new.txt").write_text("x", "utf-8"),
    "a commit": commit,
    "a tag": lambda repo: repo.git("tag", "edition/base/1"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_anything_else_is_checked_anew(repo: Repo, name: str) -> None:
    run_check((CASE,), "json", ON.isoformat(), "reject", str(repo.root))
    assert told(repo) is not None
    assert told(repo, ON + dt.timedelta(1)) is None
    CHANGES[name](repo)
    assert told(repo) is None


def test_a_broken_entry_is_no_answer(repo: Repo) -> None:
    run_check((CASE,), "text", ON.isoformat(), "reject", str(repo.root))
    for entry in (repo.root.parent / "cache").rglob("*.told"):
        entry.write_bytes(entry.read_bytes()[:-1])
    assert told(repo) is None


def test_the_cases_that_files_lie_in(tmp_path: Path) -> None:
    for name, case in {"cases/a": "a", "cases/year/b": "b", "cases/c": "a", "cases/a/evidence/inner": "x"}.items():
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "case.yml").write_text(f"case: '{case}' # its name\n", "utf-8")

    def folders(*paths: str) -> tuple[str, ...]:
        return touched_cases(tmp_path, paths).folders

    assert folders("cases/year/b/readings/flow.csv") == ("cases/year/b",)
    assert folders("cases/a/evidence/inner/case.yml") == ("cases/a", "cases/c")
    assert folders("README.md", "cases/README.md", "cases/gone/case.yml", "other/cases/a/x") == ()
    assert folders(".asfound/schemas/items.schema.json") == ()
    assert folders(".asfound/settings.yml") == ("cases/a", "cases/c", "cases/year/b")


def test_a_case_straight_in_the_folder_of_cases_is_one_as_the_check_takes_it_for_one(tmp_path: Path) -> None:
    (tmp_path / "cases/readings").mkdir(parents=True)
    (tmp_path / "cases/case.yml").write_text("case: only\n", "utf-8")
    assert touched_cases(tmp_path, ["cases/readings/flow.csv"]).folders == ("cases",)
    assert touched_cases(tmp_path, [".asfound/settings.yml"]).folders == ("cases",)
    assert [path.relative_to(tmp_path).as_posix() for path in find_cases(tmp_path)] == ["cases"]
