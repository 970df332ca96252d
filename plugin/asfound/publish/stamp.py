"""What a site says of itself in one file: of which cases in which state it was made, on which date, and how.

Whoever holds the repository can make the same pages again from it (`asfound verify-site`), and see whether they are
those of the site. Nothing stands in it that the pages do not show.
"""

from __future__ import annotations

import datetime as dt
import json
from importlib.metadata import version
from typing import Any

from msgspec import Struct

from asfound.pages import ASSETS, Options

SITE = f"{ASSETS}/asfound-site.json"
"""Where the file lies in a site."""
FORMAT = 1
LARGEST = 4_000_000
"""Bytes of the largest such file that is read: some tens of thousands of cases."""


class NoStamp(ValueError):
    """The file is none of ours, with the reason."""


class Stamp(Struct, frozen=True):
    """What the file says.

    program  version that made the site
    cases    identity of each case → the digest of its files
    history  whether git was asked
    """

    program: str
    on: dt.date
    options: Options
    history: bool
    cases: dict[str, str]

    def pack(self) -> bytes:
        """The file."""
        told = {
            "format": FORMAT,
            "program": self.program,
            "assessed_on": self.on.isoformat(),
            "options": {
                "addresses": self.options.directory_urls,
                "source": self.options.source,
                "notice": self.options.notice,
                "duties": self.options.duties,
                "documents": self.options.documents,
                "history": self.history,
            },
            "cases": dict(sorted(self.cases.items())),
        }
        return (json.dumps(told, indent=1, ensure_ascii=False) + "\n").encode()


def stamp_of(on: dt.date, options: Options, history: bool, cases: dict[str, str]) -> Stamp:
    """The stamp of a site that this program makes."""
    return Stamp(version("asfound"), on, options, history, cases)


def read_stamp(data: bytes) -> Stamp:
    """Raises NoStamp where the file does not say what it must."""
    if len(data) > LARGEST:
        raise NoStamp(f"it has {len(data)} bytes, and {LARGEST} are read at most")
    try:
        told = json.loads(data)
    except (ValueError, RecursionError):
        raise NoStamp("it is no JSON") from None
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise NoStamp(f"its format is {told.get('format') if isinstance(told, dict) else 'none'}, not {FORMAT}")
    options, cases = told.get("options"), told.get("cases")
    if not isinstance(options, dict) or not isinstance(cases, dict):
        raise NoStamp("options or cases are missing")
    if not all(isinstance(digest, str) for digest in cases.values()):
        raise NoStamp("a case has no digest")
    addresses = options.get("addresses")
    if addresses not in (True, False, "named") or (isinstance(addresses, int) and not isinstance(addresses, bool)):
        raise NoStamp('its addresses are none of true, false and "named"')
    try:
        day = dt.date.fromisoformat(_said(told, "assessed_on", str))
    except ValueError:
        raise NoStamp("assessed_on is no date") from None
    made = Options(
        addresses,
        _said(options, "source", str),
        _said(options, "notice", str),
        _said(options, "duties", bool),
        _said(options, "documents", bool),
    )
    return Stamp(_said(told, "program", str), day, made, _said(options, "history", bool), cases)


def _said(told: dict[str, Any], name: str, kind: type) -> Any:
    value = told.get(name)
    if not isinstance(value, kind):
        raise NoStamp(f"{name} is missing, or is not what it should be")
    return value
