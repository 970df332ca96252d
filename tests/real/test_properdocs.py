"""The continuation of the site engine runs the same plugin unchanged: real builds of both, held side by side.

ProperDocs 1.6.7 (confirmed by running it) reads `mkdocs.plugins` and `mkdocs.themes` among the entry points of what is
installed, and hands its own modules to whoever imports `mkdocs`. So the plugin is found by the name it always had.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfound.audit import audit
from asfound.cli.audit_site import _originals
from asfound.cli.main import cli
from asfound.problems import Level

from .reader import Reader, chromium
from .support import INSTANT, MATERIAL, PLAIN, Site, base, configure, environment
from .test_build import FAULT, spoil

GENERATOR = re.compile(rb'<meta name="generator" content="([^"]*)">')
ADDRESS = "http://127.0.0.1:8000/docket/"


def properdocs(root: Path, *arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
    """`properdocs ARGUMENTS` in a repository, with the engine of this very environment."""
    return subprocess.run(
        [sys.executable, "-m", "properdocs", *arguments], cwd=root, env=environment(**env), capture_output=True,
        text=True, encoding="utf-8", check=False, timeout=170,
    )  # fmt: skip


def told(site: Site) -> tuple[dict[str, bytes], set[str]]:
    """Every file of a site without the engine's name in it, and what the engines call themselves."""
    names: set[str] = set()
    bare = {}
    for name, path in site.files.items():
        data = path.read_bytes()
        names |= {said.decode() for said in GENERATOR.findall(data)}
        bare[name] = GENERATOR.sub(b"", data)
    return bare, names


_FRAME = (
    (b"ProperDocs", b"MkDocs"), (b"properdocs", b"mkdocs"), (b"https://mkdocs.org/", b"https://www.mkdocs.org/"),
)  # fmt: skip
"""What the theme that came with the engine calls itself in its frame, and what it was called before."""


def renamed(data: bytes) -> bytes:
    """A page of the engine's own theme under its former name."""
    for new, old in _FRAME:
        data = data.replace(new, old)
    return data


def of_this_engine(root: Path, theme: dict[str, object], **more: object) -> Site:
    """The base case, built by ProperDocs from a file of its own name, and nothing said."""
    configure(base(root), theme, **more)
    (root / "mkdocs.yml").rename(root / "properdocs.yml")
    done = properdocs(root, "build", "-q", "--strict")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    return Site(root, root / "site")


@pytest.fixture(scope="module")
def own_theme(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """From disk, under the theme that this engine took over and keeps in a package of its own."""
    root = tmp_path_factory.mktemp("properdocs")
    return of_this_engine(root, PLAIN, use_directory_urls=False, site_url="")


def test_the_same_site_comes_out_under_a_theme_of_others(tmp_path: Path, _built: Callable[[str], Site]) -> None:
    """Byte for byte, but for the name the engine gives itself."""
    theirs, names = told(of_this_engine(tmp_path, INSTANT, site_url=ADDRESS))
    ours, usual = told(_built("instant"))
    assert [one for one in names if f"ProperDocs {version('properdocs')}" in one] == sorted(names) != []
    assert not [one for one in usual if "ProperDocs" in one]
    assert theirs == ours


def test_the_same_pages_come_out_under_the_engines_own_theme(own_theme: Site, _built: Callable[[str], Site]) -> None:
    usual: Site = _built("plain-disk")
    assert own_theme.pages.keys() == usual.pages.keys()
    ours = {name: path.read_bytes() for name, path in usual.files.items() if not name.startswith(("css/", "js/"))}
    differ = [name for name, data in ours.items() if renamed(own_theme.files[name].read_bytes()) != renamed(data)]
    assert differ == []
    done = CliRunner().invoke(cli, ["verify-site", str(own_theme.folder), "--root", str(own_theme.root)])
    assert done.exit_code == 0, done.output
    held = _originals(own_theme.root, own_theme.folder)
    assert [one.headline() for one in audit(own_theme.folder, held) if one.level is Level.REJECT] == []
    for name, page in own_theme.pages.items():
        assert "Build Date" not in page.source, name


@pytest.mark.browser
def test_the_search_works_under_the_engines_own_theme_and_nothing_complains(own_theme: Site) -> None:
    """Its script asks for a dialog by an id that begins with the engine's name, which is not the former one."""
    with chromium() as browser:
        reader = Reader(browser)
        reader.page.goto((own_theme.folder / "index.html").as_uri())
        reader.page.fill("#af-search-box", "118")
        reader.until("document.querySelector('.af-found ol a') !== null")
        assert reader.page.locator(".af-search").count() == 1
        assert reader.said == []


def test_a_reject_stops_this_engine_too_however_quiet(tmp_path: Path) -> None:
    """An mkdocs.yml is read as it is, and the error that ends a build is one this engine knows."""
    root = configure(base(tmp_path), MATERIAL)
    spoil(root, *FAULT)
    done = properdocs(root, "build", "-q")
    assert done.returncode == 1, done.stderr
    assert re.search(r"cases/base/readings/earth\.csv:\d+:\d+ reject [a-z-]+ — ", done.stderr), done.stderr
    assert "Traceback" not in done.stderr
    assert not (root / "site" / "index.html").exists()
