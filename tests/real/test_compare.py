"""`asfound compare`, with real git: what a reviewer sees of a change, and what a change cannot do."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

from ..support.repository import Repo
from ..unit.cli.support import Done, run

BASE = Path(__file__).parents[1] / "rules" / "base"
FLOW = "cases/base/readings/flow.csv"
ON = ("--on", "2026-04-01")

Asfound = Callable[..., Done]


def edit(repo: Repo, name: str, *pairs: tuple[str, str]) -> None:
    path = repo.root / name
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """The base case on the main branch; a branch on which somebody works."""
    shutil.copytree(BASE, tmp_path / "here")
    made = Repo(tmp_path / "here")
    made.commit("the case")
    made.git("switch", "-q", "-c", "request")
    return made


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, repo: Repo) -> Asfound:
    """`asfound compare ARGUMENTS` at the root of that repository."""

    def go(*arguments: str) -> Done:
        return run(capsys, monkeypatch, repo.root, "compare", *arguments, *ON)

    return go


def lower(repo: Repo) -> None:
    """Readings that were far off are made good, and the author lowers the conclusion."""
    edit(repo, FLOW, ("4,100,111.9,", "4,100,100.9,"), ("5,100,112.3,", "5,100,101.3,"), ("6,100,112.0", "6,100,101.0"))
    edit(repo, "cases/base/conclusion.yml", ("level: probable", "level: possible"))


def test_the_summary_alone_shows_the_reading_the_verdict_and_the_lowered_conclusion(
    asfound: Asfound, repo: Repo
) -> None:
    lower(repo)
    repo.commit("Read the sheet again")
    done = asfound("main", "request", "--format", "md")
    assert (done.code, done.err) == (0, "")
    text = MarkdownIt().render(done.out)
    assert "The mechanism is held as possible; it was held as probable." in text
    verdict = next(line for line in text.splitlines() if "R-flow-4 against" in line)
    assert " at 100.9 mL/h ± 1.4 mL/h; it was fail at 111.9 mL/h ± 1.5 mL/h." in verdict.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    reading = next(line for line in text.splitlines() if "The reading R-flow-4 was changed" in line)
    assert "value from 111.9 mL/h to 100.9 mL/h" in reading.replace("\N{NO-BREAK SPACE}", " ")
    order = [text.index(one) for one in ("is held as possible", "R-flow-4 against", "The reading R-flow-4")]
    assert order == sorted(order)


def test_a_rule_newly_broken_is_told_and_so_is_its_mending(asfound: Asfound, repo: Repo) -> None:
    edit(repo, FLOW, ("4,100,111.9,2026-03-05 15:30 -06:00", "4,100,111.9,2026-03-05 15:30"))
    repo.commit("Lose a zone")
    broken, mended = asfound("main", "request").out, asfound("request", "main").out
    assert "Rules newly broken, and mended\n  - New, a reject of the rule " in broken
    assert "Rules newly broken, and mended\n  - Gone, a reject of the rule " in mended


def test_the_folder_as_it_lies_there_says_the_same_as_the_commit_of_it(asfound: Asfound, repo: Repo) -> None:
    lower(repo)
    lying = json.loads(asfound("main", "--format", "json").out)
    repo.commit("Read the sheet again")
    committed = json.loads(asfound("main", "HEAD", "--format", "json").out)
    assert lying["cases"] == committed["cases"] and lying["head"] == ""
    assert {one["area"] for one in lying["cases"][0]["differences"]} >= {"level of the conclusion", "verdict", "record"}


def test_nothing_changed_is_said_and_a_comment_in_a_file_changes_nothing(asfound: Asfound, repo: Repo) -> None:
    assert "It touches no case." in asfound("main").out
    edit(repo, "cases/base/conclusion.yml", ("by: examiner\n", "# a remark\nby: examiner\n"))
    done = asfound("main")
    assert "Bytes changed, and nothing that the case says or that follows from it." in done.out


def test_a_request_cannot_bring_its_own_limits_where_the_base_is_trusted(asfound: Asfound, repo: Repo) -> None:
    edit(repo, ".asfound/instruments.yml", ("what: Flow analyser", "what: Another thing"))
    repo.commit("Change the bench")
    own = asfound("main", "request")
    assert "Another thing" in own.out and "so every case is compared" in own.out
    trusted = asfound("main", "request", "--trusted-base")
    assert "Another thing" not in trusted.out and "It touches no case." in trusted.out
    assert "no account is taken of it here: .asfound/instruments.yml" in trusted.out


def test_a_new_case_a_renamed_one_and_one_taken_out(asfound: Asfound, repo: Repo) -> None:
    repo.git("mv", "cases/base", "cases/elsewhere")
    repo.commit("Move")
    moved = asfound("main", "HEAD")
    assert "Its folder was cases/base and is cases/elsewhere." in moved.out and "is new" not in moved.out
    shutil.rmtree(repo.root / "cases/elsewhere")
    repo.commit("Take out")
    assert "The case is taken out. It lay in cases/base." in asfound("main", "HEAD").out
    assert "The case is new, in cases/base." in asfound("HEAD", "main").out


def test_a_case_that_can_no_longer_be_read_is_not_silent(asfound: Asfound, repo: Repo) -> None:
    (repo.root / "cases/base/case.yml").write_text("case: [", "utf-8")
    done = asfound("main")
    assert done.code == 0
    assert "The case.yml of cases/base cannot be read as it is after the change" in done.out


@pytest.mark.parametrize("name", ["nowhere", "--output=x", "main:cases", "@{-1}", "a b", ""])
def test_a_name_that_leads_to_no_commit_is_wrong_usage(asfound: Asfound, name: str) -> None:
    done = asfound(name)
    assert done.code == 2 and "Traceback" not in done.err


def test_a_tag_called_like_the_main_branch_is_not_taken_for_it(asfound: Asfound, repo: Repo) -> None:
    lower(repo)
    repo.commit("Read the sheet again")
    repo.git("tag", "main", "HEAD")
    done = asfound("main", "request")
    assert done.code == 2 and "leads to different commits: refs/heads/main, refs/tags/main" in done.err
    assert "is held as possible" in asfound("refs/heads/main", "request").out


def test_what_people_wrote_is_no_markup_and_what_has_no_room_is_counted(asfound: Asfound, repo: Repo) -> None:
    hostile = 'limits_of_work: "<img src=x onerror=alert(1)> [x](javascript:y) \\u202Eabc"\n'
    honest = "limits_of_work: The pump was not opened. The results relate only to the items examined.\n"
    edit(repo, "cases/base/conclusion.yml", (honest, hostile))
    lower(repo)
    markdown, page = asfound("main", "--format", "md"), asfound("main", "--format", "html")
    rendered = MarkdownIt().render(markdown.out)
    for text in (rendered, page.out):
        assert "<img" not in text and "<a " not in text and "\u202e" not in text
        assert "<U+202E>" in text.replace("&lt;", "<").replace("&gt;", ">")
    short = asfound("main", "--format", "md", "--most", "1200").out
    assert len(short.encode()) <= 1200
    assert "lines had no room here; `asfound compare " in short and "is held as possible" in MarkdownIt().render(short)
