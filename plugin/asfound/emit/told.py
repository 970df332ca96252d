"""The problems of one case, as the outputs for hosts take them, and a name for each that outlives edits."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from msgspec import Struct

from asfound.problems import Level, Problem

HEAVY = frozenset({Level.REJECT})
COMMAND = "asfound check --format text"
"""Lists every problem, and so stands wherever a host had no room."""


class Told(Struct, frozen=True):
    """What is told of one case.

    folder    its folder, from the root of the repository
    case      its identity; the folder again where case.yml could not be read
    problems  all that stands against it
    """

    folder: str
    case: str
    problems: tuple[Problem, ...]


class Item(Struct, frozen=True):
    """One problem with its fingerprint: 64 hexadecimal digits, unique in a run.

    numbered  the fingerprint as first published: problems of one rule on one record by their number alone
    """

    told: Told
    problem: Problem
    fingerprint: str
    numbered: str


def items(cases: Iterable[Told]) -> list[Item]:
    """Every problem of every case, worst first, then by place.

    The fingerprint is taken over the identity of the case, the rule, the record spoken of (the file, from the case's
    folder, where there is none), what of it the rule speaks of, where it may say several things of one record, and
    which of several that still agree in all of it, counted in their order. Neither lines nor values have a part in it:
    a problem stays the same one while the file around it is edited, and while others of its record come and go.
    """
    found: list[Item] = []
    for told in cases:
        count: dict[tuple[str, ...], int] = {}
        for problem in sorted(told.problems, key=lambda one: one.key):
            record = problem.subject or problem.span.path.removeprefix(f"{told.folder}/")
            # A rule that says one thing of a record has no part to name, and the fingerprint it always had.
            whole = (problem.rule, record)
            part = (*whole, problem.about) if problem.about else whole
            for what in {whole, part}:
                count[what] = count.get(what, 0) + 1
            prints = [_print(told.case, *what, str(count[what])) for what in (part, whole)]
            found.append(Item(told, problem, *prints))
    return sorted(found, key=lambda one: (one.problem.level.rank, one.problem.key))


def _print(*named: str) -> str:
    return hashlib.sha256("\0".join(named).encode("utf-8", "surrogatepass")).hexdigest()


def left_out(count: int) -> str:
    """What is said of problems a host has no room for."""
    return f"{count} more had no room here; `{COMMAND}` lists every one"
