"""The gate of a new repository on GitLab: its very script with the real git, and a request that means harm.

What GitLab sets in a job for a request: `CI_COMMIT_SHA`, `CI_MERGE_REQUEST_TARGET_BRANCH_NAME`, `CI_PROJECT_DIR` (its
published list of predefined variables). `from memory`
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from asfound.cli.init import contents
from tests.real.support import OFFLINE, PROGRAM
from tests.support.repository import Repo

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a script of a job, which runs on Linux")


@pytest.fixture
def origin(tmp_path: Path) -> Repo:
    """A new repository on its host, committed; the branch of a request is there to be written to."""
    home = tmp_path / "origin"
    for path, data in contents(("gitlab",), "Case docket", "asfound==0.1.0", example=True):
        (home / path).parent.mkdir(parents=True, exist_ok=True)
        (home / path).write_bytes(data)
    (home / ".ci/take-cases").chmod(0o755)
    repo = Repo(home)
    repo.commit("Begin")
    repo.git("switch", "-q", "-c", "request")
    return repo


def job(
    origin: Repo, tmp_path: Path, target: str = "main", name: str = "cases", **more: str
) -> tuple[subprocess.CompletedProcess[str], Path]:
    """The script of a job in a clone of the request, without the lines that ask an index for the program."""
    commit = origin.git("rev-parse", "request" if target else "main")
    clone = tmp_path / "builds" / "docket"
    clone.mkdir(parents=True)
    inner = Repo(clone)
    inner.git("remote", "add", "origin", str(origin.root))
    inner.git("fetch", "-q", "origin", commit)
    inner.git("checkout", "-q", "--detach", commit)
    text = (clone / ".gitlab-ci.yml").read_text("utf-8") if not target else origin.git("show", "main:.gitlab-ci.yml")
    lines = yaml.safe_load(text)[name]["script"]
    kept = [one for one in lines if "pip install" not in one and "venv" not in one]
    assert (len(kept), len(lines)) == {"cases": (2, 6), "site": (1, 5)}[name]
    env = {
        **os.environ, "PATH": os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"])),
        "PYTHONPATH": os.pathsep.join((str(OFFLINE), str(PROGRAM))), "NO_MKDOCS_2_WARNING": "1", "LC_ALL": "C.UTF-8",
        "CI_PROJECT_DIR": str(clone), "CI_COMMIT_SHA": commit, "CI_MERGE_REQUEST_TARGET_BRANCH_NAME": target, **more,
    }  # fmt: skip
    done = subprocess.run(
        ["bash", "-c", "\n".join(kept)], cwd=clone, env=env, capture_output=True, text=True, check=False, timeout=170
    )
    return done, clone


def write(origin: Repo, **files: str) -> None:
    for name, text in files.items():
        place = origin.root / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    origin.commit("Request")


def test_a_request_is_judged_by_the_target_branch_and_its_site_is_kept(origin: Repo, tmp_path: Path) -> None:
    case = (origin.root / "cases/example/case.yml").read_text("utf-8")
    write(
        origin,
        **{
            "cases/example/case.yml": case.replace("A syringe emptied early", "A syringe that ran dry"),
            "mkdocs.yml": "site_name: Hostile\nhooks: [evil.py]\n",
            "evil.py": "raise SystemExit('hostile')\n",
            ".ci/take-cases": "#!/bin/sh\necho hostile\n",
            ".asfound/settings.yml": "organisation: Hostile\n",
        },
    )
    done, clone = job(origin, tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "ostile" not in done.stdout + done.stderr and not (clone / "evil.py").exists()
    assert "A syringe that ran dry" in (clone / "told/change.md").read_text("utf-8")
    assert (clone / "told/quality.json").read_text("utf-8").startswith("[")
    page = (clone / "told/site/index.html").read_text("utf-8")
    assert "A syringe that ran dry" in page and "Case docket" in page


def test_a_reject_fails_the_job_and_what_was_told_is_kept(origin: Repo, tmp_path: Path) -> None:
    case = (origin.root / "cases/example/case.yml").read_text("utf-8")
    write(origin, **{"cases/example/case.yml": case + "case: twice\n"})
    done, clone = job(origin, tmp_path)
    assert done.returncode == 1 and "yaml-duplicate-key" in done.stdout
    assert "yaml-duplicate-key" in (clone / "told/quality.json").read_text("utf-8")
    assert "yaml-duplicate-key" in (clone / "told/check.xml").read_text("utf-8")
    assert not (clone / "told/site").exists()


def test_a_link_in_a_request_is_refused(origin: Repo, tmp_path: Path) -> None:
    (origin.root / "cases/example/other.yml").symlink_to("/etc/passwd")
    origin.commit("Request")
    done, _ = job(origin, tmp_path)
    assert done.returncode == 1 and "cases/example/other.yml is a symbolic link" in done.stderr


def test_the_main_branch_itself_is_checked_as_it_stands(origin: Repo, tmp_path: Path) -> None:
    done, clone = job(origin, tmp_path, target="")
    assert done.returncode == 0, done.stdout + done.stderr
    assert (clone / "told/site/index.html").is_file() and not (clone / "told/change.md").exists()


@pytest.mark.parametrize("readers", ["", "the risk committee"])
def test_a_site_is_made_for_readers_who_are_named_and_for_nobody_else(
    origin: Repo, tmp_path: Path, readers: str
) -> None:
    done, clone = job(origin, tmp_path, target="", name="site", READERS=readers)
    if not readers:
        assert done.returncode == 1 and "Who may read this site?" in done.stderr and not (clone / "site").exists()
        return
    assert done.returncode == 0, done.stdout + done.stderr
    assert "For: the risk committee" in (clone / "site/index.html").read_text("utf-8")


def test_a_submodule_and_a_hook_of_a_request_have_no_say(origin: Repo, tmp_path: Path) -> None:
    commit = origin.git("rev-parse", "main")
    origin.git("update-index", "--add", "--cacheinfo", f"160000,{commit},cases/example/other")
    origin.git("commit", "-q", "-m", "Request")
    origin.git("checkout", "-q", "-f", "main")
    done, _ = job(origin, tmp_path)
    assert done.returncode == 1 and "cases/example/other is another repository" in done.stderr
