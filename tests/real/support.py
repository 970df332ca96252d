"""Small repositories, real builds of them, and the pages that came out, parsed."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import yaml

import asfound
from asfound.limits import packaged
from asfound.pages.manual import CHAPTERS

BASE = Path(__file__).parents[1] / "rules" / "base"
ROOT = Path(__file__).parents[2]
OFFLINE = Path(__file__).parent / "offline"
PROGRAM = Path(asfound.__file__).parents[1]
"""Where the program lies that these tests import: the programs they start run the same one."""
ON = "2026-03-20"
EPOCH = "1774000000"
"""SOURCE_DATE_EPOCH of every build: 2026-03-20, the day the base case is assessed on."""

DEMONSTRATED = "1780142400"
"""The same of the demonstration: 2026-05-30, when all of its cases have ended."""

SECTIONS = (
    "", "items", "scene", "accounts", "timeline", "inspection", "work", "measurements", "findings", "without",
    "evidence", "problems", "changes", "record", "duties",
)  # fmt: skip
MANUAL = ("manual", *(f"manual/{name}" for name in CHAPTERS))
REGISTERS = ("protocols", "limits", "rules", "method", "cautions", "patient-data", "reporting", "formats")

MATERIAL: dict[str, Any] = {
    "name": "material",
    "font": False,
    "palette": [
        {"media": "(prefers-color-scheme: light)", "scheme": "default", "primary": "custom",
         "toggle": {"icon": "material/weather-night", "name": "Switch to dark"}},
        {"media": "(prefers-color-scheme: dark)", "scheme": "slate", "primary": "custom",
         "toggle": {"icon": "material/weather-sunny", "name": "Switch to light"}},
    ],
}  # fmt: skip
INSTANT = {**MATERIAL, "features": ["navigation.instant", "navigation.tabs"]}
PLAIN: dict[str, Any] = {"name": "mkdocs", "highlightjs": False}
FOUND_BY = (
    "docket/status/in-review", "docket/device/infusion-pump", "docket/event/too-much", "docket/verdict/has-a-fail",
    "docket/level/probable", "docket/month/2026-03",
)  # fmt: skip
"""The pages by which the base case is found; each facet has a page that counts its values besides."""
PROTOCOLS = ("protocols/base-pump", *sorted(f"protocols/{one.protocol}" for one in packaged().protocols.values()))
ACROSS = ("across/sisters", "across/instruments/M-1", "across/instruments/M-2", "across/instruments/M-3")
NAV = [
    {"Docket": "index.md"},
    *({name.capitalize(): f"{name}.md"} for name in REGISTERS),
    {"Manual": "manual/index.md"},
]


def addresses(*, directory: bool) -> list[str]:
    """The files of the pages of the base case's site, as DEVELOPERS.md settles them."""
    heads = ["case/base", "manual", "across/instruments", *(name.rpartition("/")[0] for name in FOUND_BY)]
    names = [
        "",
        *(f"case/base/{section}".rstrip("/") for section in SECTIONS),
        *REGISTERS,
        *PROTOCOLS,
        *MANUAL,
        *FOUND_BY,
        *heads[2:],
        *ACROSS,
    ]
    if directory:
        return [f"{name}/index.html".lstrip("/") for name in names]
    return [f"{name}/index.html" if name in heads else f"{name or 'index'}.html" for name in names]


def photographs() -> dict[str, Path]:
    """Where each registered picture of the base case is published, and the original."""
    known = yaml.safe_load((BASE / "cases" / "base" / "evidence.yml").read_text(encoding="utf-8"))
    files = {ref: one["file"] for ref, one in known.items() if str(one.get("file", "")).endswith(".jpg")}
    return {f"case/base/pictures/{ref}.png": BASE / "cases" / "base" / file for ref, file in files.items()}


def configure(root: Path, theme: Mapping[str, Any], **more: Any) -> Path:
    """Write a repository's mkdocs.yml; `more` adds to what is usual or takes its place, None takes away."""
    asked = {"assess_on": ON, **more.pop("asfound", {})}
    plugin = {name: value for name, value in asked.items() if value is not None}
    config = {
        "site_name": "Test docket",
        "docs_dir": "cases",
        "strict": True,
        "theme": dict(theme),
        "plugins": ["search", {"asfound": plugin}],
        "nav": NAV,
        "validation": {
            "nav": {"omitted_files": "ignore", "not_found": "warn", "absolute_links": "warn"},
            "links": {"not_found": "warn", "absolute_links": "warn", "unrecognized_links": "warn"},
        },
        **more,
    }
    (root / "mkdocs.yml").write_text(yaml.safe_dump(config, sort_keys=False), encoding="utf-8")
    return root


def base(root: Path) -> Path:
    """A copy of the repository of the base case."""
    shutil.copytree(BASE, root, dirs_exist_ok=True)
    return root


def demonstration(root: Path) -> Path:
    """A copy of the demonstration: this repository's cases and its organisation's files."""
    for name in ("cases", ".asfound"):
        shutil.copytree(ROOT / name, root / name)
    return root


def environment(**more: str) -> dict[str, str]:
    """The environment of a build: no network, no banner, a date that stands still."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("MKDOCS", "LC_", "TZ", "LANG"))}
    return {
        **kept,
        "PYTHONPATH": os.pathsep.join((str(OFFLINE), str(PROGRAM))),
        "NO_MKDOCS_2_WARNING": "1",
        "SOURCE_DATE_EPOCH": EPOCH,
        "PYTHONHASHSEED": "random",
        **more,
    }


def mkdocs(*arguments: str) -> list[str]:
    """The command line of the site engine of this very environment."""
    return [sys.executable, "-m", "mkdocs", *arguments]


def run(root: Path, *arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
    """`mkdocs ARGUMENTS` in a repository."""
    return subprocess.run(
        mkdocs(*arguments), cwd=root, env=environment(**env), capture_output=True, text=True, encoding="utf-8",
        check=False, timeout=170,
    )  # fmt: skip


def build(root: Path, **env: str) -> Site:
    """Build a repository's site, strictly, and be sure that nothing was said."""
    done = run(root, "build", "-q", "--strict", **env)
    assert done.returncode == 0, done.stderr
    assert done.stdout == "" and done.stderr == "", done.stderr
    return Site(root, root / "site")


_VOID = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)


@dataclass
class Element:
    """One start tag, and the words inside it."""

    tag: str
    attributes: dict[str, str]
    above: tuple[Element, ...]
    words: list[str] = field(default_factory=list)

    def within(self, name: str) -> bool:
        """Whether it stands in an element of this tag or class."""
        return any(name == one.tag or name in one.attributes.get("class", "").split() for one in self.above)

    @property
    def text(self) -> str:
        """All words inside, white space taken as one space."""
        return " ".join("".join(self.words).split())


class Page(HTMLParser):
    """A page as a browser would take it apart: every element with its attributes, words and what it stands in."""

    def __init__(self, path: Path, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.path, self.source = path, text
        self.elements: list[Element] = []
        self._open: list[Element] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = Element(tag, {name: value or "" for name, value in attrs}, tuple(self._open))
        self.elements.append(found)
        if tag not in _VOID:
            self._open.append(found)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        # `<path/>` within a drawing closes itself; in HTML proper the slash means nothing.
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        for at in range(len(self._open) - 1, -1, -1):
            if self._open[at].tag == tag:
                del self._open[at:]
                return

    def handle_data(self, data: str) -> None:
        for one in self._open:
            one.words.append(data)

    def all(self, tag: str) -> list[Element]:
        """Every element of a name."""
        return [one for one in self.elements if one.tag == tag]

    @cached_property
    def ids(self) -> list[str]:
        """Every id, in order, as often as it stands there."""
        return [one.attributes["id"] for one in self.elements if one.attributes.get("id")]

    @cached_property
    def text(self) -> str:
        """All words of the page."""
        return self.all("html")[0].text if self.all("html") else " ".join(one.text for one in self.elements)


@dataclass(frozen=True)
class Site:
    """A built site and the repository it came from."""

    root: Path
    folder: Path

    @cached_property
    def files(self) -> dict[str, Path]:
        """Every file, by its path below the site."""
        found = sorted(path for path in self.folder.rglob("*") if path.is_file())
        return {path.relative_to(self.folder).as_posix(): path for path in found}

    @cached_property
    def pages(self) -> dict[str, Page]:
        """Every page, by its path below the site."""
        return {
            name: Page(path, path.read_text(encoding="utf-8"))
            for name, path in self.files.items()
            if name.endswith(".html")
        }

    @property
    def own(self) -> dict[str, Page]:
        """The pages that are ours: all but the engine's page for a wrong address."""
        return {name: page for name, page in self.pages.items() if name != "404.html"}

    def page(self, name: str) -> Page:
        """A page by its address: `case/base/items`, whichever way addresses are written here."""
        for file in (f"{name}.html", f"{name}/index.html" if name else "index.html", f"{name}/index.html".lstrip("/")):
            if file in self.pages:
                return self.pages[file]
        raise KeyError(name)

    def digests(self) -> dict[str, str]:
        """SHA-256 of every file."""
        return {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in self.files.items()}

    def links(self) -> Iterator[tuple[str, str, str]]:
        """Every address named in a page: page, element and attribute, address."""
        for name, page in self.pages.items():
            for one in page.elements:
                for attribute in ("href", "src", "action", "data", "poster", "xlink:href", "srcset"):
                    if attribute in one.attributes:
                        yield name, f"{one.tag} {attribute}", one.attributes[attribute]

    def target(self, page: str, address: str) -> tuple[str, str] | None:
        """The file and anchor an address leads to from a page; None where it leaves the site."""
        parts = urlsplit(address)
        if parts.scheme or parts.netloc:
            return None
        path = unquote(parts.path)
        if not path:
            return page, unquote(parts.fragment)
        start = Path("/") if path.startswith("/") else Path("/", page).parent
        joined = os.path.normpath(start / path.lstrip("/"))
        relative = joined.lstrip("/")
        if path.endswith(("/", ".")) or (self.folder / relative).is_dir():
            relative = f"{relative}/index.html".lstrip("/")
        return relative, unquote(parts.fragment)
