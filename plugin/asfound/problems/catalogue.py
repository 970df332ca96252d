"""Every rule once: what it refuses, why, on whose authority, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from asfound.problems.problem import Level


class Family(StrEnum):
    """Integrity is asked always; completeness once the case is in review."""

    INTEGRITY = "integrity"
    COMPLETENESS = "completeness"


@dataclass(frozen=True, slots=True)
class Entry:
    """A rule as the catalogue prints it.

    name      kebab-case
    family    integrity (always) or completeness (from review on)
    level     the heaviest level it gives
    title     one sentence: what must hold
    reason    why it matters, in a sentence or two
    source    published document and clause, or `common practice, no source`
    status    how well the source was read: `confirmed`, `secondary`, `from memory`, `common practice`, `ours`
    mend      how to mend it, in general
    rows      the requirement rows it answers (`R34`)
    liftable  whether a signed exception may lift its reject
    since     version of the program that brought it
    private   whether it speaks of the facility's own duties: shown at work, not in what is handed over
    """

    name: str
    family: Family
    level: Level
    title: str
    reason: str
    source: str
    status: str
    mend: str
    rows: tuple[str, ...] = ()
    liftable: bool = True
    since: str = "0.1.0"
    private: bool = False


class Catalogue:
    """Entries by name; a name stands once."""

    def __init__(self, entries: Iterable[Entry] = ()) -> None:
        self._entries: dict[str, Entry] = {}
        for entry in entries:
            self.add(entry)

    def add(self, entry: Entry) -> None:
        """Add an entry. Raises ValueError on a name already taken."""
        if entry.name in self._entries:
            raise ValueError(f"the rule name {entry.name!r} is taken twice")
        self._entries[entry.name] = entry

    def __getitem__(self, name: str) -> Entry:
        return self._entries[name]

    def __contains__(self, name: object) -> bool:
        return name in self._entries

    def __iter__(self) -> Iterator[Entry]:
        return iter(sorted(self._entries.values(), key=lambda entry: entry.name))

    def __len__(self) -> int:
        return len(self._entries)
