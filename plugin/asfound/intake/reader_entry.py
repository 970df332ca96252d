"""How an entry of the catalogue is made for what a reader of files refuses, and the sources several of them share."""

from __future__ import annotations

from asfound.problems import Entry, Family, Level

YAML = "YAML 1.2.2"
RFC = "RFC 4180"
CWE = "CWE-1236"
PRACTICE = "common practice, no source"


def reader_entry(
    name: str, title: str, reason: str, source: str, mend: str, *, level: Level = Level.REJECT, liftable: bool = False
) -> Entry:
    """An integrity entry. A file that cannot be read with certainty is not lifted by an exception: it is mended."""
    status = {PRACTICE: "common practice", "ours": "ours"}.get(source, "from memory")
    return Entry(
        name=name,
        family=Family.INTEGRITY,
        level=level,
        title=title,
        reason=reason,
        source=source,
        status=status,
        mend=mend,
        liftable=liftable,
    )
