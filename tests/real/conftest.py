"""The sites these tests look at, each built once."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.support.repository import Repo

from .issued import issued
from .reader import Reader, chromium
from .support import DEMONSTRATED, INSTANT, MATERIAL, PLAIN, ROOT, Site, base, build, configure, demonstration

ADDRESS = "http://127.0.0.1:8000/docket/"
"""What the sites believe to be their address: instant navigation asks for one."""


def _committed(root: Path) -> Path:
    """The base case under the engine's own theme, with its switch of colours, and two editions."""
    from .test_editions_pages import repository

    theme = {**PLAIN, "color_mode": "auto", "user_color_mode_toggle": True}
    Repo(configure(repository(root), theme, site_url=ADDRESS)).commit("Issue the second edition")
    return root


def _own(root: Path) -> Path:
    shutil.copy(ROOT / "mkdocs.yml", root / "mkdocs.yml")
    return root


_KINDS: dict[str, Callable[[Path], Path]] = {
    "instant": lambda root: configure(base(root), INSTANT, site_url=ADDRESS),
    "disk": lambda root: configure(base(root), MATERIAL, use_directory_urls=False, site_url=""),
    "plain": lambda root: configure(base(root), PLAIN, site_url=ADDRESS),
    "plain-disk": lambda root: configure(base(root), PLAIN, use_directory_urls=False, site_url=""),
    "demo": lambda root: _own(demonstration(root)),
    "issued": lambda root: issued(_own(root)),
    "plain-issued": _committed,
}
_WAYS = ("instant", "disk", "plain", "plain-disk")
"""The ways a site is built."""


@pytest.fixture(scope="session")
def _built(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Site]:
    """Gives a site by its kind. Workers of one run share what one of them has built."""
    home = tmp_path_factory.getbasetemp()
    home = (home.parent if os.environ.get("PYTEST_XDIST_WORKER") else home) / "sites"
    home.mkdir(exist_ok=True)

    def get(kind: str) -> Site:
        root = home / kind
        done, failed = home / f"{kind}.done", home / f"{kind}.failed"
        try:
            root.mkdir()
        except FileExistsError:
            end = time.monotonic() + 150
            while not done.exists():
                assert not failed.exists(), failed.read_text(encoding="utf-8")
                assert time.monotonic() < end, f"the site {kind} was not built within 150 s"
                time.sleep(0.1)
            return Site(root, root / "site")
        try:
            # The demonstration holds cases that ended later than the base case.
            later = {"SOURCE_DATE_EPOCH": DEMONSTRATED} if kind in ("demo", "issued") else {}
            found = build(_KINDS[kind](root), **later)
        except BaseException as error:
            failed.write_text(f"the site {kind} was not built:\n{error}", encoding="utf-8")
            raise
        done.touch()
        return found

    return cache(get)


@pytest.fixture(scope="session", params=_WAYS)
def site(request: pytest.FixtureRequest, _built: Callable[[str], Site]) -> Site:
    """The base case as a site, in each of the ways a site is built."""
    return _built(request.param)


@pytest.fixture(scope="session")
def instant(_built: Callable[[str], Site]) -> Site:
    """Served, with instant navigation."""
    return _built("instant")


@pytest.fixture(scope="session")
def disk(_built: Callable[[str], Site]) -> Site:
    """Read from disk."""
    return _built("disk")


@pytest.fixture(scope="session")
def plain(_built: Callable[[str], Site]) -> Site:
    """Under the engine's own theme."""
    return _built("plain")


@pytest.fixture(scope="session")
def demo(_built: Callable[[str], Site]) -> Site:
    """The demonstration, built with this repository's own configuration."""
    return _built("demo")


@pytest.fixture(scope="session")
def nine(_built: Callable[[str], Site]) -> Site:
    """The demonstration in a repository of git, one of its cases with two editions."""
    return _built("issued")


@pytest.fixture(scope="session")
def plain_issued(_built: Callable[[str], Site]) -> Site:
    """The base case with two editions, under the engine's own theme."""
    return _built("plain-issued")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """The browser; a test that asks for it bears the mark `browser`."""
    with chromium() as found:
        yield found


@pytest.fixture
def reader(browser: Any) -> Iterator[Callable[..., Reader]]:
    """Makes readers, each with a context of their own."""
    made: list[Reader] = []

    def go(**more: Any) -> Reader:
        made.append(Reader(browser, **more))
        return made[-1]

    yield go
    for one in made:
        one.context.close()
