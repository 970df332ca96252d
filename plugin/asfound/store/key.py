"""Keys: one digest over everything that an entry was worked out from."""

from __future__ import annotations

import hashlib
import json


def key(kind: str, *parts: str) -> str:
    """The key of an entry: SHA-256, in hex, over its kind and its parts.

    The parts are written as a list of JSON, so that no two lists of parts run into one another.
    """
    text = json.dumps([kind, *parts], ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(f"asfound cache key 1\n{text}".encode()).hexdigest()
