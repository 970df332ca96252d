"""Pages as plain Markdown files that any generator of sites can build, with the files that lie beside them.

A page is a front matter and one block of HTML, as the plugin hands it over. The block holds no empty line, since an
empty line ends a block of HTML in Markdown and the rest would be read as text; and no two braces that begin what
generators with templates in Markdown would carry out. Each page brings its stylesheet and script itself, since nobody
knows the frame it will stand in, and bears its stamp on its first element, since a frame has a head of its own.
"""

from __future__ import annotations

import json
import re
from html import escape
from importlib.metadata import version

from asfound.pages import ASSETS, Page, address
from asfound.pages.page import asset_link
from asfound.publish.work import Built

STAMP = "data-asfound"
CASE = "data-asfound-case"
_FIRST = re.compile(r'<div class="(?=af[ "])')
_KEPT = re.compile(r"(<pre\b.*?</pre>|<style\b.*?</style>)", re.DOTALL)
_TAG = re.compile(r"<[a-zA-Z][^<>]*>")
_EMPTY = re.compile(r"\n(?:[ \t]*\n)+")
_PLAIN = re.compile(r"[^\W\d_](?:[^:#\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]|:(?! )|(?<! )#)*")
_PRINTED = str.maketrans({"<": "‹", ">": "›", '"': "”"})
_WORDS = {"true", "false", "yes", "no", "on", "off", "null", "y", "n"}


def plain_uri(uri: str) -> str:
    """The file of a page: each lies in a folder of its own, so that its address is the same whether a generator
    makes a folder or a file of a page."""
    return address(uri, "named").removesuffix(".html") + ".md"


def plain_files(built: Built) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """Pages as Markdown, and the files they show or ask for, both by path. `built` was made with addresses "named"."""
    pages = {plain_uri(uri): plain_page(page).encode() for uri, page in built.pages.items()}
    return pages, dict(built.files)


def plain_page(page: Page) -> str:
    """One page: front matter and block."""
    head = [("title", frame_title(page.title)), ("asfound", version("asfound")), ("asfound-case", page.stamp)]
    if page.canonical:
        head.append(("canonical", address(page.canonical, "named")))
    head.append(("robots", page.robots))
    lines = [f"{name}: {_scalar(value)}" for name, value in head if value]
    return "\n".join(("---", *lines, "---", "", block(page), ""))


def frame_title(title: str) -> str:
    """A title for a frame nobody knows, which may print it as it stands: signs of markup become signs of print."""
    return re.sub(r"\{(?=[{%#])", "{ ", " ".join(title.translate(_PRINTED).split()))


def block(page: Page) -> str:
    """The body as one block of HTML that Markdown leaves alone."""
    style, script = (
        escape(asset_link(f"{ASSETS}/{name}", page.uri, "named")) for name in ("asfound.css", "asfound.js")
    )
    stamped = f' {STAMP}="{escape(version("asfound"))}"'
    stamped += f' {CASE}="{escape(page.stamp)}"' if page.stamp else ""
    asks = f'<link rel="stylesheet" href="{style}"><script defer src="{script}"></script>'
    body = _FIRST.sub(f'<div id="af-content"{stamped} class="', page.body.strip(), count=1)
    first = body.index(">") + 1
    return _closed(body[:first] + asks + body[first:])


def _closed(body: str) -> str:
    made = []
    for part in _KEPT.split(body):
        if part.startswith("<style"):
            part = re.sub(r"\{(?=[{%#])", "{ ", _EMPTY.sub("\n", part))
        else:
            # Within <pre> and within a tag a line end says something; written as a reference it is no line of the file.
            whole = part.startswith("<pre")
            part = (
                part.replace("\n", "&#10;") if whole else _TAG.sub(lambda tag: tag.group().replace("\n", "&#10;"), part)
            )
            part = re.sub(r"\{(?=[{%#])", "&#123;", _EMPTY.sub("\n", part))
        made.append(part)
    return _EMPTY.sub("\n", "".join(made))


def _scalar(text: str) -> str:
    """A value of the front matter: bare where both YAML and the simplest readers of front matter take it as it is."""
    plain = _PLAIN.fullmatch(text) and not text.endswith((":", " ")) and text.lower() not in _WORDS
    return text if plain else json.dumps(text, ensure_ascii=True)
