"""`asfound init`: what it writes, what it leaves, and that it does both the same way each time."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.unit.cli.support import Done, run

Call = Callable[..., Done]


@pytest.fixture
def call(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Call:
    return lambda *arguments: run(capsys, monkeypatch, tmp_path, *arguments)


def files(root: Path) -> dict[str, bytes]:
    """Every file below a folder but git's own, by its path."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and ".git" not in path.relative_to(root).parts
    }


def test_a_new_repository_passes_the_check_and_names_each_file_it_wrote(tmp_path: Path, call: Call) -> None:
    done = call("init", "docket")
    made = files(tmp_path / "docket")
    assert (done.code, set(done.out.splitlines())) == (0, set(made))
    assert {
        "README.md", "mkdocs.yml", ".gitignore", ".gitattributes", ".editorconfig", ".pre-commit-config.yaml",
        ".github/workflows/check.yml", ".github/workflows/publish.yml", ".gitlab-ci.yml", ".ci/take-cases",
        ".asfound/instruments.yml", ".asfound/allowed_signers", ".asfound/roles.yml", ".asfound/settings.yml",
        ".asfound/limits/README.md", ".asfound/schemas/items.schema.json", ".vscode/settings.json",
        "cases/example/case.yml",
    } <= set(made)  # fmt: skip
    assert not [name for name, data in made.items() if re.search(rb"%%[A-Z]+%%", data)]
    assert (tmp_path / "docket/.ci/take-cases").stat().st_mode & 0o111
    checked = call("check", "--root", "docket", "--on", "2026-05-05")
    assert checked.code == 0 and " reject " not in checked.out and " warn " not in checked.out, checked.out
    # Nothing in .asfound/ is complained of, and of the example only what an hour cannot have brought.
    assert ".asfound" not in checked.out and "opinion" not in checked.out


def test_the_same_asked_for_twice_gives_the_same_bytes(tmp_path: Path, call: Call) -> None:
    assert call("init", "one").code == call("init", "two").code == 0
    assert files(tmp_path / "one") == files(tmp_path / "two")


def test_what_stands_there_is_left_and_named(tmp_path: Path, call: Call) -> None:
    whole = files_of(call, tmp_path, "whole")
    home = tmp_path / "begun"
    home.mkdir()
    (home / "README.md").write_bytes(b"ours\r\n")
    (home / ".gitignore").write_bytes(whole[".gitignore"])
    (home / "mkdocs.yml").symlink_to(tmp_path / "elsewhere.yml")
    done = call("init", "begun")
    assert done.code == 0
    assert (home / "README.md").read_bytes() == b"ours\r\n" and not (tmp_path / "elsewhere.yml").exists()
    assert f"{len(whole) - 3} files written in begun, 1 were there as they are." in done.err
    left = done.err.split("say something else:\n")[1].split("To see")[0].split()
    assert left == ["README.md", "mkdocs.yml"]
    again = call("init", "begun")
    assert (again.code, again.out) == (0, "") and "0 files written" in again.err


def files_of(call: Call, root: Path, name: str) -> dict[str, bytes]:
    assert call("init", name).code == 0
    return files(root / name)


@pytest.mark.parametrize(
    ("hosts", "there", "not_there"),
    [
        (("github",), ".github/workflows/check.yml", ".gitlab-ci.yml"),
        (("gitlab",), ".gitlab-ci.yml", ".github"),
        (("none",), "mkdocs.yml", ".github"),
    ],
)
def test_only_the_workflows_of_the_hosts_that_were_named(
    tmp_path: Path, call: Call, hosts: tuple[str, ...], there: str, not_there: str
) -> None:
    done = call("init", "d", *(f"--host={one}" for one in hosts), "--no-example", "--name", 'A "ward" & more')
    assert done.code == 0 and (tmp_path / "d" / there).exists() and not (tmp_path / "d" / not_there).exists()
    told = (tmp_path / "d/README.md").read_text("utf-8")
    assert f"`{not_there}" not in told and told.startswith('# A "ward" & more\n') and "example" not in told
    assert [name for name in files(tmp_path / "d") if name.startswith("cases/")] == ["cases/.gitkeep"]
    assert 'site_name: "A \\"ward\\" & more"\n' in (tmp_path / "d/mkdocs.yml").read_text("utf-8")


def test_it_makes_a_repository_of_git_and_works_in_one(tmp_path: Path, call: Call) -> None:
    made = call("init", "d")
    assert "a repository of git now" in made.err
    head = subprocess.run(["git", "symbolic-ref", "HEAD"], cwd=tmp_path / "d", capture_output=True, text=True)
    assert head.stdout == "refs/heads/main\n"
    there = call("init", "d")
    assert "repository of git" not in there.err
    inner = call("init", "d/inner")
    assert inner.code == 0 and "begins further up" in inner.err and not (tmp_path / "d/inner/.git").exists()
    plain = call("init", "e", "--no-git")
    assert "git init -b main e" in plain.err and not (tmp_path / "e/.git").exists()


def test_no_setting_of_a_person_gets_into_the_new_repository(
    tmp_path: Path, call: Call, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A template of git's may hold hooks; they run only where somebody put them there."""
    (tmp_path / "template/hooks").mkdir(parents=True)
    (tmp_path / "template/hooks/pre-commit").write_text("#!/bin/sh\nexit 1\n", "utf-8")
    monkeypatch.setenv("GIT_TEMPLATE_DIR", str(tmp_path / "template"))
    assert call("init", "d").code == 0
    assert not (tmp_path / "d/.git/hooks/pre-commit").exists()


def test_without_git_it_says_how(call: Call, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda _name: None)
    done = call("init", "d")
    assert done.code == 0 and "There is no git here; install it, then: git init -b main d" in done.err


def test_a_dry_run_writes_nothing_and_names_the_same_files(tmp_path: Path, call: Call) -> None:
    dry = call("init", "d", "--dry-run")
    assert dry.code == 0 and not (tmp_path / "d").exists()
    assert call("init", "d").out == dry.out


@pytest.mark.parametrize(
    "program", ["-r other.txt", "--index-url=x asfound", "# asfound", "other==1", "asfound==1\nx", ""]
)
def test_what_pip_would_not_take_for_the_program_is_refused(tmp_path: Path, call: Call, program: str) -> None:
    done = call("init", "d", "--program", program)
    assert done.code == 2 and "--program" in done.err and not (tmp_path / "d").exists()


def test_another_program_is_written_where_the_workflows_take_it_from(tmp_path: Path, call: Call) -> None:
    assert call("init", "d", "--program", "./asfound-0.1.0-py3-none-any.whl").code == 0
    last = (tmp_path / "d/.ci/program.txt").read_text("utf-8").splitlines()[-1]
    assert last == "./asfound-0.1.0-py3-none-any.whl"


def test_a_file_in_the_place_of_a_folder_and_two_hosts_that_exclude_each_other(tmp_path: Path, call: Call) -> None:
    (tmp_path / "d").write_text("x", "utf-8")
    assert call("init", "d").code == 2
    assert call("init", "e", "--host", "none", "--host", "github").code == 2
    (tmp_path / "e").mkdir()
    (tmp_path / "e/.ci").write_text("x", "utf-8")
    done = call("init", "e")
    assert done.code == 1 and "“.ci” leads through a link or through what is no folder" in done.err
    assert "Traceback" not in done.err


def test_editors_find_a_schema_for_every_file_by_the_line_and_by_the_settings(tmp_path: Path, call: Call) -> None:
    assert call("init", "d").code == 0
    home = tmp_path / "d"
    led = 0
    for name in files(home):
        if name.endswith(".yml") and name.startswith((".asfound", "cases")):
            line = (home / name).read_text("utf-8").splitlines()[0]
            to = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", line)
            assert to and json.loads(((home / name).parent / to[1]).read_text("utf-8"))["title"].startswith("Asfound: ")
            led += 1
    assert led == 6
    settings = json.loads((home / ".vscode/settings.json").read_text("utf-8"))
    assert all((home / name).is_file() for name in settings["yaml.schemas"])
    assert settings["files.readonlyInclude"]["**/evidence/**"] is True
