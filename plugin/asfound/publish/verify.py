"""A built site, held against what the repository gives: the same pages, in the same state, with the same words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from asfound.audit.markup import Element, Markup
from asfound.pages import ASSETS, SEARCH_INDEX, Page, address
from asfound.pages.page import Addresses
from asfound.problems import Entry, Level, Problem, Span
from asfound.publish import site_entries as entries
from asfound.publish.plain import block
from asfound.publish.stamp import SITE, Stamp
from asfound.publish.work import Built

_MARK = re.compile(r"\[=[A-Z]-[a-z0-9][a-z0-9-]*\]")
_FIRST = '<div class="'
_NAMED = '<div id="af-content" class="'
_CODE = {"code", "pre", "script", "style", "template", "textarea"}
_SAYS = ('<meta name="asfound-case" content=', "data-asfound-case=")
EXCERPT = 40


def published(uri: str, addresses: Addresses) -> str:
    """The file of a page in a built site."""
    at = address(uri, addresses)
    return f"{at}index.html" if not at or at.endswith("/") else at


class Verified:
    """One site and what it should be. `stamp` is what the site says of itself; None where it says nothing."""

    def __init__(self, folder: Path, built: Built, stamp: Stamp | None, same_program: bool = True) -> None:
        self._folder, self._built, self._stamp, self._same = folder, built, stamp, same_program
        self._files = {path.relative_to(folder).as_posix() for path in sorted(folder.rglob("*")) if path.is_file()}
        self._addresses = stamp.options.directory_urls if stamp is not None else self._seen()

    def problems(self) -> tuple[Problem, ...]:
        """Everything in which the site is not what the repository gives, in the order of its places."""
        found = [*self._states(), *self._pages(), *self._beside()]
        return tuple(sorted(found, key=lambda one: one.key))

    def _seen(self) -> Addresses:
        # A site that says nothing: files where any page of ours is one, else folders.
        return not any(address(uri, False) in self._files for uri in self._built.pages if not uri.endswith("index.md"))

    def _states(self) -> Iterator[Problem]:
        given = {one.dossier.id: one.dossier.core.digests.case for one in self._built.assessments if one.dossier}
        if self._stamp is not None:
            told = self._stamp.cases
            for case in sorted(given.keys() - told.keys()):
                yield _problem(entries.STATE, SITE, f'no case "{case}"', "every case of the repository was needed")
            for case in sorted(told.keys() - given.keys()):
                yield _problem(entries.STATE, SITE, f'a case "{case}"', "the repository holds no such case")
            for case in sorted(given.keys() & told.keys()):
                if given[case] != told[case]:
                    yield _problem(entries.STATE, SITE, _of(case, told[case]), _needs(given[case]))

    def _pages(self) -> Iterator[Problem]:
        expected = {published(uri, self._addresses): page for uri, page in self._built.pages.items()}
        for name, page in expected.items():
            if name not in self._files:
                yield _problem(entries.MISSING, name, "no such page", f'"{page.title}" was needed')
                continue
            yield from self._page(name, page)
        for name in sorted(self._files - expected.keys()):
            if name.endswith(".html"):
                if name.startswith("case/"):
                    yield _problem(entries.STRAY, name, "a page", "the repository gives no such page")
                yield from self._marks(name)

    def _page(self, name: str, page: Page) -> Iterator[Problem]:
        try:
            text = (self._folder / name).read_text("utf-8")
        except UnicodeDecodeError:
            yield _problem(
                entries.DIFFERS, name, "bytes that are no UTF-8", "the page as the repository gives it was needed"
            )
            return
        body = page.body.strip()
        whole = body.replace(_FIRST, _NAMED, 1) in text or block(page) in text
        if whole and (not page.stamp or any(f'{one}"{page.stamp}"' in text for one in _SAYS)):
            return
        markup = Markup(text)
        root = next((one for one in markup.elements if "af" in one.at.get("class", "").split()), None)
        if root is None:
            yield _problem(entries.UNFILLED, name, "a page without the content of ours", f'"{page.title}" was needed')
            return
        told = _stamp(markup)
        if page.stamp and told != page.stamp:
            case, _, digest = page.stamp.rpartition(" ")
            if told:
                yield _problem(entries.STATE, name, _of(*_parts(told)), f"{_needs(digest)}, of {case}")
            else:
                yield _problem(entries.UNSTAMPED, name, "no digest of the case", f"{_needs(digest)}, of {case}")
        # Of another state or by another program the words differ as well, which says nothing more.
        if self._same and not whole and (not page.stamp or told in ("", page.stamp)):
            given, there = _said(Markup(page.body).elements[0]), _said(root)
            if given != there:
                at = next(
                    (n for n, (a, b) in enumerate(zip(given, there, strict=False)) if a != b),
                    min(len(given), len(there)),
                )
                found, needed = _excerpt(there, at), _excerpt(given, at)
                yield _problem(entries.DIFFERS, name, f'the words "{found}"', f'"{needed}" was needed there')

    def _marks(self, name: str) -> Iterator[Problem]:
        text = (self._folder / name).read_text("utf-8", errors="replace")
        if not _MARK.search(text):
            return
        for one in Markup(text).elements:
            if one.tag in _CODE or any(above.tag in _CODE for above in one.parents()):
                continue
            for mark in _MARK.findall("".join(one.words)):
                yield _problem(entries.MARK, name, f"the mark {mark}", "its value was needed", one.line, one.column)

    def _beside(self) -> Iterator[Problem]:
        for name, data in self._built.files.items():
            if name == SITE:
                continue
            there = name in self._files
            if not there and name != SEARCH_INDEX:  # the engine's own search may stand in the place of ours
                yield _problem(entries.FILE, name, "no such file", "what pages show and ask for was needed")
            # What serves the look may be made smaller on the way; what shows a case may not be touched.
            shown = name == SEARCH_INDEX or not name.startswith(f"{ASSETS}/")
            if there and shown and self._same and (self._folder / name).read_bytes() != data:
                yield _problem(entries.FILE, name, "other bytes", "the file as the repository gives it was needed")


def _problem(entry: Entry, path: str, found: str, needed: str, line: int = 0, column: int = 0) -> Problem:
    return Problem(entry.name, Level.REJECT, Span(path, line, column), found, needed, entry.mend)


def _of(case: str, digest: str) -> str:
    return f"{case} in the state {digest[:16]}"


def _needs(digest: str) -> str:
    return f"the state {digest.rpartition(':')[2][:16]} was needed"


def _parts(stamp: str) -> tuple[str, str]:
    case, _, digest = stamp.rpartition(" ")
    return case, digest.rpartition(":")[2]


def _stamp(markup: Markup) -> str:
    for one in markup.elements:
        if one.tag == "meta" and one.at.get("name") == "asfound-case":
            return one.at.get("content", "")
        if one.at.get("data-asfound-case"):
            return one.at["data-asfound-case"]
    return ""


def _said(root: Element) -> str:
    """Words, anchors and addresses of an element without white space: what no generator may change."""
    found: list[str] = []
    waiting = [root]
    while waiting:
        one = waiting.pop()
        if one is not root and one.at.get("id"):
            found.append(f"#{one.at['id']} ")
        if one.tag != "link" and one.at.get("href"):
            found.append(f"→{one.at['href']} ")
        if one.tag not in {"script", "style"}:
            found.append("".join(one.words))
        waiting += reversed(one.inside)
    return re.sub(r"\s+", "", "".join(found))


def _excerpt(text: str, at: int) -> str:
    start = max(0, at - EXCERPT // 4)
    return text[start : start + EXCERPT] or "nothing more"
