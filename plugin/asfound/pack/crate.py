"""ro-crate-metadata.json: what the payload is, for programs that know nothing of us (RO-Crate 1.2, an attached crate).

The context is named and never fetched. Digests are left to the manifests of the bag, which every file is listed in.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from asfound.pack.write import Part

CRATE = "https://w3id.org/ro/crate/1.2"
METADATA = "ro-crate-metadata.json"
HANDLING = "#handling"


def crate_json(name: str, about: str, on: str, handling: str, parts: Iterable[Part]) -> bytes:
    """The metadata of the payload. `on` is the date of the pack, `handling` what may be done with it, in a sentence."""
    files = [_file(part) for part in sorted(parts, key=lambda part: part.name.encode())]
    root: dict[str, Any] = {
        "@id": "./",
        "@type": "Dataset",
        "name": name,
        "description": about,
        "datePublished": on,
        "license": {"@id": HANDLING},
        "hasPart": [{"@id": one["@id"]} for one in files],
    }
    descriptor = {
        "@id": METADATA,
        "@type": "CreativeWork",
        "about": {"@id": "./"},
        "conformsTo": {"@id": CRATE},
    }
    rights = {"@id": HANDLING, "@type": "CreativeWork", "name": "Handling", "description": handling}
    graph = [descriptor, root, rights, *files]
    data = {"@context": f"{CRATE}/context", "@graph": graph}
    return (json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def _file(part: Part) -> dict[str, Any]:
    found: dict[str, Any] = {
        "@id": _address(part.name.removeprefix("data/")),
        "@type": "File",
        "contentSize": str(part.size()),
        "name": part.name.rpartition("/")[2],
    }
    if part.media:
        found["encodingFormat"] = part.media
    if part.about:
        found["description"] = part.about
    return found


def _address(path: str) -> str:
    """A path as a relative address: RO-Crate 1.2 wants characters that an address cannot hold percent-encoded."""
    from urllib.parse import quote

    return quote(path, safe="/-._~!$&'()*+,;=@")
