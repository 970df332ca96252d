"""Links within a site: whether the file is there, and the place on it."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from urllib.parse import unquote

from asfound.audit.markup import Element

_SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)
_LINKS = {
    "a": ("href", "xlink:href"), "area": ("href",), "link": ("href",), "script": ("src",), "img": ("src",),
    "source": ("src",), "iframe": ("src",), "object": ("data",), "embed": ("src",), "video": ("src", "poster"),
    "audio": ("src",), "track": ("src",), "use": ("href", "xlink:href"), "image": ("href", "xlink:href"),
}  # fmt: skip


class Links:
    """Follows addresses from page to page.

    files  paths of the site
    names  page → its ids and names
    base   the path of the site on its host, `/` or `/docket/`
    """

    def __init__(self, files: Collection[str], names: Mapping[str, set[str]], base: str) -> None:
        self._files, self._names, self._base = files, names, base
        self._folders = {posixpath.dirname(name) for name in files}

    def dead(self, page: str, elements: Iterable[Element]) -> Iterator[tuple[Element, str, str]]:
        """Each element whose address leads nowhere, what was found and what was needed."""
        for one in elements:
            for attribute in _LINKS.get(one.tag, ()):
                address = one.at.get(attribute, "").strip()
                if not address or _SCHEME.match(address) or address.startswith("//"):
                    continue
                path, _, anchor = address.partition("#")
                target = self._target(page, unquote(path.partition("?")[0]))
                if target not in self._files:
                    yield one, f'"{address}" leads to no file', "an address of the site was needed"
                elif anchor and unquote(anchor) not in self._names.get(target, {unquote(anchor)}) and anchor != "top":
                    yield one, f'"{address}" names no place on that page', "an id that stands there was needed"

    def _target(self, page: str, path: str) -> str:
        if not path:
            return page
        if path.startswith("/"):
            joined = posixpath.normpath("/" + path.removeprefix(self._base))
        else:
            joined = posixpath.normpath(posixpath.join("/", posixpath.dirname(page), path))
        found = joined.lstrip("/")
        if path.endswith(("/", ".")) or found in self._folders:
            return f"{found}/index.html".lstrip("/")
        return found
