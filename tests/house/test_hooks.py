"""The hooks, with the real pre-commit in a real repository."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent


def git(where: Path, *arguments: str) -> None:
    """Run git, or fail with what it said."""
    done = subprocess.run(
        ["git", "-c", "user.name=test", "-c", "user.email=test@example.org", *arguments],
        cwd=where, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def run_hook(where: Path) -> subprocess.CompletedProcess[str]:
    """The offered hook, over every file."""
    environment = {
        **os.environ,
        "PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}",
        "PRE_COMMIT_HOME": str(where / ".home"),
    }
    return subprocess.run(
        [BIN / "pre-commit", "run", "--all-files"], cwd=where, capture_output=True, text=True, env=environment
    )


def test_the_offered_hook_stops_a_reject_and_lets_a_clean_case_pass(tmp_path: Path) -> None:
    (offered,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))
    # From a checkout of ours pre-commit would build an environment from an index; here it takes the one that is there.
    local = {**offered, "language": "system"}
    (tmp_path / ".pre-commit-config.yaml").write_text(yaml.safe_dump({"repos": [{"repo": "local", "hooks": [local]}]}))
    base = ROOT / "tests" / "rules" / "base"
    shutil.copytree(base / ".asfound", tmp_path / ".asfound")
    shutil.copytree(base / "cases", tmp_path / "cases")
    git(tmp_path, "init", "-q")
    git(tmp_path, "add", ".")
    clean = run_hook(tmp_path)
    assert clean.returncode == 0, clean.stdout + clean.stderr
    items = tmp_path / "cases" / "base" / "items.yml"
    items.write_text(items.read_text("utf-8") + "\nI-1:\n  what: a second first item\n", "utf-8")
    git(tmp_path, "add", ".")
    stopped = run_hook(tmp_path)
    assert stopped.returncode == 1
    assert "yaml-duplicate-key" in stopped.stdout


@pytest.mark.parametrize(
    ("command", "name"),
    [("validate-manifest", ".pre-commit-hooks.yaml"), ("validate-config", ".pre-commit-config.yaml")],
)
def test_pre_commit_takes_our_files_without_a_word(command: str, name: str, tmp_path: Path) -> None:
    env = {**os.environ, "PRE_COMMIT_HOME": str(tmp_path)}
    done = subprocess.run([BIN / "pre-commit", command, ROOT / name], capture_output=True, text=True, env=env)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_our_own_hooks_name_programs_that_the_readme_s_environment_holds() -> None:
    (repo,) = yaml.safe_load((ROOT / ".pre-commit-config.yaml").read_text("utf-8"))["repos"]
    assert repo["repo"] == "local"
    for hook in repo["hooks"]:
        program = hook["entry"].split()[0]
        assert program.startswith(".venv/bin/")
        assert shutil.which(program.removeprefix(".venv/bin/"), path=str(BIN)), program


def test_the_offered_hook_looks_at_cases_and_bench_and_at_nothing_else() -> None:
    (offered,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))
    wanted = re.compile(offered["files"])
    assert wanted.search("cases/a/readings/output.csv")
    assert wanted.search("cases/a/evidence/photographs/pad.jpg")
    assert wanted.search(".asfound/limits/own.yml")
    assert not wanted.search("README.md")
    assert not wanted.search("tests/cases/a/case.yml")
    # A case is checked as a whole, once: no list of files, and nothing beside it.
    assert offered["pass_filenames"] is False
    assert offered["require_serial"] is True
