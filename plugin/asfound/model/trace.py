"""The trace of a record: every commit that touched it or what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from asfound.model.dossier import Dossier
from asfound.model.past import Commit, RecordChange
from asfound.model.rests import Steps, held_against, rests_on


@dataclass(frozen=True, slots=True)
class Trace:
    """A record, what it rests on, and what happened to both.

    rests        id → the id through which it is reached, nearest first
    steps        commits that touched any of them, oldest first, each with what it did to them
    uncommitted  what is not committed yet
    gaps         what the history cannot prove, a sentence each
    program      limits and protocols of the program's own among `rests`, and the program with its version: no commit
                 tells of them
    """

    case: str
    ref: str
    known: bool
    why: str
    rests: Mapping[str, str]
    steps: tuple[tuple[Commit, tuple[RecordChange, ...]], ...]
    uncommitted: tuple[RecordChange, ...]
    gaps: tuple[str, ...]
    program: tuple[tuple[str, ...], str] = ((), "")

    def way(self, ref: str) -> tuple[str, ...]:
        """The ids from the record down to one it rests on, both ends included."""
        way = [ref]
        while way[-1] != self.ref:
            way.append(self.rests[way[-1]])
        return tuple(reversed(way))


class Tracer:
    """Traces of the records of one case; what they have in common is worked out once."""

    def __init__(self, dossier: Dossier) -> None:
        self._dossier, core = dossier, dossier.core
        self._held = held_against(core.case, core.verdicts, core.limits, core.protocols)
        self._order = {id(change): place for place, change in enumerate(dossier.history.changes)}
        self._places = {one.id: place for place, one in enumerate(dossier.history.commits)}
        self._own = frozenset(dossier.history.own)
        self._steps: Steps = {}
        chosen = core.case.plan.limit_sets if core.case.plan else ()
        self._extended = tuple(
            name.removeprefix("limits/")
            for name in dossier.history.own
            if name.startswith("limits/") and name.removeprefix("limits/") not in chosen
        )

    def trace(self, ref: str) -> Trace:
        """The trace of one record."""
        past, core = self._dossier.history, self._dossier.core
        rests = rests_on(core.case, ref, core.results, self._held, self._steps)
        for name, through in list(self._beside(rests)):
            if name != ref:
                rests.setdefault(name, through)
        by_commit: dict[str, list[RecordChange]] = {}
        for name in (ref, *rests):
            for change in past.of(name):
                by_commit.setdefault(change.commit, []).append(change)
        order = sorted((one for one in by_commit if one in self._places), key=self._places.__getitem__)
        steps = tuple(
            (commit, tuple(sorted(by_commit[one], key=lambda change: self._order[id(change)])))
            for one in order
            if (commit := past.commit(one)) is not None
        )
        shipped = tuple(name for name in rests if past.known and self._of_program(name))
        return Trace(
            self._dossier.id, ref, past.known, past.why, rests, steps,
            tuple(change for change in past.uncommitted if change.ref == ref or change.ref in rests), past.gaps,
            (shipped, f"asfound {self._dossier.made_with.asfound}".strip()),
        )  # fmt: skip

    def _of_program(self, name: str) -> bool:
        head, _, tail = name.partition("/")
        if head in ("limits", "protocols") and tail:
            return head == "protocols" and name not in self._own
        return name in self._dossier.core.limits and f"limits/{head}" not in self._own

    def _beside(self, rests: Mapping[str, str]) -> Iterator[tuple[str, str]]:
        """Limits that are there no more, or that stand in a set which the one that was chosen extends."""
        tests = {name.removeprefix("P-").partition("--")[0]: name for name in rests if name.startswith("P-")}
        for name in rests:
            head, _, limit = name.partition("/")
            if limit and name in self._dossier.core.limits:
                yield from ((f"{other}/{limit}", name) for other in self._extended if other != head)
                yield from ((f"limits/{other}", name) for other in self._extended if other != head)
        for change in (*self._dossier.history.changes, *self._dossier.history.uncommitted):
            if change.kind == "removed" and f"limits/{change.ref.partition('/')[0]}" in self._own:
                for field in change.fields:
                    if field.name == "test" and field.old in tests:
                        yield change.ref, tests[field.old]


def trace(dossier: Dossier, ref: str) -> Trace:
    """The trace of one record of a case whose history was asked for."""
    return Tracer(dossier).trace(ref)
