"""The gate and the publishing of a new repository on GitHub: every `run:` step in bash, and requests that mean harm."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.cli.init import contents
from tests.support.repository import Repo
from tests.support.runner import Ran, Runner, job_of

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="scripts of workflows, which run on Linux")

CASE = "cases/example/case.yml"
HOSTILE = {
    "mkdocs.yml": "site_name: Hostile\nhooks: [evil.py]\n",
    "evil.py": "raise SystemExit('hostile')\n",
    ".ci/take-cases": "#!/bin/sh\necho hostile\n",
    ".ci/requirements.txt": "hostile==1.0\n",
    ".ci/program.txt": "hostile\n",
    ".github/workflows/check.yml": "on: pull_request_target\njobs: {cases: {steps: [{run: echo hostile}]}}\n",
    ".asfound/settings.yml": "organisation: Hostile\n",
    ".asfound/limits/easy.yml": "set: hostile\n",
    ".gitattributes": "cases/** filter=evil\n*.yml export-subst ident\n",
    ".gitmodules": '[submodule "x"]\n\tpath = x\n\turl = https://hostile.example/x\n',
    ".pre-commit-config.yaml": "repos: [{repo: https://hostile.example, rev: x, hooks: [{id: x}]}]\n",
    "asfound.py": "raise SystemExit('hostile')\n",
    "sitecustomize.py": "raise SystemExit('hostile')\n",
    "plugin/asfound/__init__.py": "raise SystemExit('hostile')\n",
    "cases/.gitattributes": "* filter=evil text eol=crlf\n",
    "cases/conftest.py": "raise SystemExit('hostile')\n",
}


@pytest.fixture
def origin(tmp_path: Path) -> Repo:
    """A new repository on its host, committed; the branch of a request is there to be written to."""
    home = tmp_path / "origin"
    for path, data in contents(("github",), "Case docket", "asfound==0.1.0", example=True):
        (home / path).parent.mkdir(parents=True, exist_ok=True)
        (home / path).write_bytes(data)
    (home / ".ci/take-cases").chmod(0o755)
    repo = Repo(home)
    repo.commit("Begin")
    repo.git("switch", "-q", "-c", "request")
    return repo


def write(origin: Repo, **files: str) -> None:
    for name, text in files.items():
        place = origin.root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    origin.commit("Request")


def renamed(origin: Repo, title: str) -> dict[str, str]:
    case = (origin.root / CASE).read_text("utf-8")
    assert case.count("A syringe emptied early (invented)") == 1
    return {CASE: case.replace("A syringe emptied early (invented)", title)}


def merged(origin: Repo) -> str:
    """The commit the host makes of a request that can be merged, where it keeps it: main first, then the request."""
    tree = origin.git("merge-tree", "--write-tree", "main", "request").splitlines()[0]
    commit = origin.git("commit-tree", tree, "-p", "main", "-p", "request", "-m", "merge")
    origin.git("update-ref", "refs/pull/7/merge", commit)
    return commit


def context(origin: Repo, event: str = "pull_request_target", head: str = "") -> dict[str, str]:
    main = origin.git("rev-parse", "main")
    asked = event == "pull_request_target"
    return {
        "github.event_name": event,
        "github.sha": main,
        "github.token": "a-token",
        "github.event.pull_request.base.sha": main if asked else "",
        "github.event.pull_request.number": "7" if asked else "",
        "github.event.pull_request.head.sha": (head or origin.git("rev-parse", "request")) if asked else "",
        "inputs.readers": "the risk committee @everybody ::error::x",
    }


def gate(origin: Repo, tmp_path: Path, event: str = "pull_request_target", head: str = "") -> tuple[Ran, Runner]:
    """The job `cases` of check.yml as it stands in the base: a host takes the file of such a run from there."""
    runner = Runner(tmp_path / "machine", origin, context(origin, event, head))
    return runner.run(*job_of(origin.git("show", "main:.github/workflows/check.yml"), "cases")), runner


def test_a_request_is_checked_told_and_built_by_every_step(origin: Repo, tmp_path: Path) -> None:
    write(origin, **renamed(origin, "A syringe that ran dry"))
    merged(origin)
    ran, runner = gate(origin, tmp_path)
    assert ran.ok, ran.log
    assert set(ran.steps.values()) == {0} and len(ran.steps) == 10
    assert "A syringe that ran dry" in runner.summary.read_text("utf-8")
    change = ran.kept["change"]
    assert sorted(one.name for one in change.iterdir()) == ["change.html", "comment.md", "number"]
    assert (change / "number").read_text() == "7\n"
    assert "A syringe that ran dry" in (ran.kept["site"] / "index.html").read_text("utf-8")
    # The token stood in one step's environment, and in no file the next steps could read.
    assert "a-token" not in ran.log
    config = subprocess.run(["grep", "-r", "a-token", runner.work, runner.temp], capture_output=True, check=False)
    assert config.returncode == 1


def test_of_a_request_that_means_harm_nothing_runs_and_nothing_decides(origin: Repo, tmp_path: Path) -> None:
    """Program, workflow, configuration, limits, attributes, submodules, hooks: all of the base, whatever it brings."""
    write(origin, **HOSTILE, **renamed(origin, "A syringe that ran dry"))
    merged(origin)
    asked = origin.git("show", "main:.ci/requirements.txt"), origin.git("show", "main:.ci/program.txt")
    ran, runner = gate(origin, tmp_path)
    # Two files below cases/ that are no case's are all of it that was taken, and the check says so.
    assert "ostile" not in ran.log.replace("hostile.example", ""), ran.log
    installed = [json.loads(line) for line in runner.asked.read_text().splitlines()]
    assert [one["lists"][0].strip() for one in installed] == list(asked)
    assert "--require-hashes" in installed[0]["words"] and "--no-deps" in installed[1]["words"]
    there = {one.relative_to(runner.work).as_posix() for one in runner.work.rglob("*") if ".git" not in one.parts}
    assert not there & {
        "evil.py",
        "asfound.py",
        "sitecustomize.py",
        "plugin",
        ".gitmodules",
        ".asfound/limits/easy.yml",
    }
    assert (runner.work / "mkdocs.yml").read_text("utf-8").startswith(origin.git("show", "main:mkdocs.yml")[:20])
    summary = runner.summary.read_text("utf-8")
    assert "each of .asfound" not in summary and "no account is taken of it here" in summary
    assert "A syringe that ran dry" in summary


def test_a_reject_fails_the_job_and_the_change_is_told_all_the_same(origin: Repo, tmp_path: Path) -> None:
    write(origin, **{CASE: (origin.root / CASE).read_text("utf-8") + "case: twice\n"})
    merged(origin)
    ran, _ = gate(origin, tmp_path)
    assert not ran.ok and ran.steps["Check every case"] == 1 and "title=yaml-duplicate-key" in ran.log
    assert "Build the site" not in ran.steps and "site" not in ran.kept
    assert (ran.kept["change"] / "comment.md").is_file()


def test_a_request_that_cannot_be_merged_and_one_that_moved_on_are_said(origin: Repo, tmp_path: Path) -> None:
    write(origin, **renamed(origin, "A syringe that ran dry"))
    ran, _ = gate(origin, tmp_path)
    step = "Take cases/ from the request, as data"
    assert ran.steps[step] == 1 and "cannot be merged as it is" in ran.log and "Check every case" not in ran.steps
    merged(origin)
    ran, runner = gate(origin, tmp_path / "again", head=origin.git("rev-parse", "main"))
    assert ran.steps[step] == 1 and "has changed since this run began" in ran.log
    # Nothing was taken, nothing is said to have been looked at, and no comment is made of it.
    assert "change" not in ran.kept or not (ran.kept["change"] / "number").exists()
    assert not runner.summary.exists() or not runner.summary.read_text()


@pytest.mark.parametrize(("mode", "said"), [("120000", "a symbolic link"), ("160000", "another repository")])
def test_links_and_submodules_below_cases_are_refused(origin: Repo, tmp_path: Path, mode: str, said: str) -> None:
    blob = origin.git("hash-object", "-w", "--stdin", data="/etc/passwd")
    ident = blob if mode == "120000" else origin.git("rev-parse", "HEAD")
    origin.git("update-index", "--add", "--cacheinfo", f"{mode},{ident},cases/example/other")
    origin.git("commit", "-q", "-m", "Request")
    origin.git("checkout", "-q", "-f", "main")
    merged(origin)
    ran, _ = gate(origin, tmp_path)
    assert not ran.ok and f"cases/example/other is {said}" in ran.log
    assert "Check every case" not in ran.steps


def test_words_of_a_request_speak_neither_to_the_log_nor_to_anybody(origin: Repo, tmp_path: Path) -> None:
    """A title with commands of the runner, and names of files too."""
    title = '"::error::x @everybody #1 ##[error]y ::add-mask::A"'
    write(origin, **renamed(origin, title), **{"cases/example/evidence/::error::x @all #1.txt": "x"})
    merged(origin)
    ran, runner = gate(origin, tmp_path)
    acting, stop = [], ""
    for line in ran.log.splitlines():
        # How a runner reads its log, from memory: a command begins a line, or stands behind `##[` anywhere; between
        # stop-commands and its token nothing is one.
        told = line.strip()
        if told.startswith("::stop-commands::"):
            stop = f"::{told.removeprefix('::stop-commands::')}::"
        elif stop:
            stop = "" if told == stop else stop
        elif told.startswith("::") or "##[" in told:
            acting.append(told)
    ours = ("::error file=", "::warning file=", "::notice file=", "::notice title=more::")
    assert acting and [one for one in acting if not one.startswith(ours)] == []
    for text in (runner.summary.read_text("utf-8"), (ran.kept["change"] / "comment.md").read_text("utf-8")):
        assert "@e" not in text and "@a" not in text and "`#1`" in text


def test_the_branch_itself_is_checked_as_it_stands(origin: Repo, tmp_path: Path) -> None:
    ran, runner = gate(origin, tmp_path, event="push")
    assert ran.ok, ran.log
    assert "change" not in ran.kept and "What this change does" not in runner.summary.read_text("utf-8")
    assert (ran.kept["site"] / "index.html").is_file()


@pytest.mark.parametrize(
    ("result", "code"), [("success", 0), ("failure", 1), ("skipped", 1), ("cancelled", 1), ("", 1)]
)
def test_the_required_check_passes_for_a_success_alone(origin: Repo, tmp_path: Path, result: str, code: int) -> None:
    runner = Runner(tmp_path / "machine", origin, {"needs.cases.result": result})
    runner.work.mkdir()
    ran = runner.run(*job_of(origin.git("show", "main:.github/workflows/check.yml"), "gate"))
    assert list(ran.steps.values()) == [code]


def test_publishing_checks_builds_and_writes_the_readers_on_every_page(origin: Repo, tmp_path: Path) -> None:
    runner = Runner(tmp_path / "machine", origin, context(origin, "workflow_dispatch"))
    ran = runner.run(*job_of(origin.git("show", "main:.github/workflows/publish.yml"), "site"))
    assert ran.ok, ran.log
    pages = list(ran.kept["site-to-publish"].rglob("index.html"))
    assert len(pages) > 10
    for page in pages:
        assert "For: the risk committee @everybody ::error::x" in page.read_text("utf-8"), page
