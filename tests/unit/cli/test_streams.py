"""Terminals, redirected streams, narrow code pages, closed pipes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.cli.codepage import NAME, in_ascii, mind_code_pages

from .support import CASE, ON, apart, command, repository

ROOT = Path(__file__).parents[3]
WEAK = ("check", "tests/cases/weak-return-pad", "--on", "2026-03-20")


def on_terminal(at: Path, *arguments: str, env: dict[str, str]) -> str:
    """What the command writes to a terminal of its own."""
    import pty

    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        command(*arguments), cwd=at, env={**os.environ, "TERM": "xterm-256color", **env}, stdout=theirs, stdin=theirs
    )
    os.close(theirs)
    said = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other side is gone
            break
        if not part:
            break
        said += part
    os.close(ours)
    assert process.wait() in (0, 1)
    return said.decode("utf-8").replace("\r\n", "\n")


@pytest.fixture(scope="module")
def redirected() -> str:
    done = apart(ROOT, *WEAK)
    assert done.code == 1
    return done.out


def test_without_a_terminal_there_is_no_escape(redirected: str) -> None:
    assert "\x1b" not in redirected
    assert redirected.count(" reject ") == 6


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals of this kind")
def test_on_a_terminal_the_level_stands_out_and_the_words_are_the_same(redirected: str) -> None:
    import re

    said = on_terminal(ROOT, *WEAK, env={})
    assert "\x1b[1;31mreject\x1b[0m" in said
    assert re.sub(r"\x1b\[[0-9;]*m", "", said) == redirected


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals of this kind")
def test_no_color_takes_every_escape_away_and_counts_only_when_it_holds_something(redirected: str) -> None:
    assert on_terminal(ROOT, *WEAK, env={"NO_COLOR": "1"}) == redirected
    assert on_terminal(ROOT, *WEAK, env={"NO_COLOR": "1", "FORCE_COLOR": "1"}) == redirected
    assert "\x1b[1;31m" in on_terminal(ROOT, *WEAK, env={"NO_COLOR": ""})


def test_the_forms_for_programs_hold_no_escape_even_where_colour_is_forced() -> None:
    for form in ("json", "github"):
        assert "\x1b" not in apart(ROOT, *WEAK, "--format", form, env={"FORCE_COLOR": "1"}).out


@pytest.mark.parametrize("page", ["cp1252", "cp437", "ascii", "utf-8"])
def test_a_narrow_code_page_names_signs_in_ascii_and_ends_no_run(tmp_path: Path, page: str) -> None:
    repository(tmp_path, small_case=CASE.replace("harmed: none", "harmed: ≤ 5 kΩ – 患者"))
    done = apart(tmp_path, "check", *ON, env={"PYTHONIOENCODING": page}, encoding=page)
    assert (done.code, done.err) == (1, "")
    assert "?" not in done.out.splitlines()[0]
    shown = {
        "cp1252": r"<= 5 kohm – \u60a3\u8005", "cp437": r"≤ 5 kΩ - \u60a3\u8005", "ascii": r"<= 5 kohm - \u60a3\u8005",
        "utf-8": "≤ 5 kΩ – 患者",
    }  # fmt: skip
    assert shown[page] in done.out


@pytest.mark.parametrize(
    ("run", "said"),
    [
        # ISO 2955 (representation of units in limited character sets), from memory: ohm, u for micro, deg.
        ("Ω", "ohm"), ("\u2126", "ohm"), ("µ", "u"), ("μ", "u"), ("°", "deg"), ("℃", "degC"), ("±", "+/-"), ("≤", "<="),
        ("²", "^2"), ("⁻¹⁰", "^-10"), ("₂", "2"), ("−", "-"), ("“”’…", "\"\"'..."), ("½", "1/2"), ("ρ", "rho"),
        ("Δ", "Delta"),
        # No letter becomes another: it may stand in a name.
        ("é", r"\xe9"), ("ñ", r"\xf1"), ("患", r"\u60a3"), ("\U0001f600", r"\U0001f600"), ("\udce4", r"\udce4"),
        ("ά", r"\u03ac"),
    ],
)  # fmt: skip
def test_what_a_page_lacks_is_said_in_ascii(run: str, said: str) -> None:
    assert in_ascii(run) == said
    mind_code_pages()
    assert f"5 {run} x".encode("ascii", NAME) == f"5 {said} x".encode("ascii")


@pytest.mark.parametrize("page", ["cp1252", "ascii", "utf-16"])
def test_what_is_for_programs_is_utf_8_on_every_code_page(tmp_path: Path, page: str) -> None:
    repository(tmp_path, small_case=CASE.replace("harmed: none", "harmed: ≤ 5 kΩ – 患者 \U0001f600"))
    for form in ("json", "gitlab", "junit", "sarif", "markdown", "github"):
        done = apart(tmp_path, "check", "--format", form, *ON, env={"PYTHONIOENCODING": page})
        assert done == apart(tmp_path, "check", "--format", form, *ON), form
        if form == "json":
            assert "\U0001f600" in json.dumps(json.loads(done.out), ensure_ascii=False)


@pytest.mark.parametrize("arguments", [("--help",), ("check", "--help"), ("explain",), ("explain", "custody-gap")])
def test_help_and_catalogue_can_be_read_on_a_narrow_code_page(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    done = apart(tmp_path, *arguments, env={"PYTHONIOENCODING": "cp1252"}, encoding="cp1252")
    assert (done.code, done.err) == (0, "")
    assert done.out


def test_characters_that_act_never_reach_a_stream_raw(tmp_path: Path) -> None:
    text = CASE.replace("harmed: none", 'harmed: "no\\u202Ebody\\e[2J\\n::error::forged"')
    repository(tmp_path, small_case=text)
    for form in ("text", "github", "json"):
        done = apart(tmp_path, "check", "--format", form, *ON)
        assert (done.code, done.err) == (1, "")
        assert not {"\x1b", "\u202e", "\x07"} & set(done.out)
        assert not [line for line in done.out.splitlines() if line.startswith("::error::forged")]
        assert "body" in done.out


@pytest.mark.skipif(sys.platform == "win32", reason="a closed pipe is told otherwise on Windows")
def test_a_closed_pipe_is_not_taken_for_problems(tmp_path: Path) -> None:
    repository(tmp_path)
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        command("check", "--format", "json", *ON), cwd=tmp_path, stdout=writer, stderr=subprocess.PIPE, check=False
    )
    os.close(writer)
    assert done.returncode == 141
    assert b"Traceback" not in done.stderr
