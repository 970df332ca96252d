"""A job of a workflow carried out: each `run:` step in bash, in order, as the host's runner does it.

What a runner does (its documentation, `from memory`): a step's script is written to a file and run by `bash -e`; a
step after one that failed runs only where its condition says `always()`; `continue-on-error` lets a failure pass;
what stands between `${{` and `}}` is put in before the shell sees anything, so here only where a value of `env` is
made of it. Steps that `uses:` something are played: a checkout by git itself, an upload by a copy.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from tests.real.support import OFFLINE, PROGRAM
from tests.support.repository import Repo

_EXPRESSION = re.compile(r"\$\{\{\s*(.+?)\s*\}\}")

PYTHON = """#!{python}
import pathlib, sys
words = sys.argv[1:]
assert words[:2] == ["-m", "venv"], words
place = pathlib.Path(words[2], "bin")
place.mkdir(parents=True)
for name, text in {{"pip": {pip!r}, "asfound": {asfound!r}, "mkdocs": {mkdocs!r}}}.items():
    (place / name).write_text(text)
    (place / name).chmod(0o755)
"""
PIP = """#!{python}
import json, pathlib, sys
words = sys.argv[1:]
lists = [pathlib.Path(words[n + 1]).read_text() for n, word in enumerate(words) if word == "-r"]
with open({log!r}, "a") as log:
    log.write(json.dumps({{"words": words, "lists": lists}}) + chr(10))
"""
STARTED = '#!/bin/sh\nexec "{bin}/{name}" "$@"\n'


@dataclass
class Ran:
    """What became of a job: whether it succeeded, each step that ran with its exit code, and all that was written."""

    ok: bool = True
    steps: dict[str, int] = field(default_factory=dict)
    log: str = ""
    kept: dict[str, Path] = field(default_factory=dict)


class Runner:
    """A machine for one job: a folder for the checkout, one for `$RUNNER_TEMP`, and programs that ask no index."""

    def __init__(self, home: Path, origin: Repo, context: Mapping[str, str]) -> None:
        self.home, self.origin, self.context = home, origin, dict(context)
        self.temp, self.work, self.summary = home / "temp", home / "work", home / "summary.md"
        self.asked = home / "asked"
        for one in (self.temp, home / "bin", home / "artifacts"):
            one.mkdir(parents=True)
        programs = Path(sys.executable).parent
        parts = {
            "pip": PIP.format(python=sys.executable, log=str(self.asked)),
            **{name: STARTED.format(bin=programs, name=name) for name in ("asfound", "mkdocs")},
        }
        (home / "bin/python").write_text(PYTHON.format(python=sys.executable, **parts))
        (home / "bin/python").chmod(0o755)

    def run(self, job: Mapping[str, Any], env: Mapping[str, str]) -> Ran:
        """Carry out the steps of a job."""
        ran = Ran()
        for number, step in enumerate(job["steps"]):
            name = step.get("name", step.get("uses", f"step {number}"))
            if not self._asked_for(step.get("if", ""), ok=ran.ok):
                continue
            code, said = self._one(step, {**env, **step.get("env", {})}, ran)
            ran.steps[name] = code
            ran.log += said
            ran.ok &= code == 0 or step.get("continue-on-error") is True
        return ran

    def _asked_for(self, condition: str, *, ok: bool) -> bool:
        parts = [one.strip() for one in condition.split("&&")] if condition else []
        always = "always()" in parts
        for one in parts:
            if one != "always()":
                name, _, value = one.partition(" == ")
                if self.context[name] != value.strip("'"):
                    return False
        return ok or always

    def _value(self, text: str) -> str:
        def put(found: re.Match[str]) -> str:
            return next((self.context[one] for one in found[1].split(" || ") if self.context.get(one)), "")

        return _EXPRESSION.sub(put, str(text))

    def _one(self, step: Mapping[str, Any], env: Mapping[str, str], ran: Ran) -> tuple[int, str]:
        if "uses" in step:
            self._played(step, ran)
            return 0, ""
        assert not _EXPRESSION.search(step["run"]), "an expression in a script is put in before the shell sees it"
        script = self.home / "script.sh"
        script.write_text(step["run"])
        done = subprocess.run(
            ["bash", "-e", script], cwd=self.work, capture_output=True, text=True, check=False, timeout=170,
            env={
                **os.environ, "PATH": os.pathsep.join((str(self.home / "bin"), os.environ["PATH"])),
                "PYTHONPATH": os.pathsep.join((str(OFFLINE), str(PROGRAM))), "LC_ALL": "C.UTF-8", "CI": "true",
                "GITHUB_SERVER_URL": "https://code.example", "GITHUB_STEP_SUMMARY": str(self.summary),
                "RUNNER_TEMP": str(self.temp), **{name: self._value(text) for name, text in env.items()},
            },
        )  # fmt: skip
        return done.returncode, done.stdout + done.stderr

    def _played(self, step: Mapping[str, Any], ran: Ran) -> None:
        action, given = step["uses"].split("@")[0], step.get("with", {})
        if action == "actions/checkout":
            commit = self._value(given["ref"]) if "ref" in given else self.context["github.sha"]
            self.work.mkdir()
            inner = Repo(self.work)
            inner.git("remote", "add", "origin", str(self.origin.root))
            inner.git("fetch", "-q", "origin", "+refs/heads/main:refs/remotes/origin/main")
            inner.git("checkout", "-q", "--detach", commit)
        elif action == "actions/upload-artifact":
            path = Path(given["path"].replace("${{ runner.temp }}", str(self.temp)))
            assert path.exists() or given["if-no-files-found"] == "ignore", path
            if path.exists():
                kept = self.home / "artifacts" / given["name"]
                shutil.copytree(path, kept, symlinks=True)
                ran.kept[given["name"]] = kept
        else:
            assert action == "actions/setup-python", action


def job_of(text: str, name: str) -> tuple[dict[str, Any], dict[str, str]]:
    """A job of a workflow, and the environment all its steps have."""
    whole = yaml.load(text, yaml.BaseLoader)
    made = whole["jobs"][name]
    for step in made["steps"]:
        if "continue-on-error" in step:
            step["continue-on-error"] = step["continue-on-error"] == "true"
    return made, {**whole.get("env", {}), **made.get("env", {})}
