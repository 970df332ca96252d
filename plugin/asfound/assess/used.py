"""What of the organisation's own a case rests on: instruments, sets of limits, protocols, settings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from asfound.intake import SETTINGS, BenchReading
from asfound.model.case import Case
from asfound.model.limits import LimitSet, Protocol


class Used(Struct, frozen=True):
    """Names under which the organisation's records go in a history.

    instruments  ids (`M-1`)
    sets         names of limit sets, those included that another extends
    protocols    names of protocols, those included that another includes
    own          which of the sets and protocols are the organisation's, as `limits/<set>` and `protocols/<name>`
    """

    instruments: frozenset[str] = frozenset()
    sets: frozenset[str] = frozenset()
    protocols: frozenset[str] = frozenset()
    own: tuple[str, ...] = ()

    def holds(self, ref: str) -> bool:
        """Whether a record of the organisation's is among them. Its settings have a say in every planned case."""
        head, _, name = ref.partition("/")
        if ref == SETTINGS:
            return bool(self.sets or self.protocols)
        if head == "limits" and name in self.sets:
            return True
        return ref in self.instruments or head in self.sets or (head == "protocols" and name in self.protocols)

    @property
    def nothing(self) -> bool:
        """Whether the case rests on nothing of the organisation's."""
        return not (self.instruments or self.sets or self.protocols)


def used_by(case: Case, bench: BenchReading) -> Used:
    """What a case uses. Sets and protocols of the program stand among them; no commit of a repository touches those."""
    sets = {one.set: one for one in bench.limit_sets.values()}
    protocols = {one.protocol: one for one in bench.protocols.values()}
    chosen = frozenset(_extended(case.plan.limit_sets if case.plan else (), sets))
    followed = frozenset(_included(case.plan.protocols if case.plan else (), protocols))
    own = [f"limits/{name}" for name in chosen if name in sets]
    own += [f"protocols/{name}" for name in followed if name in protocols]
    instruments = frozenset(sheet.instrument for sheet in case.sheets.values())
    return Used(instruments, chosen, followed, tuple(sorted(own)))


def _extended(names: tuple[str, ...], sets: Mapping[str, LimitSet]) -> Iterator[str]:
    seen: set[str] = set()
    for start in names:
        name: str | None = start
        while name is not None and name not in seen:
            seen.add(name)
            yield name
            name = sets[name].extends if name in sets else None


def _included(names: tuple[str, ...], protocols: Mapping[str, Protocol]) -> Iterator[str]:
    seen: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop(0)
        if name not in seen:
            seen.add(name)
            yield name
            waiting += protocols[name].includes if name in protocols else ()
