"""What `asfound render` writes, built by generators of others that know nothing of it: one that reads Markdown with
Python-Markdown (Zensical), one with markdown-it (Sphinx with MyST)."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfound.audit import audit
from asfound.cli.audit_site import _originals
from asfound.cli.main import cli
from asfound.cli.render import run_render
from asfound.problems import Level

from .reader import Reader, chromium
from .support import ON, Site, addresses, base, environment

CONF = 'project = "Docket"\nextensions = ["myst_parser"]\nmyst_title_to_header = True\nhtml_extra_path = ["extra"]\n'
CONF += "html_copy_source = False\n"
"""Else it puts each page into the site as text too, below the page's own folder names."""
SETTINGS = "site_name: Docket\ndocs_dir: docs\nuse_directory_urls: {}\ntheme:\n  font: false\n"
"""Its setting for fonts is the whole of what has to be said, or its pages ask another host for them."""


def _render(root: Path, pages: Path, files: Path | None) -> None:
    told = None if files is None else str(files)
    assert run_render(str(pages), told, ON, "", False, False, "", True, True, 1, str(root)) == 0


def _run(folder: Path, *command: str) -> None:
    done = subprocess.run(
        command, cwd=folder, env=environment(), capture_output=True, text=True, encoding="utf-8", check=False,
        timeout=170,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def zensical(root: Path, home: Path, directory: bool = True) -> Site:
    """One tree of pages and files, as this generator wants it."""
    _render(root, home / "docs", None)
    (home / "mkdocs.yml").write_text(SETTINGS.format(str(directory).lower()), "utf-8")
    _run(home, str(Path(sys.executable).parent / "zensical"), "build")
    return Site(root, home / "site")


def sphinx(root: Path, home: Path) -> Site:
    """Pages apart from files, as this generator wants it."""
    _render(root, home / "pages", home / "extra")
    (home / "conf.py").write_text(CONF, "utf-8")
    _run(home, sys.executable, "-m", "sphinx", "-q", "-c", ".", "-d", "cache", "-b", "html", "pages", "site")
    return Site(root, home / "site")


def _files(root: Path, home: Path) -> Site:
    return zensical(root, home, directory=False)


@pytest.fixture(scope="module", params=[zensical, _files, sphinx], ids=["zensical", "zensical-files", "sphinx"])
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The base case, built by a generator."""
    home: Path = tmp_path_factory.mktemp("rendered")
    one: Callable[[Path, Path], Site] = request.param
    return one(base(home / "repository"), home)


OWN = {"404.html", "genindex.html", "search.html"}
"""Pages of the generators themselves."""


def test_every_page_comes_out_at_the_same_address(made: Site) -> None:
    assert set(made.pages) - OWN == set(addresses(directory=True))


def test_every_file_comes_out_as_it_was(made: Site) -> None:
    index = made.files["assets/asfound/asfound-index.js"].read_bytes()
    assert b'"directory":"named"' in index
    assert [name for name in made.files if name.startswith("case/base/pictures/")]


def test_the_audit_says_what_the_frame_lacks_and_nothing_else(made: Site) -> None:
    """No generator writes our policy into its head; links, anchors, stamps, pictures and words are all in order."""
    found = [one for one in audit(made.folder, _originals(made.root, made.folder)) if one.level is Level.REJECT]
    ours = [one for one in found if one.span.path not in OWN]
    assert {(one.rule, one.found) for one in ours} == {("page-policy", "the page has no policy")}
    assert {one.span.path for one in ours} == set(addresses(directory=True))


def test_it_is_the_site_of_its_repository(made: Site) -> None:
    done = CliRunner().invoke(cli, ["verify-site", str(made.folder), "--root", str(made.root)])
    assert done.exit_code == 0, done.output


def test_no_address_of_ours_needs_a_server(made: Site) -> None:
    """An address that ends in `/` opens a list of files from disk."""
    seen = 0
    for name in addresses(directory=True):
        for one in made.pages[name].all("a"):
            if one.within("af"):
                path = one.attributes.get("href", "").partition("#")[0]
                seen += 1
                assert not path or "://" in path or path.endswith((".html", ".pdf", ".jpg", ".png")), (name, path)
    assert seen > 1000


@pytest.mark.browser
def test_it_is_read_from_disk_with_style_search_and_charts(made: Site) -> None:
    with chromium() as browser:
        reader = Reader(browser)
        reader.page.goto((made.folder / "case/base/timeline/index.html").as_uri())
        own = "getComputedStyle(document.querySelector('.af')).getPropertyValue('--af-serif')"
        assert "Source Serif 4" in reader.page.evaluate(own)
        assert reader.alive() > 0
        if reader.page.locator("#af-search-box").count():
            reader.page.fill("#af-search-box", "R-flow-1")
            reader.until(
                "document.querySelector('.af-found ol a[href$=\"measurements/index.html#R-flow-1\"]') !== null"
            )
        assert not [one for one in reader.asked if one.startswith("http")]
