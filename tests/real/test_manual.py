"""The manual does what it says: every block marked `run` is run, every file is written, what is printed is compared."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.cli.main import COMMANDS
from asfound.cli.reference import commands
from asfound.pages import Options
from asfound.pages.build import environment
from asfound.pages.manual import CHAPTERS, HOME, chapter, manual_pages
from asfound.pages.manual.chapter import Fence, fences, read_chapter

from .support import OFFLINE, PROGRAM

WRITTEN = ("index", *(name for name in CHAPTERS if name != "commands"))
MARKS = {"run", "fails", "shows", "file"}


def shows(printed: str, expected: str) -> bool:
    """Whether what was printed is what is shown; a line of `…` stands for any lines, `…` in a line for any words."""
    parts = []
    for line in expected.rstrip("\n").split("\n"):
        parts.append(r"(?:.*\n)*?" if line == "…" else re.escape(line).replace("…", ".*") + r"[ ]*\n")
    return re.fullmatch("".join(parts), printed.rstrip("\n") + "\n") is not None


def typed(lines: str, where: Path, folder: Path) -> tuple[int, str, Path]:
    """Type lines at a real shell; the exit code, what was printed, and the folder one is in afterwards."""
    programs = os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"]))
    env = {
        **{name: value for name, value in os.environ.items() if not name.startswith(("GIT_", "LC_", "LANG"))},
        "PATH": programs, "HOME": str(where / "home"), "LC_ALL": "C.UTF-8", "NO_MKDOCS_2_WARNING": "1",
        "PYTHONPATH": os.pathsep.join((str(OFFLINE), str(PROGRAM))), "ASFOUND_CACHE": "off",
        "GIT_AUTHOR_NAME": "An examiner", "GIT_AUTHOR_EMAIL": "examiner@example.org",
        "GIT_COMMITTER_NAME": "An examiner", "GIT_COMMITTER_EMAIL": "examiner@example.org",
    }  # fmt: skip
    script = f"set -eo pipefail\ntrap 'pwd > {where}/pwd' EXIT\n{lines}"
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False,
        timeout=170,
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr, Path((where / "pwd").read_text("utf-8").strip())


@pytest.mark.skipif(sys.platform == "win32", reason="typed at bash")
@pytest.mark.parametrize("name", WRITTEN)
def test_what_a_chapter_tells_one_to_type_does_what_it_says(name: str, tmp_path: Path) -> None:
    folder = tmp_path / "desk"
    folder.mkdir()
    (tmp_path / "home").mkdir()
    printed = ""
    for one in fences(chapter(name)):
        place = f"{name}.md:{one.line}"
        if one.mark("run") is not None:
            code, printed, folder = typed(one.text, tmp_path, folder)
            assert code == int(one.mark("fails") or 0), f"{place}\n{printed}"
        elif one.mark("shows") is not None:
            assert shows(printed, one.text), f"{place}: shown\n{one.text}\nprinted\n{printed}"
        elif one.mark("file"):
            file = folder / str(one.mark("file"))
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(one.text, "utf-8")


def test_blocks_bear_no_mark_that_nobody_reads() -> None:
    """A slip in a mark would leave a block untried in silence."""
    told: list[Fence] = [one for name in WRITTEN for one in fences(chapter(name))]
    assert {mark.partition("=")[0] for one in told for mark in one.marks} <= MARKS
    assert sum(one.mark("run") is not None for one in told) >= 8


@pytest.mark.parametrize(
    ("printed", "expected", "same"),
    [
        ("a\nb\nc", "a\n…\nc", True), ("a\nc", "a\n…\nc", True), ("a\nb", "a\n…\nc", False),
        ("asfound 1", "asfound …", True),
        ("a", "b", False), ("ab", "a", False),
    ],
)  # fmt: skip
def test_what_is_shown_is_held_against_what_was_printed(printed: str, expected: str, same: bool) -> None:
    assert shows(printed, expected) is same


def test_every_command_stands_in_the_reference_with_an_example_and_words() -> None:
    told = {one.name: one for one in commands()}
    assert {name.split()[0] for name in told} == set(COMMANDS) and "evidence add" in told
    for name, one in told.items():
        assert one.words, name
        assert any(f"asfound {name}" in line for line in one.examples), f"{name} shows no example"
        assert all(option.words for option in one.options), f"an option of {name} says nothing"
    pages = {page.uri: page for page in manual_pages(environment(), commands(), Options())}
    assert pages[HOME].title == "The manual" and len(pages) == len(CHAPTERS) + 1
    body = pages["manual/commands.md"].body
    assert all(f'<h2 id="{one.anchor}">asfound {name}</h2>' in body for name, one in told.items())


def test_a_chapter_shows_html_as_text_and_links_by_address() -> None:
    read = read_chapter("# A <b>\n\nWhat for.\n\n## Part\n\n[x](../rules.md#a) <script>\n", lambda to: f"<{to}>")
    assert (read.title, read.lede, read.headings[0].anchor) == ("A <b>", "What for.", "part")
    assert "&lt;script&gt;" in read.body and 'href="&lt;../rules.md#a&gt;"' in read.body
    with pytest.raises(ValueError, match="begins with"):
        read_chapter("words\n", str)
