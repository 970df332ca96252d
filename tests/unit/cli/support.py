"""The command in this process, and in one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from asfound.cli import main

CASE = """\
case: small-case
title: A tingle at the warmer
stage: open
event:
  kind: shock
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock of the room, read by the nurse
  where: day surgery, room 2
  account: The nurse reports a tingle when a hand touched the pole of the warmer.
harmed: none
"""
ON = ("--on", "2026-05-05")


@dataclass(frozen=True)
class Done:
    """What a run left behind."""

    code: int
    out: str
    err: str


def repository(folder: Path, **cases: str) -> Path:
    """A repository with the given texts of `case.yml`, by folder name (`_` stands for `-`)."""
    (folder / ".asfound").mkdir(parents=True)
    for name, text in (cases or {"small_case": CASE}).items():
        home = folder / "cases" / name.replace("_", "-")
        home.mkdir(parents=True)
        (home / "case.yml").write_text(text, encoding="utf-8")
    return folder


def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, at: Path, *arguments: str) -> Done:
    """`asfound ARGUMENTS` in this process, in the folder `at`."""
    monkeypatch.chdir(at)
    monkeypatch.setattr(sys, "argv", ["asfound", *arguments])
    code = 0
    try:
        main()
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else int(left.code is not None)
    said = capsys.readouterr()
    return Done(code, said.out, said.err)


def apart(at: Path, *arguments: str, env: Mapping[str, str] = {}, encoding: str = "utf-8") -> Done:
    """`asfound ARGUMENTS` in a process of its own, its streams redirected."""
    done = subprocess.run(command(*arguments), cwd=at, env={**os.environ, **env}, capture_output=True, check=False)
    return Done(done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding))


def command(*arguments: str) -> Sequence[str]:
    """The command line of a process of its own."""
    return [sys.executable, "-m", "asfound", *arguments]
