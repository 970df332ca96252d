"""The manual does what it says: every block marked `run` is run, every file is written, what is printed is compared."""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

import pytest

from asfound.cli.main import COMMANDS
from asfound.cli.reference import commands
from asfound.pages import Options
from asfound.pages.build import environment
from asfound.pages.manual import CHAPTERS, HOME, chapter, manual_pages
from asfound.pages.manual.chapter import Fence, fences, read_chapter

from .following import follow, shows, typed
from .support import ROOT

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


README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


@pytest.mark.skipif(sys.platform == "win32", reason="typed at bash")
def test_what_the_readme_tells_one_to_type_does_what_it_says(tmp_path: Path) -> None:
    """In order, in a copy of the repository; the two commands that set one up are run by `.ci/run`."""
    desk = tmp_path / "desk"
    for name in ("cases", ".asfound", "tests/cases"):
        shutil.copytree(ROOT / name, desk / name)
    (tmp_path / "home").mkdir()
    typed("git init -q && git add -A && git commit -q -m As-it-came", tmp_path, desk)
    tried = 0
    for mark, lines in re.findall(r"(?:<!-- (.+?) -->\n)?```sh\n(.*?)```", README, re.DOTALL):
        if mark.startswith("command:"):
            assert lines.startswith("python3 -m venv")
            continue
        code = re.match(r"exit code: (\d)(, once weakened)?$", mark)
        assert code or not mark, mark
        if code and code[2]:
            file, row, old, new = re.findall(r"In `(\S+)` change row (\d+) from `([\d.]+)` to `([\d.]+)`", README)[0]
            table = desk / file
            text, count = re.subn(rf"(?m)^({row},.*),{re.escape(old)},", rf"\1,{new},", table.read_text("utf-8"))
            assert count == 1
            table.write_text(text, "utf-8")
        got, said, _ = typed(f"{lines.replace('.venv/bin/', '').rstrip()} --on 2026-05-30"
                             if dated(lines) else lines.replace(".venv/bin/", ""), tmp_path, desk)  # fmt: skip
        assert got == (int(code[1]) if code else 0), f"{lines}\n{said}"
        tried += 1
    assert tried == len(re.findall("(?m)^.venv/bin/asfound", README)) >= 7


def dated(lines: str) -> bool:
    """Whether a command takes a date; the demonstration ends on one."""
    return any(f"asfound {name}" in lines for name in ("check", "compare", "status"))


def test_a_command_or_an_option_that_readme_or_manual_name_is_there() -> None:
    told = {one.name: {word for option in one.options for word in option.written.split(", ")} for one in commands()}
    groups = {name.split()[0] for name in told}
    texts = {"README.md": README, **{f"{name}.md": chapter(name) for name in WRITTEN}}
    for name, text in texts.items():
        for typed_ in re.findall(r"`asfound ([^`]+)`|^(?:\.venv/bin/)?asfound (.+)$", text, re.MULTILINE):
            words = " ".join(typed_).split()
            if words[0].startswith(("-", "…")) or words[0].isupper():
                continue
            assert words[0] in groups, f"{name}: asfound {words[0]}"
            takes = set().union(*(of for one, of in told.items() if one.split()[0] == words[0]))
            options = {word.partition("=")[0].strip("[]") for word in words if word.startswith("--")}
            assert options <= takes | {"--help"}, f"{name}: {' '.join(words)}"


def test_the_readme_is_short_and_its_links_lead_somewhere() -> None:
    assert README.count("\n") <= 160
    root = Path(__file__).parents[2]
    for to in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (root / to).exists(), to
