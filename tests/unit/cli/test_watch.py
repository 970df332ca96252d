"""`asfound check --watch` as a process of its own: files change under it, and it says what came and what went.

Nothing here asserts how long anything takes: lines are waited for, and the bound only ends a test that hangs.
"""

from __future__ import annotations

import queue
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.cli.watch import look
from tests.rules.support import BASE
from tests.unit.cli.support import apart, command

HANGS = 120
"""Seconds after which a test gives up."""


class Watching:
    """A watch in a process, and the lines it printed so far."""

    def __init__(self, at: Path, *more: str) -> None:
        self.process = subprocess.Popen(
            command("check", "--watch", "--on", "2026-03-20", "--no-history", *more),
            cwd=at, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8",
        )  # fmt: skip
        self.lines: list[str] = []
        self._waiting: queue.Queue[str | None] = queue.Queue()
        self._thread = threading.Thread(target=self._pour, daemon=True)
        self._thread.start()

    def _pour(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._waiting.put(line.rstrip("\n"))
        self._waiting.put(None)

    def until(self, text: str) -> str:
        """The next line that holds a text."""
        while True:
            line = self._waiting.get(timeout=HANGS)
            assert line is not None, f"it ended, and never said {text!r}: {self.lines}"
            self.lines.append(line)
            if text in line:
                return line

    def end(self) -> int:
        """Ctrl-C; the exit code."""
        self.process.send_signal(signal.SIGINT)
        self.until("Watching ended.")
        return self.process.wait(HANGS)

    def close(self) -> None:
        """See to it that nothing of it is left."""
        self.process.kill()
        self.process.wait(HANGS)
        self._thread.join(HANGS)
        assert self.process.stdout is not None
        self.process.stdout.close()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    shutil.copytree(BASE, tmp_path / "Prüf stand")
    (tmp_path / "Prüf stand/cases/base").rename(tmp_path / "Prüf stand/cases/Fall é")
    return tmp_path / "Prüf stand"


@pytest.fixture
def watching(home: Path) -> Iterator[Watching]:
    watch = Watching(home)
    try:
        watch.until("Watching 1 case; Ctrl-C ends it.")
        yield watch
    finally:
        watch.close()


def test_what_comes_and_what_goes_is_told_and_nothing_else(home: Path, watching: Watching) -> None:
    gates = home / "cases/Fall é/gates.yml"
    good = gates.read_bytes()
    gates.write_bytes(good.replace(b"outcome: yes", b"outcome: no"))
    watching.until("cases/Fall é, gates.yml changed:")
    watching.until("new:")
    line = watching.until(" reject ")
    assert line.startswith("cases/Fall é/"), line
    watching.until("cases/Fall é: ")
    # The same once more, with CR LF: lines moved, nothing else.
    gates.write_bytes(gates.read_bytes().replace(b"\n", b"\r\n"))
    watching.until("  the check says what it said before.")
    gates.write_bytes(good)
    watching.until("mended:")
    watching.until(line.split(" reject ")[1].split(" — ")[0])
    watching.until("cases/Fall é: nothing to report.")
    assert watching.end() == 0
    assert not [said for said in watching.lines if "Traceback" in said]


def test_a_file_left_half_written_is_told_and_taken_back_when_it_is_whole(home: Path, watching: Watching) -> None:
    items = home / "cases/Fall é/items.yml"
    whole = items.read_bytes()
    with items.open("wb") as file:
        file.write(whole[: len(whole) // 2] + b"\n  what: [")
        file.flush()
        watching.until("cases/Fall é, items.yml changed:")
        watching.until("yaml-")
    items.write_bytes(b"")
    watching.until("items.yml changed:")
    items.unlink()
    watching.until("items.yml changed:")
    items.write_bytes(whole)
    watching.until("cases/Fall é: nothing to report.")
    assert watching.end() == 0


def test_the_organisations_files_concern_every_case_and_cases_come_and_go(home: Path, watching: Watching) -> None:
    register = home / ".asfound/instruments.yml"
    good = register.read_bytes()
    register.write_bytes(good.replace(b"M-1:", b"M-77:", 1))
    watching.until("cases/Fall é, .asfound/instruments.yml changed:")
    watching.until("instrument-unknown")
    register.write_bytes(good)
    watching.until("cases/Fall é: nothing to report.")
    other = home / "cases/other"
    shutil.copytree(home / "cases/Fall é", home / "other")
    head = home / "other/case.yml"
    head.write_text(head.read_text("utf-8").replace("case: base", "case: other"), "utf-8")
    (home / "other").rename(other)
    watching.until("cases/other: nothing to report.")
    shutil.rmtree(other)
    watching.until("cases/other: the case is gone.")
    (home / "cases/Fall é/gates.yml").write_bytes(b"gates: [\n")
    watching.until("gates.yml changed:")
    watching.until("cases/Fall é: ")
    assert watching.end() == 1


def test_what_programs_lay_beside_an_open_file_is_no_change(home: Path) -> None:
    folder = home / "cases/Fall é"
    before = look(home, [folder])
    (folder / ".~lock.custody.csv#").write_bytes(b"somebody")
    assert look(home, [folder]) == before and "cases/Fall é/custody.csv" in before
    assert look(home, [home / "nowhere"]).keys() == {name for name in before if name.startswith(".asfound/")}


def test_a_watch_prints_text(home: Path) -> None:
    done = apart(home, "check", "--watch", "--format", "json")
    assert done.code == 2 and "--watch prints text" in done.err


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_stop_before_the_first_answer_is_clean(home: Path) -> None:
    watch = Watching(home)
    try:
        watch.until("cases/Fall é: nothing to report.")
        watch.process.send_signal(signal.SIGINT)
        watch.until("Watching ended.")
        assert watch.process.wait(HANGS) == 0
    finally:
        watch.close()


def test_what_stands_against_the_organisations_files_comes_and_goes_too(home: Path, watching: Watching) -> None:
    register = home / ".asfound/instruments.yml"
    good = register.read_bytes()
    register.write_bytes(good + b"M-99: [\n")
    watching.until(".asfound, instruments.yml changed:")
    watching.until(".asfound/instruments.yml:")
    register.write_bytes(good)
    watching.until(".asfound, instruments.yml changed:")
    watching.until("  .asfound/instruments.yml yaml-")
    watching.until(".asfound: nothing to report.")
    watching.until("cases/Fall é: nothing to report.")
    assert watching.end() == 0
