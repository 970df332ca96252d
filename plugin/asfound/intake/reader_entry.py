"""How an entry of the catalogue is made for what a reader refuses, and the sources several of them share."""

from __future__ import annotations

from asfound.problems import Entry, Family, Level

YAML = "YAML 1.2.2"
RFC = "RFC 4180"
CWE = "CWE-1236"
PRACTICE = "common practice, no source"


def reader_entry(
    name: str,
    title: str,
    reason: str,
    source: str,
    mend: str,
    *,
    level: Level = Level.REJECT,
    liftable: bool = False,
    rows: tuple[str, ...] = (),
) -> Entry:
    """An integrity entry. What cannot be read with certainty is not lifted by an exception: it is mended."""
    ours = source == "ours" or source.startswith("ours: ")
    status = "common practice" if source == PRACTICE else "ours" if ours else "from memory"
    return Entry(
        name=name,
        family=Family.INTEGRITY,
        level=level,
        title=title,
        reason=reason,
        source=source,
        status=status,
        mend=mend,
        rows=rows,
        liftable=liftable,
    )
