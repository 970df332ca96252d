"""What came and what went between two runs over the same files."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass

from asfound.problems.problem import Problem


@dataclass(frozen=True, slots=True)
class Moved:
    """Two lists of problems, held against each other.

    new        those that were not there before, in order
    otherwise  those that speak of the same thing in other words or at another level, as they read now
    mended     those that are gone, as they read before
    """

    new: tuple[Problem, ...] = ()
    otherwise: tuple[Problem, ...] = ()
    mended: tuple[Problem, ...] = ()

    def __bool__(self) -> bool:
        """Whether anything moved."""
        return bool(self.new or self.otherwise or self.mended)


def moved(before: Iterable[Problem], after: Iterable[Problem]) -> Moved:
    """What moved. A problem whose line alone changed has not moved: the file around it was edited."""
    gone, new = _apart(list(before), list(after), _whole)
    mended, fresh = _apart(gone, new, _about)
    kept = set(map(id, fresh))
    return Moved(tuple(fresh), tuple(one for one in new if id(one) not in kept), tuple(mended))


def _whole(one: Problem) -> Hashable:
    return one.rule, one.subject or one.span.path, one.about, one.level, one.found, one.needed, one.lifted


def _about(one: Problem) -> Hashable:
    return one.rule, one.subject or one.span.path, one.about


def _apart(
    before: Sequence[Problem], after: Sequence[Problem], key: Callable[[Problem], Hashable]
) -> tuple[list[Problem], list[Problem]]:
    """What stands on one side only; of several alike, as many as are too many, the last ones."""
    return _beyond(before, after, key), _beyond(after, before, key)


def _beyond(these: Sequence[Problem], those: Sequence[Problem], key: Callable[[Problem], Hashable]) -> list[Problem]:
    count: dict[Hashable, int] = {}
    for one in those:
        count[key(one)] = count.get(key(one), 0) + 1
    left = []
    for one in these:
        if count.get(key(one), 0):
            count[key(one)] -= 1
        else:
            left.append(one)
    return left
