"""The manual does what it says: every block marked `run` is run, every file is written, what is printed is compared."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from asfound.cli.main import COMMANDS
from asfound.cli.reference import commands
from asfound.pages import Options
from asfound.pages.build import environment
from asfound.pages.manual import CHAPTERS, HOME, chapter, manual_pages
from asfound.pages.manual.chapter import Fence, fences, read_chapter

from .following import follow, shows

WRITTEN = ("index", *(name for name in CHAPTERS if name != "commands"))
MARKS = {"run", "fails", "shows", "file", "spreadsheet", "camera"}
ELSEWHERE = {"issued"}
"""Chapters that are typed as a newcomer does, with the wheel and a spreadsheet: `test_new_user.py`."""


@pytest.mark.skipif(sys.platform == "win32", reason="typed at bash")
@pytest.mark.parametrize("name", [name for name in WRITTEN if name not in ELSEWHERE])
def test_what_a_chapter_tells_one_to_type_does_what_it_says(name: str, tmp_path: Path) -> None:
    follow(name, tmp_path)


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
