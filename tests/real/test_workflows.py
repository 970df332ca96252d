"""The workflows, read by `zizmor`, a linter of workflows that looks for what a hostile request could use."""

from __future__ import annotations

import json
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


def test_the_linter_finds_only_the_trigger_that_is_meant() -> None:
    """The trigger takes program and configuration from the base, and cases/ alone from the request, as data."""
    assert findings(*sorted((ROOT / ".github/workflows").glob("*.yml"))) == {("dangerous-triggers", "check.yml")}


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
    assert len(made) == 2 and findings(*made) == {("dangerous-triggers", "check.yml")}
