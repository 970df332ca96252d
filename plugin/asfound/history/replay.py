"""The history replayed from its first commit: which contents each path had, and what each merge did of its own.

A branch's own commits are told where they were made. A merge is told only for what neither side brought: contents no
parent has, and a change of one side that was dropped because the other side was taken whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from heapq import heappop, heappush

from msgspec import Struct

from asfound.history.log import FileChange, LogCommit

Held = dict[str, tuple[str | None, int]]
"""Path → contents (None: taken away), and the number of the commit that set them."""


class Step(Struct, frozen=True):
    """One commit, and what it did of its own.

    changes        files; in a merge `old` is what the parent had whose version was given up
    before, after  the files that name a case (`case.yml`): path → contents, before the commit (in any of its parents)
                   and after it
    """

    commit: LogCommit
    changes: tuple[FileChange, ...]
    before: Mapping[str, str]
    after: Mapping[str, str]


class Replay:
    """Walks commits, parents first; once.

    held             afterwards: path → contents, as the last commit has them
    unknown_parents  afterwards: commit and parent, where a parent is not in this clone
    """

    def __init__(self, commits: Sequence[LogCommit], head_file: str = "case.yml") -> None:
        self.held: dict[str, str] = {}
        self.unknown_parents: list[tuple[str, str]] = []
        self._commits = commits
        self._number = {commit.id: number for number, commit in enumerate(commits)}
        self._head_file = head_file

    def steps(self) -> Iterator[Step]:
        """Every commit in order."""
        waiting = [0] * len(self._commits)
        parents_of = [self._parents(commit) for commit in self._commits]
        for parents in parents_of:
            for parent in parents:
                waiting[parent] += 1
        states: dict[int, Held] = {}
        heads: dict[int, dict[str, str]] = {}
        state: Held = {}
        for number, commit in enumerate(self._commits):
            parents = parents_of[number]
            for parent in parents:
                waiting[parent] -= 1
            first, others = (parents[0], parents[1:]) if parents else (-1, ())
            before = heads.get(first, {})
            after = self._heads(before, commit.changes)
            if not others:
                # The state of a commit without further children is handed on, not copied.
                state = {} if first < 0 else states[first] if not waiting[first] else dict(states[first])
                changes = commit.changes
                for path, _, new, *_ in changes:
                    state[path] = (new, number)
            else:
                state = dict(states[first])
                changes = tuple(self._merge(number, parents, states, state))
                for other in others:
                    before = {**heads[other], **before}
            yield Step(commit, changes, before, after)
            states[number], heads[number] = state, after
            for parent in parents:
                if not waiting[parent]:
                    del states[parent], heads[parent]
        self.held = {path: contents for path, (contents, _) in state.items() if contents is not None}

    def _parents(self, commit: LogCommit) -> tuple[int, ...]:
        found: dict[int, None] = {}
        for parent in commit.parents:
            number = self._number.get(parent)
            if number is None:
                self.unknown_parents.append((commit.id, parent))
            else:
                found[number] = None
        return tuple(found)

    def _heads(self, before: dict[str, str], changes: tuple[FileChange, ...]) -> dict[str, str]:
        name = self._head_file
        touched = [one for one in changes if one.path.endswith(name) and f"/{one.path}".endswith(f"/{name}")]
        if not touched:
            return before
        after = dict(before)
        for path, _, new, *_ in touched:
            if new is None:
                after.pop(path, None)
            else:
                after[path] = new
        return after

    def _merge(
        self, number: int, parents: tuple[int, ...], states: dict[int, Held], state: Held
    ) -> Iterator[FileChange]:
        """What a merge did of its own; `state`, that of the first parent, becomes what the merge holds."""
        own = self._commits[number].changes
        for path, _, new, *_ in own:
            state[path] = (new, number)
        apart = {(one, other): self._only(one, other) for one in parents for other in parents if one != other}
        since = sorted(frozenset().union(*apart.values()))
        origins: dict[str, str | None] = {}
        for one in since:
            for change in self._commits[one].changes:
                origins.setdefault(change.path, change.old)
        for path in sorted({*origins, *(change.path for change in own)}):
            contents = _contents(state.get(path))
            sides = [states[parent].get(path) for parent in parents]
            told = tuple(_contents(side) for side in sides)
            base = origins.get(path, told[0])
            same = [place for place, side in enumerate(told) if side == contents]
            if not same:
                yield FileChange(path, told[0], contents, told, base)
                continue
            kept = sides[same[0]]
            if kept is not None:
                state[path] = kept
            for place, side in enumerate(sides):
                # Given up, not outdated: this side set it in a commit that no side with the contents taken knows.
                if side is None or place in same:
                    continue
                if all(side[1] in apart[parents[place], parents[other]] for other in same):
                    yield FileChange(path, side[0], contents, told, base)
                    state[path] = (contents, number)
                    break

    def _only(self, one: int, other: int) -> frozenset[int]:
        """Commits that `one` rests on, itself among them, and `other` does not."""
        mine, theirs = 1, 2
        marks = {one: mine, other: theirs}
        # Numbers run parents first, so when the largest number left is taken, all its children have been.
        queue = sorted(-number for number in marks)
        left = 1
        found = []
        while left:
            number = -heappop(queue)
            mark = marks[number]
            if mark == mine:
                found.append(number)
                left -= 1
            for parent in self._commits[number].parents:
                place = self._number.get(parent)
                if place is None:
                    continue
                had = marks.get(place)
                if had is None:
                    marks[place] = mark
                    heappush(queue, -place)
                    left += mark == mine
                elif had | mark != had:
                    left -= had == mine
                    marks[place] = had | mark
        return frozenset(found)


def _contents(side: tuple[str | None, int] | None) -> str | None:
    return side[0] if side else None
