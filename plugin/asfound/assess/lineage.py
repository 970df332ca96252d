"""Which case a file belonged to, at every commit: by the identity in case.yml, wherever its folder lay."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from asfound import intake
from asfound.history import FileChange, Log, LogCommit, Step

HEAD = "case.yml"


class Touch(Struct, frozen=True):
    """A file change within a case.

    number    the commit, by its place in the log
    old, new  path below the case folder, before and after; None where the file was, or is, not part of the case
    """

    number: int
    commit: LogCommit
    change: FileChange
    old: str | None
    new: str | None

    @property
    def path(self) -> str:
        """Path below the case folder: where the file is, or where it was."""
        return self.new if self.new is not None else self.old or ""


class Lineage:
    """The whole history, sorted into cases.

    renamed  identity now → the identity before, and the commit that changed it
    bench    changes of what cases rest on of the organisation's: instruments, limits, protocols, settings
    """

    def __init__(self, log: Log) -> None:
        self.renamed: dict[str, tuple[str, LogCommit]] = {}
        self.bench: list[Touch] = []
        self._touches: dict[str, list[Touch]] = {}
        self._known: dict[str, str] = {}
        self._owners: dict[int, tuple[Mapping[str, str], dict[str, str]]] = {}
        # What was committed in a folder while no case.yml stood there, until one does.
        self._early: dict[str, list[tuple[int, LogCommit, FileChange]]] = {}
        replay = log.replay()
        steps = list(replay.steps())
        self.unknown_parents = tuple(replay.unknown_parents)
        self.held: Mapping[str, str] = replay.held
        heads = _heads(steps)
        self._names = _identities(log, heads)
        self._ever = frozenset(path.rpartition("/")[0] for path in heads)
        for number, step in enumerate(steps):
            self._sort(number, step)
        last = steps[-1].after if steps else {}
        self._folders = {root: folder for folder, root in self._of(last).items()}

    def touches(self, case: str) -> list[Touch]:
        """Every change to a file of the case, oldest first."""
        return self._touches.get(self.root(case), [])

    def folder(self, case: str) -> str | None:
        """The folder of the case in the last commit, from the root; None where it is not committed."""
        return self._folders.get(self.root(case))

    def root(self, case: str) -> str:
        """The first identity a case had."""
        seen = {case}
        while case in self.renamed and self.renamed[case][0] not in seen:
            case = self.renamed[case][0]
            seen.add(case)
        return case

    def _sort(self, number: int, step: Step) -> None:
        before, after = self._of(step.before), self._of(step.after)
        if before is not after:
            self._renames(step, before, after)
            before, after = self._of(step.before), self._of(step.after)
        for change in step.changes:
            if intake.of_bench(change.path):
                self.bench.append(Touch(number, step.commit, change, change.path, change.path))
                continue
            there = change.old is not None or any(side is not None for side in change.sides)
            was = _owner(change.path, before) if there else None
            now = _owner(change.path, after) if change.new is not None else None
            if was is None and now is None:
                self._keep(number, step, change)
            elif was is not None and now is not None and was[0] == now[0]:
                self._add(was[0], Touch(number, step.commit, change, was[1], now[1]))
            else:
                if was is not None:
                    self._add(was[0], Touch(number, step.commit, change, was[1], None))
                if now is not None:
                    # What stood in the folder before case.yml did is adopted below; it is not new here.
                    self._add(
                        now[0], Touch(number, step.commit, change, now[1] if there and was is None else None, now[1])
                    )
        if before is not after:
            for folder, case in after.items():
                if folder in self._early:
                    self._adopt(folder, case)

    def _keep(self, number: int, step: Step, change: FileChange) -> None:
        folder = change.path.rpartition("/")[0]
        while folder:
            if folder in self._ever:
                self._early.setdefault(folder, []).append((number, step.commit, change))
            folder = folder.rpartition("/")[0]

    def _adopt(self, folder: str, case: str) -> None:
        found = self._touches.setdefault(case, [])
        for number, commit, change in self._early.pop(folder):
            path = change.path[len(folder) + 1 :]
            there = change.old is not None or any(side is not None for side in change.sides)
            found.append(Touch(number, commit, change, path if there else None, path if change.new else None))
        found.sort(key=lambda touch: touch.number)

    def _add(self, case: str, touch: Touch) -> None:
        self._touches.setdefault(case, []).append(touch)

    def _renames(self, step: Step, before: dict[str, str], after: dict[str, str]) -> None:
        """A folder whose case bears another identity from here on, which no case bore before: the same case."""
        staying = set(after.values())
        for folder, case in after.items():
            old = before.get(folder)
            if old is None or old == case or old in staying or case in self._touches or case in before.values():
                continue
            self.renamed[case] = (old, step.commit)
            self._owners.clear()

    def _of(self, heads: Mapping[str, str]) -> dict[str, str]:
        """Folder → case, one folder for a case: where two bear one identity, the one below `cases/`."""
        kept = self._owners.get(id(heads))
        if kept is not None and kept[0] is heads:
            return kept[1]
        folders: dict[str, list[str]] = {}
        for path, contents in heads.items():
            folder = path.rpartition("/")[0]
            if not _visible(folder):
                continue
            name = self._names.get(contents) or self._known.get(folder)
            if name is not None:
                self._known[folder] = name
                folders.setdefault(self.root(name), []).append(folder)
        found = {
            min(places, key=lambda one: (not one.startswith("cases/"), one)): case for case, places in folders.items()
        }
        # The mapping is kept beside its answer, so that its number cannot come to mean another.
        self._owners[id(heads)] = (heads, found)
        return found


def _heads(steps: Iterable[Step]) -> dict[str, tuple[str, ...]]:
    """Every case.yml there ever was: path → contents, in the order in which they first stood there."""
    found: dict[str, dict[str, None]] = {}
    last: Mapping[str, str] = {}
    for step in steps:
        if step.after is not last:
            last = step.after
            for path, contents in last.items():
                found.setdefault(path, {})[contents] = None
    return {path: tuple(contents) for path, contents in found.items()}


def _identities(log: Log, heads: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    found = {}
    for ident, data in log.contents(dict.fromkeys(one for contents in heads.values() for one in contents)):
        version = intake.read_version(HEAD, data) if data is not None else None
        stand = version.get(HEAD) if version else None
        name = stand.data.get("case") if stand is not None and isinstance(stand.data, dict) else None
        if isinstance(name, str) and name:
            found[ident] = name
    return found


def _visible(folder: str) -> bool:
    parts = folder.split("/")
    return "evidence" not in parts and not any(part.startswith(".") for part in parts)


def _owner(path: str, owners: Mapping[str, str]) -> tuple[str, str] | None:
    """The case a path belongs to, and the path below its folder: the nearest folder that is a case's."""
    folder = path.rpartition("/")[0]
    while True:
        case = owners.get(folder)
        if case is not None:
            return case, path[len(folder) + 1 :] if folder else path
        if not folder:
            return None
        folder = folder.rpartition("/")[0]
