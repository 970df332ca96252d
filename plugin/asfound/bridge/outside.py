"""What keeps a published page to itself: settings of the theme that would call elsewhere, and what each head says."""

from __future__ import annotations

import re
from functools import cache
from html import escape
from importlib.metadata import version

from mkdocs.config.defaults import MkDocsConfig

from asfound.bridge.settings import AsfoundConfig
from asfound.pages import marked, policy

NEEDS_A_SERVER = ("navigation.instant", "navigation.instant.prefetch", "navigation.instant.preview",
                  "navigation.instant.progress", "navigation.tracking")  # fmt: skip
"""Features of the theme that swap pages by fetching them, which no browser does from disk."""
_CODE_HOST = re.compile(r'(<a\b[^>]*class="md-source"[^>]*?)\s+data-md-component="source"')
_ICON = re.compile(r'<svg (?=xmlns="http://www\.w3\.org/2000/svg"(?: width="\d+" height="\d+")? viewBox="[^"]*">)')
_SKIP = re.compile(r'<a\b[^>]*class="md-skip"[^>]*>.*?</a>', re.DOTALL)
_BODY = re.compile(r"<body\b[^>]*>")
_OURS = re.compile(r'<div class="(?=af[ "])')
_OPENING = re.compile(r'<div class="af[ "]')
_HELD, _FIRST = "<!-- what asfound put here -->", 400
_BUILT = re.compile(r"<!--\s*(?:MkDocs|ProperDocs) version\b.*?-->", re.DOTALL)


def prepare(config: MkDocsConfig, ours: AsfoundConfig) -> None:
    """Set what both themes would otherwise fetch from elsewhere, and what cannot work from disk.

    Fonts and a highlighter of code come from other hosts by default; our pages bring their own fonts and show no code.
    """
    theme = config.theme
    if theme.name == "material":
        theme["font"] = False
    elif theme.name == "mkdocs":
        theme["highlightjs"] = False
    if ours.from_disk:
        config.use_directory_urls = False
        config.site_url = ""
        theme.static_templates.discard("404.html")  # it answers a wrong address, which takes a server
        if isinstance(theme.get("features"), list):
            theme["features"] = [one for one in theme["features"] if one not in NEEDS_A_SERVER]


def finished(page: str, stamp: str, ours: AsfoundConfig, directory_urls: bool, serving: bool, body: str = "") -> str:
    """A page with its policy and its stamp, and without what the theme's script would ask a code host for.

    stamp    case and digest of what the page shows; empty where it shows no one case
    serving  whether the engine watches and puts a script into the page that tells of changes
    body     what we put into the page; it is not looked through, since nothing of a theme's stands in it
    """
    around, held = _around(page, body)
    made = _finished(around, stamp, ours, directory_urls, serving)
    return made.replace(_HELD, held) if held else made


def _around(page: str, body: str) -> tuple[str, str]:
    """A page with a mark in the place of our body, but for how that begins, and what the mark stands for.

    As it is, and nothing, where the body holds a script, of which the policy has to know, or is not as we wrote it.
    """
    opening = _OPENING.match(body)
    if opening is None or "<script" in body:
        return page, ""
    held = body[opening.end() :]
    # Looked for by its first words: a search for so long a text prepares itself longer than it takes.
    at = page.find(body[:_FIRST]) + opening.end()
    if not page.startswith(held, at):
        return page, ""
    around = page[:at] + _HELD + page[at + len(held) :]
    return (around, held) if around.count(_HELD) == 1 else (page, "")


def _finished(page: str, stamp: str, ours: AsfoundConfig, directory_urls: bool, serving: bool) -> str:
    # The theme asks the host of the repository for stars and forks; without this word it only shows the link.
    page = _CODE_HOST.sub(r"\1", page)
    page = _ICON.sub('<svg aria-hidden="true" ', page)
    # The space before it is looked at once it is found: asked of every space on a page it would take half of all this.
    while (built := _BUILT.search(page)) is not None:
        page = page[: built.start()].rstrip() + page[built.end() :]
    if _OURS.search(page):
        # One theme has such a link only where there are headings, and leads past what stands before; one has none.
        page = _OURS.sub('<div id="af-content" class="', _SKIP.sub("", page), count=1)
        page = _BODY.sub(r'\g<0><a class="af-skip" href="#af-content">Skip to content</a>', page, count=1)
    lines = []
    if "js/darkmode.js" in page and 'id="hljs-light"' not in page:
        # The plain theme's switch between light and dark stops at once where it does not find these two.
        lines.append('<meta id="hljs-light"><meta id="hljs-dark">')
    if ours.content_policy:
        told = policy(page, disk=not directory_urls, watched=serving)
        lines.append(f'<meta http-equiv="Content-Security-Policy" content="{told}">')
    lines.append(f'<meta name="asfound" content="{escape(_program())}">')
    if stamp:
        lines.append(f'<meta name="asfound-case" content="{escape(stamp)}">')
    return marked(page, lines)


@cache
def _program() -> str:
    # Asked for every page, and read from the package's folder each time.
    return version("asfound")
