"""The job for GitLab that the manual shows, carried out line by line as a runner does, on a request that means harm."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from junitparser import JUnitXml

from ..support.repository import Repo

ROOT = Path(__file__).parents[2]
MANUAL = ROOT / "plugin/asfound/pages/manual/review.md"
BASE = Path(__file__).parents[1] / "rules/base"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a script of a runner on Linux")


def job() -> dict[str, object]:
    (block,) = re.findall(r"```yaml\n(check:\n.*?)```", MANUAL.read_text("utf-8"), re.DOTALL)
    data = yaml.load(block, yaml.BaseLoader)["check"]
    assert isinstance(data, dict)
    return data


def carried_out(repo: Repo, base: str) -> subprocess.CompletedProcess[str]:
    script = job()["script"]
    assert isinstance(script, list) and script[0] == "pip install --quiet asfound"
    env = {
        **os.environ, "CI_MERGE_REQUEST_DIFF_BASE_SHA": base, "CI_COMMIT_SHA": repo.git("rev-parse", "HEAD"),
        "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}", "ASFOUND_CACHE": "off",
    }  # fmt: skip
    text = "set -eo pipefail\n" + "\n".join(script[1:])
    return subprocess.run(["bash", "-c", text], cwd=repo.root, env=env, capture_output=True, text=True, check=False)


def test_a_request_that_brings_its_own_bench_is_judged_by_that_of_the_base(tmp_path: Path) -> None:
    shutil.copytree(BASE, tmp_path / "here")
    repo = Repo(tmp_path / "here")
    base = repo.commit("the case")
    bench = repo.root / ".asfound/instruments.yml"
    honest = bench.read_text("utf-8")
    bench.write_text(honest.replace("what: Flow analyser", "what: Forged"), "utf-8")
    (repo.root / ".asfound/words").mkdir(exist_ok=True)
    (repo.root / ".asfound/words/own.yml").write_text("lists: nothing that can be read\n", "utf-8")
    repo.commit("Bring a bench of its own")
    done = carried_out(repo, base)
    assert done.returncode == 0, done.stderr
    assert bench.read_text("utf-8") == honest and not (repo.root / ".asfound/words/own.yml").exists()
    assert "no account is taken of it here" in (repo.root / "change.html").read_text("utf-8")
    report = json.loads((repo.root / "quality.json").read_text("utf-8"))
    # Of the order of work git can prove nothing here, which is said, and of nobody's bench anything else.
    assert [one["severity"] for one in report] == ["info"] and report[0]["check_name"] == "statements-opened-early"


def test_a_reject_fails_the_job_and_all_reports_are_there(tmp_path: Path) -> None:
    shutil.copytree(BASE, tmp_path / "here")
    repo = Repo(tmp_path / "here")
    base = repo.commit("the case")
    (repo.root / "cases/base/evidence/plan.txt").write_text("another plan\n", "utf-8")
    repo.commit("Edit evidence in place")
    done = carried_out(repo, base)
    assert done.returncode == 1
    report = json.loads((repo.root / "quality.json").read_text("utf-8"))
    assert report[0]["check_name"] == "evidence-altered" and report[0]["severity"] == "blocker"
    assert sum(suite.failures for suite in JUnitXml.fromfile(str(repo.root / "tests.xml"))) == 1
    artifacts = job()["artifacts"]
    assert isinstance(artifacts, dict)
    for name in (*artifacts["paths"], *artifacts["reports"].values()):
        assert (repo.root / name).is_file()
