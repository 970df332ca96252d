"""Problems beside the changed lines of a code host, and in the summary of a run."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from asfound.emit import text
from asfound.emit.as_github import data, github, prop, quiet
from asfound.emit.as_summary import github_summary
from asfound.emit.markdown import safe
from asfound.problems import Level, Problem, Span

from .problems import ACTING, HOSTILE, NEEDED, NOTE, REJECT, WARN


def many(count: int, level: Level = Level.REJECT) -> list[Problem]:
    return [replace(REJECT, level=level, span=Span("cases/a/sheets.yml", line)) for line in range(1, count + 1)]


def test_escapes_are_those_of_the_toolkit() -> None:
    """A worked line: the caps are in the host's documentation, the escapes from memory of its toolkit's command.ts."""
    assert prop("50% a,b:c\nx") == "50%25 a%2Cb%3Ac%0Ax"
    assert data("50% a,b:c\nx") == "50%25 a,b:c%0Ax"
    assert data("a\r\n%0A") == "a%0D%0A%250A"


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (
            REJECT,
            "::error file=cases/a/sheets.yml,line=82,col=9,title=power-before-inspection::I-1 was energised at 09:40, "
            "and was inspected only at 09:50; the inspection before power is needed. Record the true order.",
        ),
        (
            WARN,
            "::warning file=cases/a/custody.csv,line=2,title=custody-gap::nobody had charge of I-4; "
            "unbroken custody is needed.",
        ),
        (
            NEEDED,
            "::notice file=cases/a/plan.yml,title=plan-missing::there is no plan; "
            "a plan before the first test is needed.",
        ),
        (
            NOTE,
            "::notice file=cases/a/plan.yml,line=4,col=14,title=limit-unconfirmed::1 verdict rests; a copy is needed.",
        ),
    ],
    ids=["reject", "warn", "needed", "note"],
)
def test_an_annotation_reads_exactly_so(problem: Problem, line: str) -> None:
    assert list(github([problem])) == [line]


def kinds(lines: Iterable[str]) -> Counter[str]:
    return Counter(line.split(" ")[0].split("::")[1] for line in lines)


def test_of_two_hundred_nine_are_shown_and_the_rest_is_counted() -> None:
    lines = list(github(many(200)))
    assert len(lines) == 10
    assert lines[0].startswith("::error file=cases/a/sheets.yml,line=1,")
    assert lines[8].startswith("::error file=cases/a/sheets.yml,line=9,")
    rest = "the log of this step lists every one, as `asfound check --format text` does."
    assert lines[9] == f"::error title=more::191 more of this kind; {rest}"


def test_the_host_takes_ten_of_a_kind_and_never_gets_more() -> None:
    lines = list(github([*many(50, Level.NOTE), *many(50, Level.NEEDED), *many(50, Level.WARN), *many(10)]))
    assert kinds(lines) == {"error": 10, "warning": 10, "notice": 10}
    # What is still needed outweighs a note where the two share a kind.
    notices = [line for line in lines if line.startswith("::notice file")]
    assert len(notices) == 9
    assert len(list(github(many(9)))) == 9
    assert not [line for line in github(many(9)) if "more" in line.split("::")[1]]


def test_the_worst_come_first() -> None:
    assert list(kinds(github([NOTE, WARN, NEEDED, REJECT]))) == ["error", "warning", "notice"]


def test_nothing_in_a_case_becomes_a_command_of_its_own() -> None:
    lines = list(github([HOSTILE]))
    assert len(lines) == 1
    assert lines[0].splitlines() == lines
    assert not [char for char in ACTING if char in lines[0]]
    assert lines[0].startswith("::error file=cases/a/<U+001B>[2J.yml,line=1,col=1,title=yaml-words::")


def test_the_word_that_ends_the_quiet_is_of_the_log_and_not_in_it() -> None:
    log = "\n".join(said for _, said in text([HOSTILE, REJECT]))
    before, after = quiet(log)
    assert (before, after) == quiet(log)
    assert before == f"::stop-commands::{after.strip(':')}"
    assert after.strip(":") not in log
    # Whoever writes the word of one log into it has another log, with another word.
    assert quiet(log + after)[1] != after
    assert quiet("\ud800")[0].startswith("::stop-commands::asfound-")


def test_the_summary_holds_every_problem_worst_first() -> None:
    said = github_summary([NOTE, WARN, NEEDED, *many(40)])
    assert said.startswith(
        "## What the check says\n\n40 rejects, 1 warning, 1 thing still needed, 1 note.\n\n- **reject** "
    )
    levels = re.findall(r"^- \*\*(.+?)\*\* ", said, re.MULTILINE)
    assert levels == ["reject"] * 40 + ["warn", "still needed", "note"]


def test_an_empty_summary_says_so() -> None:
    assert github_summary([]) == "## What the check says\n\nNothing to report.\n\n"


@pytest.mark.parametrize("sign", ["a", "Ω", "\u202e", "😀"])
def test_a_summary_always_has_room_and_says_what_it_left_out(sign: str) -> None:
    problems = [replace(one, found=sign * 2000) for one in many(2000)]
    said = github_summary(problems)
    assert 800_000 < len(said.encode("utf-8")) <= 900_000
    shown = said.count("\n- **reject**")
    rest = "more had no room here; `asfound check --format text` lists every one."
    assert said.endswith(f"\nOf 2000, {2000 - shown} {rest}\n")


def test_a_summary_of_one_endless_problem_is_short() -> None:
    assert len(github_summary([replace(REJECT, found="a" * 2_000_000)]).encode("utf-8")) < 1000


def test_text_of_a_case_is_never_markdown() -> None:
    """A CommonMark parser with tables and strike-through finds no link, picture, code, HTML or heading."""
    nasty = (
        "![x](http://example.invalid/a.png) [l](http://example.invalid) <img src=x onerror=1> `c` **b** _e_ ~~s~~ "
        "@team #12 :smile: &amp; a|b\n# head\n- item http://example.invalid"
    )
    tokens = (
        MarkdownIt("commonmark")
        .enable(["table", "strikethrough"])
        .parse(github_summary([replace(REJECT, found=nasty, mend=nasty, span=Span(f"cases/{nasty}"))]))
    )
    (inline,) = [token for token in tokens if token.type == "inline" and "energised" not in token.content][2:]
    assert {child.type for child in inline.children or ()} == {"text", "strong_open", "strong_close", "code_inline"}
    assert sum(child.type == "strong_open" for child in inline.children or ()) == 1  # the level
    shown = "".join(child.content for child in inline.children or ())
    assert nasty.replace("\n", "<U+000A>").replace("@team", "<U+0040>team") in shown


# What hosts look for in the text that is left once Markdown has been read, where backslashes are gone: mentions,
# numbers of issues, addresses without a scheme, e-mail, pictures by name, commits, formulas. github/markup issue 1168,
# github/cmark-gfm issues 181 and 389 (confirmed: neither a backslash nor a character reference stops them, code does);
# GitHub Flavored Markdown 6.9, autolinks (from memory); references of GitLab (from memory).
CALLS = re.compile(
    r"@[\w.]|[#!%&~]\w|GH-\d|\bwww\.|https?://|ftp://|mailto:|:[\w+-]+:|\$|\b[0-9a-f]{7,40}\b", re.IGNORECASE
)
ACTING_WORDS = (
    "@team", "x@team", "@org/team,", "(@team)", "@_a", "name.one@example.invalid", "#12", "org/repo#12", "GH-12", "!12",
    "%3", "&7", "~label", "www.example.invalid", "WWW.EXAMPLE.INVALID", "http://example.invalid/a_b_c",
    "ftp://example.invalid", "mailto:a@example.invalid", ":smile:", ":+1:", "$x$", "$`x`$", "0a1b2c3d4e",
    "`@team`", "\\@team", "``#12", "a`www.b`c@d", "**@team**", "[@team](http://example.invalid)",
)  # fmt: skip


@pytest.mark.parametrize("word", ACTING_WORDS)
def test_no_word_of_a_case_calls_links_or_refers_on_a_host(word: str) -> None:
    for said in (word, f"before {word} after", f"a\u00a0{word}.", word * 3, f"{word}`{word}"):
        (inline,) = [one for one in MarkdownIt("commonmark").parse(f"- {safe(said)}\n") if one.type == "inline"]
        children = inline.children or []
        assert {one.type for one in children} <= {"text", "code_inline"}
        read = [one.content for one in children if one.type == "text"]
        assert not [text for text in read if CALLS.search(text)], (said, read)
        # Nobody is called from code either: an answer by mail quotes it as plain text.
        assert not re.search(r"@[\w.]", safe(said))
        assert "".join(one.content for one in children).replace("<U+0040>", "@") == said


@settings(max_examples=400, deadline=None)
@given(st.lists(st.sampled_from([*ACTING_WORDS, *" `\\<>a1_*[]()"])).map("".join))
def test_no_mixture_of_signs_does_either(said: str) -> None:
    (inline,) = [one for one in MarkdownIt("commonmark").parse(f"- .{safe(said)}.\n") if one.type == "inline"]
    children = inline.children or []
    assert {one.type for one in children} <= {"text", "code_inline"}
    assert "".join(one.content for one in children).replace("<U+0040>", "@") == f".{said}."
    assert not [one for one in children if one.type == "text" and CALLS.search(one.content)]


def test_what_calls_nobody_stays_as_it_is_written() -> None:
    assert safe("8.9 mL/h at 37 °C: R-flow-4, 2026-03-05 15:30") == "8.9 mL/h at 37 °C: R-flow-4, 2026-03-05 15:30"
    assert safe("100 mL @ 5 min") == "100 mL @ 5 min"
