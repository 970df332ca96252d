"""A person at work: the site is served while the case is still wrong, and follows what is edited."""

from __future__ import annotations

import datetime as dt
import os
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from asfound.hooks import ToldBefore
from asfound.store import Store

from .support import MATERIAL, ON, base, configure, environment, mkdocs


@dataclass
class Served:
    """A site being served from a repository."""

    root: Path
    address: str
    process: subprocess.Popen[bytes]
    log: Path

    def said(self) -> str:
        """What the engine has printed so far."""
        return self.log.read_text(encoding="utf-8")

    def get(self, path: str) -> tuple[int, str]:
        """Status and text of a page."""
        try:
            with urllib.request.urlopen(self.address + path, timeout=10) as answer:
                return answer.status, answer.read().decode("utf-8", "replace")
        except urllib.error.HTTPError as error:
            with error:
                return error.code, ""

    def wait_for(self, path: str, words: str, *, gone: bool = False, seconds: float = 60) -> str:
        """Ask for a page until it holds the words (or no longer does)."""
        end = time.monotonic() + seconds
        text = ""
        while time.monotonic() < end:
            assert self.process.poll() is None, self.said()
            try:
                text = self.get(path)[1]
                if (words in text) is not gone:
                    return text
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                pass
            time.sleep(0.2)
        pytest.fail(f"{path} did not {'lose' if gone else 'show'} {words!r}:\n{self.said()}")

    def edit(self, name: str, old: str, new: str) -> None:
        """Replace a text that stands once in a file of the repository."""
        path = self.root / name
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    root = configure(base(tmp_path_factory.mktemp("served")), MATERIAL, docs_dir="docs")
    (root / "docs").mkdir()
    (root / "docs" / "more.md").write_text("# More\n", encoding="utf-8")
    secret = root.parent / "letter.txt"
    secret.write_text("a letter", encoding="utf-8")
    (root / "cases" / "base" / "letter.txt").symlink_to(secret)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = root.parent / "served.log"
    with log.open("wb") as out:
        asked, env = mkdocs("serve", "-a", f"127.0.0.1:{port}"), environment(ASFOUND_CACHE=str(root.parent / "kept"))
        process = subprocess.Popen(asked, cwd=root, env=env, stdout=out, stderr=out)
        found = Served(root, f"http://127.0.0.1:{port}", process, log)
        try:
            found.wait_for("/", "Docket")
            yield found
        finally:
            process.kill()
            process.wait()


def test_a_standing_reject_is_shown_in_the_page_and_in_the_log(served: Served) -> None:
    page = served.wait_for("/case/base/problems/", "This is a link to another place")
    assert "/rules/#file-link" in page
    assert "cases/base/letter.txt reject file-link" in served.said()
    assert served.get("/base/letter.txt")[0] == 404
    assert served.get("/cases/base/letter.txt")[0] == 404
    assert "one reject" in served.get("/")[1].lower()


def test_a_reading_that_is_edited_changes_its_page(served: Served) -> None:
    assert "63.7" not in served.get("/case/base/measurements/")[1]
    served.edit("cases/base/readings/touch.csv", "3,open,normal,61.2", "3,open,normal,63.7")
    served.wait_for("/case/base/measurements/", "63.7")


def test_what_a_check_says_of_the_case_as_it_was_edited_is_kept_for_a_hook(served: Served) -> None:
    served.edit("cases/base/items.yml", "I-1:\n", "# a remark\nI-1:\n")
    end = time.monotonic() + 60
    while True:
        # Each time anew: what lies there is read when it is asked for.
        told = ToldBefore(served.root, dt.date.fromisoformat(ON), Store(served.root.parent / "kept")).get("cases/base")
        if told is not None or time.monotonic() > end:
            break
        time.sleep(0.2)
    assert told is not None and any("reject file-link" in line for line in told.lines)


def test_a_file_of_the_organisation_is_watched_too(served: Served) -> None:
    served.edit(".asfound/instruments.yml", 'serial: "7731"', 'serial: "7739"')
    served.wait_for("/case/base/measurements/", "7739")


def test_a_case_that_breaks_while_served_is_told_on_the_docket_and_mends(served: Served) -> None:
    served.edit("cases/base/case.yml", "case: base\n", "case: [base\n")
    page = served.wait_for("/", "cases/base could not be read whole")
    assert "cases/base/case.yml:" in page
    served.edit("cases/base/case.yml", "case: [base\n", "case: base\n")
    served.wait_for("/", "A bag emptied early on a ward")


@pytest.mark.skipif(os.name == "nt", reason="a console interrupt cannot be sent to one process alone there")
def test_it_ends_when_asked_and_leaves_nothing(served: Served) -> None:
    served.process.send_signal(signal.SIGINT)
    assert served.process.wait(timeout=30) == 0, served.said()
    assert "Traceback" not in served.said()
    assert not (served.root / "site").exists()
