"""Every file of a built site, and every problem of it in one run."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from asfound.audit import entries
from asfound.audit.kept import faults
from asfound.audit.links import Links
from asfound.audit.markup import Element, Markup
from asfound.audit.outside import away, fetched, styled
from asfound.audit.pictures import carried
from asfound.problems import Entry, Level, Problem, Span

_RAW = (".csv", ".yml", ".yaml", ".tif", ".tiff", ".heic", ".dng")
_HOST = re.compile(r"https?://([a-z0-9-]+(?:\.[a-z0-9-]+)+)", re.IGNORECASE)
_NAMESPACES = {"www.w3.org"}
_CONTROLS = {"a", "button", "label", "summary"}
_SENDS = re.compile(r"showSendToCloud[\"']?\s*:\s*(?:true|!0)")
_SHARED = re.compile(r"\bCONFIG\s*=\s*(\{[^{}]*(?:showSendToCloud|plotlyServerURL)[^{}]*\})")
"""What a script says for every chart that does not say it itself."""


def audit(folder: Path, originals: Mapping[str, str] | None = None) -> tuple[Problem, ...]:
    """Everything that is wrong with a built site, in the order of its places.

    folder     the site; paths in problems are relative to it
    originals  SHA-256 in hex of each raw file of the cases → its path; none of them may lie in the site
    Raises OSError where a file cannot be read.
    """
    files = {path.relative_to(folder).as_posix(): path for path in sorted(folder.rglob("*")) if path.is_file()}
    found: list[Problem] = []
    pages: dict[str, Markup] = {}
    shared = [
        one
        for name, path in files.items()
        if name.endswith(".js")
        for one in _SHARED.findall(path.read_bytes().decode("utf-8", "replace"))
    ]
    for name, path in files.items():
        data = path.read_bytes()
        found += _bytes(name, data, originals or {})
        if name.endswith(".html"):
            try:
                text = data.decode("utf-8")
            except UnicodeDecodeError as error:
                line = data.count(b"\n", 0, error.start) + 1
                found.append(
                    _problem(entries.UNREAD, name, line, 0, "bytes that are no UTF-8", "text in UTF-8 was needed")
                )
                continue
            pages[name] = Markup(text)
            found += _page(name, pages[name], shared)
        elif name.endswith(".css"):
            found += _css(name, data.decode("utf-8", "replace"))
        elif name.endswith(".js"):
            found += _script(name, data.decode("utf-8", "replace"))
    links = Links(files, {name: page.names for name, page in pages.items()}, _base(pages))
    for name, page in pages.items():
        for one, said, needed in links.dead(name, page.elements):
            found.append(_problem(entries.LINK, name, one.line, one.column, said, needed))
    return tuple(sorted(found, key=lambda one: one.key))


def _problem(entry: Entry, path: str, line: int, column: int, found: str, needed: str) -> Problem:
    return Problem(entry.name, entry.level, Span(path, line, column), found, needed, entry.mend)


def _bytes(name: str, data: bytes, originals: Mapping[str, str]) -> Iterator[Problem]:
    needed = "nothing raw was to be published"
    known = originals.get(hashlib.sha256(data).hexdigest()) if data else None
    if known:
        yield _problem(entries.RAW, name, 0, 0, f"the bytes of {known}", needed)
    elif name.lower().endswith(_RAW):
        yield _problem(entries.RAW, name, 0, 0, "a file of the kind that cases are made of", needed)
    elif "evidence" in name.split("/")[:-1] and not name.endswith(".html"):
        yield _problem(entries.RAW, name, 0, 0, "a file below a folder called evidence", needed)
    for what in dict.fromkeys(carried(data)):
        made = _problem(entries.METADATA, name, 0, 0, f"the picture carries {what}", "the bare picture was needed")
        # A theme's own picture may say which program drew it; only a camera writes Exif, and beside a case nothing may.
        yield made if "Exif" in what or name.startswith("case/") else made.at(Level.WARN)


def _page(name: str, page: Markup, shared: Sequence[str]) -> Iterator[Problem]:
    inline = ["".join(one.words) for one in page.elements if one.tag == "script" and "src" not in one.at]
    shared = [*shared, *(one for text in inline for one in _SHARED.findall(text))]
    for one in page.elements:
        for attribute, address in fetched(one):
            if away(address):
                said = f'<{one.tag}> asks for "{address}" by its {attribute}'
                yield _problem(entries.OUTSIDE, name, one.line, one.column, said, "a file of the site was needed")
        for text in (one.at.get("style", ""), "".join(one.words) if one.tag == "style" else ""):
            for _, address in styled(text):
                said = f'a style asks for "{address}"'
                yield _problem(entries.OUTSIDE, name, one.line, one.column, said, "a file of the site was needed")
        for said, needed in _sends(one, shared):
            yield _problem(entries.UPLOAD, name, one.line, one.column, said, needed)
        for said in _silent(one):
            yield _problem(entries.WORDS, name, one.line, one.column, said, "words in its place were needed")
    for fault, said, needed in faults(page):
        line, column = (fault.line, fault.column) if fault is not None else (0, 0)
        yield _problem(entries.POLICY, name, line, column, said, needed)
    yield from _stamp(name, page)


def _stamp(name: str, page: Markup) -> Iterator[Problem]:
    said = {one.at.get("name"): one.at.get("content", "") for one in page.elements if one.tag == "meta"}
    for one in page.elements:
        # A page that was built into the frame of another generator bears its stamp itself, since the head is not ours.
        if one.at.get("id") == "af-content" and "data-asfound" in one.at:
            said.setdefault("asfound", one.at["data-asfound"])
            said.setdefault("asfound-case", one.at.get("data-asfound-case", ""))
    if not re.fullmatch(r"\d+\.\d+\S*", said.get("asfound", "")):
        yield _problem(entries.STAMP, name, 0, 0, "no version of the program", "the version that made it was needed")
    if name.startswith("case/") and not re.fullmatch(r"\S+ \S*[0-9a-f]{64}", said.get("asfound-case", "")):
        yield _problem(entries.STAMP, name, 0, 0, "no digest of the case", "the digest of what it shows was needed")


def _sends(one: Element, shared: Sequence[str]) -> Iterator[tuple[str, str]]:
    if one.tag == "input" and one.at.get("type", "").lower() == "file":
        yield "a field that takes a file", "a page that only shows was needed"
    text = "".join(one.words)
    if one.tag in {"script", "template"} and "src" not in one.at and _SENDS.search(text):
        yield "a chart that offers to be sent away", "showSendToCloud false was needed"
    if one.tag != "template" or not any("data-af-chart" in parent.at for parent in one.parents()):
        return
    try:
        told = json.loads(text)
        # Where a chart leaves it out it holds what the script says for all, in every script that says so.
        configs = [told["config"]] if "config" in told else [json.loads(each) for each in shared]
        stays = [(each.get("showSendToCloud") is False, each.get("plotlyServerURL") == "") for each in configs]
    except (ValueError, TypeError, AttributeError):
        stays = []
    if not stays:
        yield "a chart whose configuration cannot be read", "showSendToCloud false was needed"
        return
    if not all(here for here, _ in stays) and not _SENDS.search(text):
        yield "a chart that does not say that it stays here", "showSendToCloud false was needed"
    if not all(nameless for _, nameless in stays):
        yield "a chart that names a server to be sent to", "an empty plotlyServerURL was needed"


def _silent(one: Element) -> Iterator[str]:
    if one.tag == "img" and not _hidden(one):
        if "alt" not in one.at:
            yield "a picture without words"
        elif not one.at["alt"].strip() and any(parent.tag in {"figure", "a"} for parent in one.parents()):
            yield "a picture with empty words where it says something"
    if one.tag == "svg" and not _hidden(one) and not _named(one):
        yield "a drawing without title or label"
    if one.tag == "figure":
        caption = [inner for inner in one.inside if inner.tag == "figcaption"]
        if not caption or not caption[0].text.strip():
            yield "a figure without caption"


def _hidden(one: Element) -> bool:
    return any(
        each.at.get("aria-hidden") == "true" or each.at.get("role") in {"presentation", "none"} or "hidden" in each.at
        for each in (one, *one.parents())
    )


def _named(one: Element) -> bool:
    for each in (one, *(parent for parent in one.parents() if parent.tag in _CONTROLS)):
        if each.at.get("aria-label", "").strip() or each.at.get("aria-labelledby", "").strip():
            return True
        if each is not one and (each.at.get("title", "").strip() or each.text.strip()):
            return True
    return any(inner.tag == "title" and inner.text.strip() for inner in one.inside)


def _css(name: str, text: str) -> Iterator[Problem]:
    for at, address in styled(
        re.sub(r"/\*.*?\*/", lambda found: re.sub(r"[^\n]", " ", found.group()), text, flags=re.S)
    ):
        line, column = _place(text, at)
        said = f'a style asks for "{address}"'
        yield _problem(entries.OUTSIDE, name, line, column, said, "a file of the site was needed")


def _script(name: str, text: str) -> Iterator[Problem]:
    hosts = sorted({host.lower() for host in _HOST.findall(text)} - _NAMESPACES)
    if hosts:
        said = f"the script holds addresses of {', '.join(hosts)}"
        yield _problem(entries.DORMANT, name, 0, 0, said, "they are text as long as every page has its policy")


def _place(text: str, at: int) -> tuple[int, int]:
    start = text.rfind("\n", 0, at) + 1
    return text.count("\n", 0, at) + 1, at - start + 1


def _base(pages: Mapping[str, Markup]) -> str:
    """The path the site believes to lie at, from the address its first page calls its own."""
    first = pages.get("index.html")
    for one in first.elements if first is not None else ():
        if one.tag == "link" and one.at.get("rel") == "canonical":
            return re.sub(r"^[a-z]+://[^/]*", "", one.at.get("href", "/")).rpartition("/")[0] + "/"
    return "/"
