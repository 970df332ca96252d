"""Deployments of the whole site side by side (the program mike) keep working, each with its editions."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.repository import Repo

from .conftest import ADDRESS
from .support import MATERIAL, Page, configure, environment
from .test_editions_pages import repository

HERE = Path(sys.executable).parent
"""Where the programs of this very environment lie; mike calls the site engine by its name."""


def _mike(root: Path, *arguments: str) -> str:
    who = {"GIT_COMMITTER_NAME": "A. Bench", "GIT_COMMITTER_EMAIL": "bench@example.org"}
    who |= {"GIT_AUTHOR_NAME": "A. Bench", "GIT_AUTHOR_EMAIL": "bench@example.org"}
    env = environment(**who, PATH=f"{HERE}{os.pathsep}{os.environ['PATH']}")
    done = subprocess.run(
        [str(HERE / "mike"), *arguments], cwd=root, env=env, capture_output=True, text=True, check=False, timeout=170
    )
    assert done.returncode == 0, done.stderr or done.stdout
    return done.stdout


@pytest.fixture(scope="module")
def deployed(tmp_path_factory: pytest.TempPathFactory) -> Repo:
    root = tmp_path_factory.mktemp("versions")
    configure(repository(root), MATERIAL, site_url=ADDRESS, extra={"version": {"provider": "mike"}})
    (root / ".gitignore").write_text("site/\n")
    repo = Repo(root)
    repo.commit("the case with its editions")
    _mike(root, "deploy", "--update-aliases", "2026-03", "latest")
    _mike(root, "deploy", "2026-04")
    _mike(root, "set-default", "latest")
    return repo


def test_every_version_holds_every_edition(deployed: Repo) -> None:
    said = json.loads(_mike(deployed.root, "list", "--json"))
    assert {one["version"] for one in said} == {"2026-03", "2026-04"}
    files = set(deployed.git("ls-tree", "-r", "--name-only", "gh-pages").splitlines())
    for version in ("2026-03", "2026-04"):
        for page in ("edition/1", "edition/2", "edition/2/changes", "edition/2/since"):
            assert f"{version}/case/base/{page}/index.html" in files


def test_a_superseded_edition_points_to_the_newest_of_its_own_version(deployed: Repo) -> None:
    text = deployed.git("show", "gh-pages:2026-04/case/base/edition/1/index.html")
    page = Page(Path("index.html"), text)
    links = [one.attributes["href"] for one in page.all("link") if one.attributes.get("rel") == "canonical"]
    assert links == [f"{ADDRESS}2026-04/case/base/edition/2/"]
    assert [one.attributes["content"] for one in page.all("meta") if one.attributes.get("name") == "robots"] == [
        "noindex"
    ]
