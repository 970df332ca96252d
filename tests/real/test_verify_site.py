"""Sites as they are really built, held against their repository: which pass, and what is said of the others."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from asfound.cli.main import cli

from .support import BASE, MATERIAL, ON, PLAIN, Site, addresses, base, build, configure, environment, run

STAMP = "assets/asfound/asfound-site.json"


def verify(site: Site, *arguments: str) -> Result:
    return CliRunner().invoke(cli, ["verify-site", str(site.folder), "--root", str(site.root), *arguments])


def told(site: Site, *arguments: str) -> set[tuple[str, str]]:
    """Rule and page of each problem."""
    done = verify(site, "--format", "json", *arguments)
    assert done.exit_code in (0, 1), done.output
    found = json.loads(done.output)["cases"][site.folder.name]
    assert (done.exit_code == 1) is bool(found)
    return {(one["rule"], one["path"]) for one in found}


@pytest.fixture
def copy(plain: Site, tmp_path: Path) -> Site:
    """A site and its repository, to be spoilt."""
    root = tmp_path / "repository"
    shutil.copytree(plain.root, root)
    return Site(root, root / "site")


def test_a_site_of_every_kind_passes(site: Site) -> None:
    done = verify(site)
    assert done.exit_code == 0, done.output
    pages = len(addresses(directory=True))
    assert done.output == f"site: nothing to report; held against {pages} pages of 1 case, assessed on {ON}.\n"


def test_a_site_with_editions_and_history_passes(plain_issued: Site) -> None:
    done = verify(plain_issued)
    assert done.exit_code == 0, done.output


def test_a_site_of_an_engine_without_the_plugin_fails(tmp_path: Path) -> None:
    root = configure(base(tmp_path), PLAIN, plugins=[], nav=None)
    (root / "cases" / "index.md").write_text("# A docket\n", encoding="utf-8")
    done = run(root, "build", "-q", "--strict")
    assert done.returncode == 0, "the engine sees nothing wrong in it"
    found = told(Site(root, root / "site"))
    assert ("site-unstamped", STAMP) in found
    assert ("page-unfilled", "index.html") in found
    assert ("page-missing", "case/base/findings/index.html") in found
    missing = {page for rule, page in found if rule == "page-missing"}
    assert missing == set(addresses(directory=True)) - {"index.html"}


def test_a_site_of_an_engine_that_passes_over_the_plugin_in_silence_fails(tmp_path: Path) -> None:
    """Zensical 0.0.73 reads the same configuration, says that there are no issues and leaves every case out."""
    root = configure(base(tmp_path), MATERIAL)
    (root / "cases" / "index.md").write_text("# A docket\n", encoding="utf-8")
    done = subprocess.run(
        [str(Path(sys.executable).parent / "zensical"), "build", "--strict"], cwd=root, env=environment(),
        capture_output=True, text=True, encoding="utf-8", check=False, timeout=170,
    )  # fmt: skip
    assert (root / "site" / "index.html").is_file(), done.stdout + done.stderr
    found = told(Site(root, root / "site"))
    assert {("site-unstamped", STAMP), ("page-missing", "case/base/index.html")} <= found


def test_a_site_of_an_earlier_state_is_told_case_by_case_and_page_by_page(copy: Site) -> None:
    path = copy.root / "cases/base/findings.yml"
    path.write_text(path.read_text("utf-8") + "# A line more.\n", "utf-8")
    found = told(copy)
    assert ("site-of-another-state", STAMP) in found and (
        "site-of-another-state",
        "case/base/items/index.html",
    ) in found
    assert {rule for rule, _ in found} == {"site-of-another-state"}, "the words differ for that reason and no other"
    assert "base in the state " in verify(copy).output


def test_what_the_organisation_changed_since_shows_in_the_words(copy: Site) -> None:
    """The digest of the case's own files is the same; its pages are not."""
    path = copy.root / ".asfound/instruments.yml"
    text = path.read_text("utf-8")
    assert text.count("resolution: 0.1 ml") or text.count("resolution:"), "the register has a resolution"
    line = next(one for one in text.splitlines() if "what:" in one)
    path.write_text(text.replace(line, f"{line}, as bought", 1), "utf-8")
    found = told(copy)
    assert {rule for rule, _ in found} == {"page-differs"}, found
    assert "as bought" in verify(copy).output.replace("asbought", "as bought")


def _gone(site: Site) -> None:
    (site.folder / "case/base/findings/index.html").unlink()


def _emptied(site: Site) -> None:
    path = site.folder / "case/base/findings/index.html"
    text = path.read_text("utf-8")
    start = text.index('<div id="af-content"')
    path.write_text(text[:start] + "</div></div></div></body></html>", "utf-8")


def _altered(site: Site) -> None:
    path = site.folder / "case/base/findings/index.html"
    text = path.read_text("utf-8")
    assert text.count("probable") > 0
    path.write_text(text.replace("probable", "established", 1), "utf-8")


def _relinked(site: Site) -> None:
    path = site.folder / "case/base/findings/index.html"
    text = path.read_text("utf-8")
    assert text.count('href="#F-2"') > 1
    path.write_text(text.replace('href="#F-2"', 'href="#F-1"', 1), "utf-8")


def _unstamped(site: Site) -> None:
    path = site.folder / "case/base/findings/index.html"
    text = path.read_text("utf-8")
    path.write_text(text.replace('name="asfound-case"', 'name="other"'), "utf-8")


def _taken_back(site: Site) -> None:
    shutil.copytree(site.folder / "case/base", site.folder / "case/old")


def _pictured(site: Site) -> None:
    one, other = sorted((site.folder / "case/base/pictures").iterdir())[:2]
    one.write_bytes(other.read_bytes())


def _quoted(site: Site) -> None:
    page = site.folder / "about/index.html"
    page.parent.mkdir()
    page.write_text("<html><body><p>It gave [=R-flow-1] and <code>[=R-x-1]</code>.</p></body></html>", "utf-8")


@pytest.mark.parametrize(
    ("spoil", "rule", "page"),
    [
        (_gone, "page-missing", "case/base/findings/index.html"),
        (_emptied, "page-unfilled", "case/base/findings/index.html"),
        (_altered, "page-differs", "case/base/findings/index.html"),
        (_relinked, "page-differs", "case/base/findings/index.html"),
        (_unstamped, "site-unstamped", "case/base/findings/index.html"),
        (_taken_back, "page-of-no-case", "case/old/index.html"),
        (_pictured, "file-differs", ""),
        (_quoted, "mark-left", "about/index.html"),
    ],
)
def test_each_thing_that_must_not_be_is_found_at_its_page(
    spoil: Callable[[Site], None], rule: str, page: str, copy: Site
) -> None:
    spoil(copy)
    found = told(copy)
    assert {one for one, _ in found} == {rule}
    assert not page or (rule, page) in found
    assert len(found) == 1 or spoil is _taken_back


def test_other_white_space_and_order_of_attributes_are_no_difference(copy: Site) -> None:
    """What makes pages smaller on the way changes no word, no anchor and no address."""
    path = copy.folder / "case/base/findings/index.html"
    text = path.read_text("utf-8")
    path.write_text(text.replace("\n", " \n ").replace('<a href="../evidence/', '<a   href="../evidence/'), "utf-8")
    assert told(copy) == set()


@pytest.mark.parametrize(
    "data", ["", "[]", "{", '{"format": 2}', '{"format": 1, "cases": {"a": 1}, "options": {}}', "[" * 100_000, "\udcff"]
)
def test_a_stamp_that_is_none_is_said_to_be(data: str, copy: Site) -> None:
    (copy.folder / STAMP).write_bytes(data.encode("utf-8", "surrogateescape"))
    assert told(copy) == {("site-unstamped", STAMP)}


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ('"addresses": true', '"addresses": 1', "site-unstamped"),
        ('"assessed_on": "2026-03-20"', '"assessed_on": "soon"', "site-unstamped"),
        ('"program": "', '"program": "9.', "site-of-another-state"),
        ('"base":', '"other":', "site-of-another-state"),
    ],
)
def test_what_a_stamp_says_is_held_against_the_repository(old: str, new: str, rule: str, copy: Site) -> None:
    path = copy.folder / STAMP
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")
    assert {one for one, _ in told(copy)} == {rule}


def test_another_date_than_the_one_asked_for_fails(copy: Site) -> None:
    assert told(copy, "--on", ON) == set()
    assert told(copy, "--on", "2026-03-21") == {("site-of-another-state", STAMP)}


def test_a_repository_in_which_a_reject_stands_has_no_site(copy: Site) -> None:
    path = copy.root / "cases/base/readings/earth.csv"
    path.write_text(
        path.read_text("utf-8").replace("1,case screw,142\n", "1,case screw,142\n1,case screw,143\n"), "utf-8"
    )
    assert ("site-of-rejected-case", STAMP) in told(copy)


def test_wrong_usage_is_said_and_is_no_verdict(tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "none"):
        done = CliRunner().invoke(cli, ["verify-site", str(folder), "--root", str(BASE)])
        assert done.exit_code == 2 and "Traceback" not in done.output


def test_a_build_with_other_settings_is_made_again_with_them(tmp_path: Path) -> None:
    root = configure(
        base(tmp_path), PLAIN, repo_url="https://github.example/owner/repository",
        asfound={"notice": "For <b> & co.", "show_duties": False, "history": False, "own_search": False},
    )  # fmt: skip
    assert told(build(root)) == set()
