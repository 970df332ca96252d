"""The comment on a request: the very script of `.github/workflows/comment.yml`, with artifacts that mean harm.

`gh` is played by a small program that answers from files and keeps what it was asked to write; its `--jq` is the real
jq. What the host's payloads hold is written from memory of its documentation, but for one thing that was confirmed: of
a run on `pull_request_target` the head of the event is the base branch (actions/checkout pull request 2454).
"""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).parents[2]
WORKFLOW = yaml.load((ROOT / ".github/workflows/comment.yml").read_text("utf-8"), yaml.BaseLoader)
(STEP,) = WORKFLOW["jobs"]["comment"]["steps"]
MARKER = "<!-- asfound: what this change does -->"
COMMIT = "a" * 40
BOT = "github-actions[bot]"

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="a script of the workflows, which run on Linux"),
    pytest.mark.skipif(shutil.which("jq") is None, reason="jq is not installed; the workflows' machines have it"),
]

GH = """#!{python}
import json, pathlib, shutil, subprocess, sys
here, words = pathlib.Path({here!r}), sys.argv[1:]
with (here / "asked").open("a") as log:
    log.write(json.dumps(words) + chr(10))
if words[:2] == ["run", "download"]:
    if not (here / "artifact").is_dir():
        sys.exit("no artifact matches any of the names or patterns provided")
    shutil.copytree(here / "artifact", words[words.index("--dir") + 1], symlinks=True)
elif "--method" in words:
    body = words[words.index("-F") + 1]
    assert body.startswith("body=@")
    (here / "written").write_bytes(pathlib.Path(body[6:]).read_bytes())
else:
    name = next(one for one in words if one.startswith("repos/")).replace("/", "_")
    if not (here / name).is_file():
        sys.exit("HTTP 404")
    jq = ["jq", "-r", words[words.index("--jq") + 1], str(here / name)]
    sys.exit(subprocess.run(jq).returncode)
"""


class Host:
    """A host with one request, and the run that is commented on."""

    def __init__(self, home: Path) -> None:
        self.home = home
        (home / "bin").mkdir()
        (home / "temp").mkdir()
        gh = home / "bin/gh"
        gh.write_text(GH.format(python=sys.executable, here=str(home)), "utf-8")
        gh.chmod(gh.stat().st_mode | stat.S_IXUSR)
        self.request(7)
        self.comments(7)
        self.artifact(number="7\n", comment="## What this change does\n")

    def request(self, number: int, commit: str = COMMIT, fork: int = 55, base: str = "org/cases") -> None:
        told = {"head": {"sha": commit, "repo": {"id": fork}}, "base": {"repo": {"full_name": base}}}
        (self.home / f"repos_org_cases_pulls_{number}").write_text(json.dumps(told))

    def comments(self, number: int, *told: tuple[int, str, str]) -> None:
        found = [{"id": ident, "user": {"login": who}, "body": body} for ident, who, body in told]
        (self.home / f"repos_org_cases_issues_{number}_comments").write_text(json.dumps(found))

    def artifact(self, **files: str | bytes) -> None:
        place = self.home / "artifact"
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        for name, content in files.items():
            data = content.encode() if isinstance(content, str) else content
            (place / {"comment": "comment.md"}.get(name, name)).write_bytes(data)

    def run(self) -> subprocess.CompletedProcess[str]:
        shutil.rmtree(self.home / "temp/change", ignore_errors=True)
        env = {
            "PATH": f"{self.home / 'bin'}:{os.environ['PATH']}", "RUNNER_TEMP": str(self.home / "temp"),
            "REPOSITORY": "org/cases", "RUN": "900", "ADDRESS": "https://host.invalid/org/cases/actions/runs/900",
            "COMMIT": COMMIT, "FROM": "55", "GH_TOKEN": "none",
        }  # fmt: skip
        assert set(STEP["env"]) <= set(env)
        # As the host calls it.
        command = ["bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", STEP["run"]]
        return subprocess.run(command, env=env, capture_output=True, text=True, check=False, cwd=self.home)

    @property
    def written(self) -> str | None:
        place = self.home / "written"
        return place.read_text("utf-8") if place.exists() else None

    @property
    def asked(self) -> list[list[str]]:
        return [json.loads(line) for line in (self.home / "asked").read_text().splitlines()]


@pytest.fixture
def host(tmp_path: Path) -> Host:
    return Host(tmp_path)


def test_the_first_run_makes_a_comment_and_says_where_the_whole_is(host: Host) -> None:
    done = host.run()
    assert (done.returncode, done.stderr) == (0, "")
    assert host.written is not None and host.written.splitlines()[:2] == [MARKER, "## What this change does"]
    assert host.written.rstrip().endswith("(https://host.invalid/org/cases/actions/runs/900)")
    assert host.asked[-1][:4] == ["api", "--method", "POST", "repos/org/cases/issues/7/comments"]


def test_the_next_run_renews_its_own_comment_and_nobody_else_s(host: Host) -> None:
    host.comments(7, (1, "somebody", f"{MARKER}\nforged"), (2, BOT, "other words"), (3, BOT, f"{MARKER}\nold"))
    assert host.run().returncode == 0
    assert host.asked[-1][:4] == ["api", "--method", "PATCH", "repos/org/cases/issues/comments/3"]


@pytest.mark.parametrize("number", ["8\n", "7/../8", "7 8", "$(touch here)", "-7", "0", "", "7;8", "٧", "9" * 30])
def test_a_number_that_is_not_that_of_the_event_s_request_writes_nothing(host: Host, number: str) -> None:
    """A request of somebody else stands under 8: it is not at the commit of this event."""
    host.request(8, commit="b" * 40)
    host.comments(8)
    host.artifact(number=number, comment="text")
    host.run()
    assert host.written is None
    assert not (host.home / "here").exists()
    assert not [words for words in host.asked if "--method" in words]


@pytest.mark.parametrize("told", [{"commit": "b" * 40}, {"fork": 56}, {"base": "org/other"}])
def test_a_request_that_is_not_the_one_of_the_event_is_left_alone(host: Host, told: dict[str, Any]) -> None:
    host.request(7, **told)
    done = host.run()
    assert done.returncode == 0 and "::notice::Request 7 is not at the commit" in done.stdout
    assert host.written is None


@pytest.mark.parametrize(
    "files",
    [
        {"number": "7"},
        {"comment": "text"},
        {"number": "7", "comment": "a" * 60_001},
        {"number": "7", "comment": "hello @team"},
        {"number": "7", "comment": f"x\n{MARKER}\n"},
        {"number": "7", "comment": "<!-- another program's mark -->"},
    ],
)
def test_what_the_check_would_not_have_written_is_not_passed_on(host: Host, files: dict[str, str]) -> None:
    host.artifact(**files)
    done = host.run()
    assert done.returncode == 1 and "::error::" in done.stdout and host.written is None


def test_a_link_in_the_artifact_is_not_followed(host: Host) -> None:
    secret = host.home / "secret"
    secret.write_text("what lies on the machine")
    host.artifact(number="7")
    (host.home / "artifact/comment.md").symlink_to(secret)
    done = host.run()
    assert done.returncode == 1 and host.written is None


def test_a_run_that_left_nothing_is_no_failure(host: Host) -> None:
    shutil.rmtree(host.home / "artifact")
    done = host.run()
    assert done.returncode == 0 and "::notice::" in done.stdout and host.written is None


def test_only_runs_of_our_file_from_the_base_are_listened_to_and_nothing_is_checked_out() -> None:
    job = WORKFLOW["jobs"]["comment"]
    assert "github.event.workflow_run.event == 'pull_request_target'" in job["if"]
    assert "startsWith(github.event.workflow_run.path, '.github/workflows/check.yml')" in job["if"]
    assert WORKFLOW["permissions"] == {} and job["permissions"] == {"actions": "read", "pull-requests": "write"}
    assert [key for step in job["steps"] for key in step if key == "uses"] == []
    assert "${{" not in STEP["run"]


def test_what_it_fetches_is_what_the_check_leaves_behind() -> None:
    check = yaml.load((ROOT / ".github/workflows/check.yml").read_text("utf-8"), yaml.BaseLoader)
    steps = check["jobs"]["cases"]["steps"]
    kept = next(one for one in steps if one.get("with", {}).get("name") == "change")
    tells = next(one["run"] for one in steps if "$RUNNER_TEMP/change" in one.get("run", ""))
    assert kept["with"]["path"].endswith("/change")
    assert "--most 60000 >" in tells and "change/comment.md" in tells and "change/number" in tells
    assert check["permissions"] == {"contents": "read"}
