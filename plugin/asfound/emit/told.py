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
    """One problem with its fingerprint: 64 hexadecimal digits, unique in a run."""

    told: Told
    problem: Problem
    fingerprint: str


def items(cases: Iterable[Told]) -> list[Item]:
    """Every problem of every case, worst first, then by place.

    The fingerprint is taken over the identity of the case, the rule, the record spoken of (the file, from the case's
    folder, where there is none) and which of several such problems it is, counted in their order. Neither lines nor
    values have a part in it, so that a problem stays the same one while the file around it is edited.
    """
    found: list[Item] = []
    for told in cases:
        count: dict[tuple[str, str], int] = {}
        for problem in sorted(told.problems, key=lambda one: one.key):
            about = problem.subject or problem.span.path.removeprefix(f"{told.folder}/")
            number = count[problem.rule, about] = count.get((problem.rule, about), 0) + 1
            named = "\0".join((told.case, problem.rule, about, str(number)))
            found.append(Item(told, problem, hashlib.sha256(named.encode("utf-8", "surrogatepass")).hexdigest()))
    return sorted(found, key=lambda one: (one.problem.level.rank, one.problem.key))


def left_out(count: int) -> str:
    """What is said of problems a host has no room for."""
    return f"{count} more had no room here; `{COMMAND}` lists every one"
