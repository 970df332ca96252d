"""`asfound render`: what it writes, over what it writes, and over what never. Real generators: tests/real."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result
from markdown_it import MarkdownIt

from asfound.cli.main import cli
from asfound.pages import Page
from asfound.publish.plain import frame_title, plain_page, plain_uri

from ...real.support import BASE, ON

Render = Callable[..., Result]


@pytest.fixture
def render(tmp_path: Path) -> Render:
    """Runs the command in a copy of the base case's repository, `tmp_path / "repository"`."""
    root = tmp_path / "repository"
    shutil.copytree(BASE, root)

    def run(*arguments: str) -> Result:
        return CliRunner().invoke(cli, ["render", *arguments, "--on", ON, "--root", str(root), "--no-history"])

    return run


def held(folder: Path) -> dict[str, str]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {one.relative_to(folder).as_posix(): hashlib.sha256(one.read_bytes()).hexdigest() for one in found}


def test_each_page_is_a_front_matter_and_one_block_that_markdown_leaves_alone(render: Render, tmp_path: Path) -> None:
    """Read by a parser of CommonMark (markdown-it-py) and of YAML (PyYAML), which are not ours."""
    assert render(str(tmp_path / "out")).exit_code == 0
    pages = sorted((tmp_path / "out").rglob("*.md"))
    assert len(pages) > 40
    for path in pages:
        _, front, text = path.read_text("utf-8").split("---\n", 2)
        head = yaml.safe_load(front)
        assert head["title"] and head["asfound"]
        tokens = MarkdownIt("commonmark").parse(text)
        assert [one.type for one in tokens] == ["html_block"], path
        assert "{{" not in text and "{%" not in text and "{#" not in text
        if path.parts[-3:-1] == ("base", "items"):
            assert head["asfound-case"].startswith("base ")
            assert f'data-asfound-case="{head["asfound-case"]}"' in text


def test_the_same_input_gives_the_same_bytes_and_a_second_run_writes_nothing(render: Render, tmp_path: Path) -> None:
    assert render(str(tmp_path / "one")).exit_code == 0 and render(str(tmp_path / "two")).exit_code == 0
    assert held(tmp_path / "one") == held(tmp_path / "two")
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "one").rglob("index.md")}
    again = render(str(tmp_path / "one"))
    assert again.exit_code == 0 and " 0 of them written, 0 taken away" in again.output
    assert before == {path: path.stat().st_mtime_ns for path in (tmp_path / "one").rglob("index.md")}


def test_what_is_no_more_is_taken_away_and_nothing_else_is_touched(render: Render, tmp_path: Path) -> None:
    out = tmp_path / "out"
    render(str(out))
    assert (out / "case/base/duties/index.md").is_file()
    done = render(str(out), "--no-duties")
    assert done.exit_code == 0 and "1 taken away" in done.output
    assert not (out / "case/base/duties").exists() and (out / "case/base/items/index.md").is_file()


def test_pages_and_files_may_be_kept_apart(render: Render, tmp_path: Path) -> None:
    assert render(str(tmp_path / "whole")).exit_code == 0
    assert render(str(tmp_path / "pages"), "--files", str(tmp_path / "extra")).exit_code == 0
    pages, files = held(tmp_path / "pages"), held(tmp_path / "extra")
    assert {Path(name).suffix for name in pages} == {".md", ".json"}
    assert not [name for name in files if name.endswith(".md")]
    whole = held(tmp_path / "whole")
    for one in (pages, files, whole):
        del one[".asfound-rendered.json"]
    assert {**pages, **files} == whole


def _strange(out: Path) -> None:
    (out / "conf.py").write_text("mine", "utf-8")


def _linked(out: Path) -> None:
    target = out / "case/base/items/index.md"
    target.unlink()
    target.symlink_to(out.parent / "letter.txt")


def _edited(out: Path) -> None:
    target = out / "limits/index.md"
    target.write_text(target.read_text("utf-8") + "\nA line of mine.\n", "utf-8")


@pytest.mark.parametrize(
    ("what", "named"),
    [(_strange, "conf.py"), (_linked, "case/base/items/index.md"), (_edited, "limits/index.md")],
    ids=["foreign", "link", "edited"],
)
def test_a_folder_with_anything_of_somebody_else_is_left_as_it_is(
    what: Callable[[Path], None], named: str, render: Render, tmp_path: Path
) -> None:
    (tmp_path / "letter.txt").write_text("a letter", "utf-8")
    out = tmp_path / "out"
    render(str(out))
    what(out)
    before = held(out)
    found = render(str(out), "--notice", "Now otherwise")
    assert found.exit_code == 2 and named in found.output
    assert held(out) == before and (tmp_path / "letter.txt").read_text("utf-8") == "a letter"


def test_a_list_that_is_none_makes_every_file_a_strange_one(render: Render, tmp_path: Path) -> None:
    out = tmp_path / "out"
    render(str(out))
    (out / ".asfound-rendered.json").write_text('["limits/index.md"]', "utf-8")
    assert render(str(out), "--notice", "Now otherwise").exit_code == 2
    assert render(str(out)).exit_code == 0, "files that are what is to be written are ours, as after a run cut off"


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("repository", "holds the repository"),
        (".", "holds the repository"),
        ("repository/cases/base/out", "part of a case"),
        ("repository/.asfound/out", "part of a case or of .asfound"),
        ("repository/mkdocs.md/x", ""),
    ],
)
def test_where_it_writes_nothing(place: str, says: str, render: Render, tmp_path: Path) -> None:
    before = held(tmp_path / "repository")
    found = render(str(tmp_path / place))
    if says:
        assert found.exit_code == 2 and says in found.output
        assert held(tmp_path / "repository") == before
    else:
        assert found.exit_code == 0


def test_a_folder_within_the_other_is_refused(render: Render, tmp_path: Path) -> None:
    found = render(str(tmp_path / "out"), "--files", str(tmp_path / "out" / "files"))
    assert found.exit_code == 2 and "one in the other" in found.output
    assert not (tmp_path / "out").exists()


def test_nothing_is_written_while_a_reject_stands(render: Render, tmp_path: Path) -> None:
    sheet = tmp_path / "repository/cases/base/readings/earth.csv"
    sheet.write_text(sheet.read_text("utf-8").replace("1,case screw,142\n", "1,case screw,142\n1,case screw,143\n"))
    found = render(str(tmp_path / "out"))
    assert found.exit_code == 1 and "cases/base/readings/earth.csv:" in found.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("on", ["soon", "2026-02-30"])
def test_a_date_that_is_none_is_said_so(on: str, tmp_path: Path) -> None:
    found = CliRunner().invoke(cli, ["render", str(tmp_path / "out"), "--on", on, "--root", str(BASE)])
    assert found.exit_code == 2 and on in found.output


def test_hostile_words_end_no_block_and_no_title() -> None:
    """What a generator would carry out, what ends a block of HTML in Markdown, and what a frame prints as it stands."""
    body = (
        '<div class="af"><p title="one\n\ntwo">{{ 7*7 }} {% raw %} {# x #}</p>\n\n   \n<pre>a\n\nb</pre>\n'
        "<style>@media print{{#x{color:red}}</style></div>"
    )
    made = plain_page(Page("case/a/items.md", '"<script>hurt()</script>" {{ 1 }}: #x', body, stamp="a 00"))
    _, front, text = made.split("---\n", 2)
    assert [one.type for one in MarkdownIt("commonmark").parse(text)] == ["html_block"]
    assert not [sign for sign in ("{{", "{%", "{#") if sign in made]
    assert "<pre>a&#10;&#10;b</pre>" in text and 'title="one&#10;&#10;two"' in text
    assert yaml.safe_load(front)["title"] == "”‹script›hurt()‹/script›” { { 1 }}: #x"
    assert "&#123;{ 7*7 }}" in text


@pytest.mark.parametrize(
    "title", ["yes", "2026-031", "12:30", "a: b", "# no", "- a", "Off", "a #b", "ä: ", "a:", "plain words", "“said”"]
)
def test_a_title_is_read_as_the_text_it_is(title: str) -> None:
    front = plain_page(Page("a.md", title, '<div class="af"></div>')).split("---\n", 2)[1]
    assert yaml.safe_load(front)["title"] == frame_title(title)


def test_addresses_are_the_same_for_folders_and_files() -> None:
    assert [plain_uri(uri) for uri in ("index.md", "limits.md", "case/a/index.md", "case/a/items.md")] == [
        "index.md", "limits/index.md", "case/a/index.md", "case/a/items/index.md",
    ]  # fmt: skip


def test_the_stamp_of_the_site_names_each_case_with_its_digest(render: Render, tmp_path: Path) -> None:
    render(str(tmp_path / "out"), "--notice", "Who may read it")
    told = json.loads((tmp_path / "out/assets/asfound/asfound-site.json").read_text("utf-8"))
    assert told["assessed_on"] == ON and told["options"]["addresses"] == "named"
    assert told["options"]["notice"] == "Who may read it" and told["options"]["history"] is False
    assert list(told["cases"]) == ["base"] and len(told["cases"]["base"]) == 64
