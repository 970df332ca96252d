"""The workflows, read by `zizmor`, a linter of workflows that looks for what a hostile request could use."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

from asfound.cli.init import contents

ROOT = Path(__file__).parents[2]
ZIZMOR = Path(sys.executable).parent / "zizmor"


def findings(*paths: Path) -> set[tuple[str, str]]:
    done = subprocess.run(
        [ZIZMOR, "--offline", "--no-progress", "--no-exit-codes", "--format", "json", *paths],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return {
        (one["ident"], Path(place["symbolic"]["key"]["Local"]["verbatim_path"]).name)
        for one in json.loads(done.stdout)
        for place in one["locations"]
    }


def test_the_linter_finds_nothing() -> None:
    assert findings(*sorted((ROOT / ".github/workflows").glob("*.yml"))) == set()


def test_the_linter_was_told_to_let_two_triggers_pass_and_nothing_else(tmp_path: Path) -> None:
    """Both take program and configuration from the base; of the request one takes cases/ as data, the other nothing."""
    home = tmp_path / ".github/workflows"
    home.mkdir(parents=True)
    for place in (ROOT / ".github/workflows").glob("*.yml"):
        (home / place.name).write_text(re.sub(r" # zizmor: .*", "", place.read_text("utf-8")), "utf-8")
    assert findings(*sorted(home.glob("*.yml"))) == {
        ("dangerous-triggers", "check.yml"), ("dangerous-triggers", "comment.yml")
    }  # fmt: skip


def test_the_linter_would_find_a_title_that_runs_and_an_action_that_is_not_pinned(tmp_path: Path) -> None:
    bad = tmp_path / ".github/workflows/bad.yml"
    bad.parent.mkdir(parents=True)
    bad.write_text(
        "on: [pull_request]\npermissions: {}\njobs:\n  a:\n    runs-on: ubuntu-24.04\n    steps:\n"
        "      - uses: actions/checkout@v4\n      - run: echo ${{ github.event.pull_request.title }}\n"
    )
    assert {ident for ident, _ in findings(bad)} >= {"template-injection", "unpinned-uses"}


def test_the_linter_finds_no_more_in_a_new_repository_of_cases(tmp_path: Path) -> None:
    for path, data in contents(("github",), "Case docket", "asfound==0.1.0", example=False):
        if path.startswith(".github/"):
            (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / path).write_bytes(data)
    made = sorted((tmp_path / ".github/workflows").glob("*.yml"))
    assert len(made) == 3 and findings(*made) == set()
