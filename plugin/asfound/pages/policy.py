"""What a page may load and do, told to the browser by the page itself (Content Security Policy level 3, a meta tag).

A page of a case loads what lies beside it and nothing else. The policy makes sure of it for what is not ours as well: a
theme's script that would fetch a library or ask a code host is stopped by the browser, whatever set it off.

The theme's own short scripts stand in the page. Each is let through by the digest of its text and no other is, so they
differ from page to page and are taken from the finished page.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable
from functools import lru_cache

_INLINE = re.compile(r"<script\b([^>]*)>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)
_SOURCE = re.compile(r"""\ssrc\s*=""", re.IGNORECASE)
_DATA = re.compile(r"""\stype\s*=\s*["']?(?!module|text/javascript|application/javascript)[\w/+.-]+""", re.IGNORECASE)
_CHARSET = re.compile(r"<meta\s+charset=[^>]*>", re.IGNORECASE)
_HEAD = re.compile(r"<head\b[^>]*>", re.IGNORECASE)


def policy(page: str, *, disk: bool = False, watched: bool = False) -> str:
    """The policy a finished page keeps.

    page     the whole page, HTML
    disk     whether it is read from disk: a page there has no origin of its own, so files are named beside 'self'
    watched  whether the engine will put a script of its own into the page that tells of changes, as it serves
    """
    own = "'self' file:" if disk else "'self'"
    allowed = ["'unsafe-inline'"] if watched else _digests(page)
    return "; ".join(
        (
            "default-src 'none'",
            _line("script-src", own, allowed),
            # Not by digest: a page of a case holds a style for the heads of its paper, and a theme that swaps
            # pages shows it under the policy of another. Positions set by the chart library have no digest anyway.
            _line("style-src", own, ["'unsafe-inline'"]),
            f"img-src {own} data:",
            f"font-src {own} data:",
            f"connect-src {own}",
            f"worker-src {own}",
            f"manifest-src {own}",
            "object-src 'none'",
            "frame-src 'none'",
            "form-action 'none'",
            "base-uri 'none'",
        )
    )


def marked(page: str, lines: Iterable[str]) -> str:
    """The page with lines put at the start of its head, before anything that a policy has a say in."""
    told = "".join(f"\n      {line}" for line in lines)
    found = _CHARSET.search(page) or _HEAD.search(page)
    return page[: found.end()] + told + page[found.end() :] if found else page


def _line(name: str, own: str, more: Iterable[str]) -> str:
    return " ".join((name, own, *more))


def _digests(page: str) -> list[str]:
    """Digests of the scripts that stand in a page, each once, in their own order."""
    return sorted(
        {
            _digest(text)
            for attributes, text in _INLINE.findall(page)
            if not (_SOURCE.search(attributes) or _DATA.search(attributes))
        }
    )


@lru_cache(maxsize=512)
def _digest(text: str) -> str:
    # A browser takes line ends as one sign before it counts.
    plain = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8")
    return f"'sha256-{base64.b64encode(hashlib.sha256(plain).digest()).decode('ascii')}'"
