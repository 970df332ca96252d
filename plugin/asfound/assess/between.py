"""What lies between two states of a repository: both are written out side by side and assessed by the same program."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from msgspec import Struct

from asfound import history
from asfound.assess.repository import open_repository
from asfound.assess.run import Assessment, assess_case
from asfound.compare import CaseChange, Change, Difference, carried, differences
from asfound.folders import find_cases
from asfound.history import Git, GitError, Unknown
from asfound.model.approval import Approval
from asfound.model.case import Case
from asfound.model.layout import BENCH, canonical

CASES = "cases"


class NotCompared(Exception):
    """Why two states cannot be compared: one sentence for people."""


class _Side(Struct, frozen=True):
    """One state: every plain file below cases/ and .asfound/, by path from the root, with the id git gives to it."""

    commit: str
    files: Mapping[str, str]
    odd: tuple[str, ...] = ()


def compare_revisions(
    root: Path, base: str, head: str | None, on: dt.date, case: str | None = None, trusted: bool = False
) -> Change:
    """What the change from `base` to `head` does to each case it touches; `head` None is the folder as it lies there.

    Both sides are assessed on one date, by this program, without what git tells of them. Where `trusted`, both are held
    against the limits, instruments, settings and signers of the base, whatever the change brings. Raises NotCompared.
    """
    root = root.resolve()
    git = Git.open(root)
    if isinstance(git, Unknown):
        raise NotCompared(git.why)
    try:
        old = _committed(git, _named(git, base))
        new = _lying(root, old.commit, old.files) if head is None else _committed(git, _named(git, head))
        with tempfile.TemporaryDirectory(prefix="asfound-") as name:
            place = Path(os.path.realpath(name))
            return _compared(git, root, place, old, new, on, case, trusted)
    except GitError as error:
        raise NotCompared(f"git could not tell the two states. {history.GIT_SAID}{error}") from error
    except OSError as error:
        raise NotCompared(f"a file could not be read or written: {error.strerror}") from error


def _named(git: Git, name: str) -> str:
    found = history.resolve(git, name)
    if isinstance(found, Unknown):
        raise NotCompared(found.why)
    return found


def _committed(git: Git, commit: str) -> _Side:
    held = {
        path.removeprefix(git.prefix): ident
        for path, ident in history.tree(git, commit).items()
        if path.startswith(git.prefix) and _ours(path.removeprefix(git.prefix))
    }
    return _Side(commit, held, history.odd_entries(git, commit, f"{git.prefix}{CASES}/"))


def _lying(root: Path, like: str, was: Mapping[str, str]) -> _Side:
    """The folder as it lies here. A checkout that made CR LF of a line end has changed nothing that is in `was`."""
    held: dict[str, str] = {}
    odd: list[str] = []
    for top in (CASES, BENCH):
        for folder, folders, names in os.walk(root / top):
            for name in (*folders, *names):
                path = Path(folder, name)
                below = path.relative_to(root).as_posix()
                if path.is_symlink():
                    odd.append(below)
                elif path.is_file() and not name.startswith(".~lock."):
                    data = path.read_bytes()
                    kept = data if "evidence" in below.split("/") else canonical(name, data)
                    idents = [history.content_id(one, like) for one in (data, kept)]
                    held[below] = idents[idents[1] == was.get(below)]
    return _Side("", held, tuple(sorted(odd)))


def _ours(path: str) -> bool:
    parts = path.split("/")
    # A tree made by hand can hold any name; one that leads elsewhere is none of a case.
    safe = all(part not in ("", ".", "..", ".git") and "\\" not in part and ":" not in part for part in parts)
    return safe and parts[0] in (CASES, BENCH)


def _bench(side: _Side) -> dict[str, str]:
    return {path: ident for path, ident in side.files.items() if path.startswith(f"{BENCH}/")}


def _compared(
    git: Git, root: Path, place: Path, old: _Side, new: _Side, on: dt.date, case: str | None, trusted: bool
) -> Change:
    was, now = _bench(old), _bench(new)
    bench = tuple(sorted(path for path in {*was, *now} if was.get(path) != now.get(path)))
    every = bool(bench) and not trusted
    own = _touched(old, new)
    touched = _heads(old, new) if every else own
    _write(git, root, place / "old", old, {**was, **_below(old, touched)})
    _write(git, root, place / "new", new, _below(new, touched))
    # What the organisation brings comes from the base, or from each side's own.
    kept = old if trusted else new
    _write(git, root, place / "new", kept, _bench(kept))
    before, after = (dict(_assessed(place / name, on)) for name in ("old", "new"))
    _paired(before, after)
    _paired(after, before)
    was = _renamed(before, after)
    changes = [
        _change(before.get(ident), after.get(ident), was.get(ident, ""), own)
        for ident in dict.fromkeys((*after, *before))
        if case in (None, ident, was.get(ident)) or case in _names(before.get(ident), after.get(ident))
    ]
    if case is not None and not changes:
        raise NotCompared(f'the change touches no case "{case}"')
    odd = tuple(sorted({*old.odd, *new.odd}))
    return Change(old.commit, new.commit, on, trusted, bench, odd, tuple(sorted(changes, key=_heaviest)))


def _names(*sides: Assessment | None) -> set[str]:
    return {name for one in sides if one for name in (one.folder, PurePosixPath(one.folder).name)}


def _heaviest(one: CaseChange) -> tuple[int, str]:
    missing = not (one.before and one.after) or bool(one.unread)
    return (min((each.weight for each in one.differences), default=0 if missing else 99), one.case)


def _heads(side: _Side, other: _Side) -> set[str]:
    """Folders of cases of either side."""
    return {path.removesuffix("/case.yml") for path in {*side.files, *other.files} if path.endswith("/case.yml")}


def _touched(side: _Side, other: _Side) -> set[str]:
    """Folders of cases in which a file of one side differs from the other side, or is not in it."""
    heads = _heads(side, other)
    differing = (path for path in {*side.files, *other.files} if side.files.get(path) != other.files.get(path))
    return {folder for path in differing if (folder := _folder(path, heads))}


def _folder(path: str, heads: set[str]) -> str:
    return next((str(up) for up in PurePosixPath(path).parents if str(up) in heads), "")


def _below(side: _Side, folders: set[str]) -> dict[str, str]:
    return {path: ident for path, ident in side.files.items() if _folder(path, folders)}


def _write(git: Git, root: Path, place: Path, side: _Side, wanted: Mapping[str, str]) -> None:
    """Write files of a state below `place`. Raises GitError, OSError."""
    (place / BENCH).mkdir(parents=True, exist_ok=True)
    for path, data in _contents(git, side, wanted):
        target = place.joinpath(*path.split("/"))
        target.parent.mkdir(parents=True, exist_ok=True)
        if not side.commit:
            shutil.copyfile(root / path, target, follow_symlinks=False)
        elif data is None:
            raise NotCompared("This clone does not hold all contents of that commit; a full clone is needed.")
        else:
            target.write_bytes(data)


def _contents(git: Git, side: _Side, wanted: Mapping[str, str]) -> Iterator[tuple[str, bytes | None]]:
    if not side.commit:
        yield from ((path, None) for path in wanted)
        return
    told = history.contents(git, wanted.values())
    yield from zip(wanted, (data for _, data in told), strict=True)


def _assessed(place: Path, on: dt.date) -> Iterator[tuple[str, Assessment]]:
    """Each case by its identity; one that cannot be read, and a second of the same identity, by its folder."""
    shared, seen = open_repository(place), set()
    for folder in find_cases(place):
        found = assess_case(shared.root, folder, on, shared)
        name = found.dossier.id if found.dossier and found.dossier.id not in seen else found.folder
        seen.add(name)
        yield name, found


def _paired(one: dict[str, Assessment], other: dict[str, Assessment]) -> None:
    """Put a case that cannot be read on one side under the identity that its folder has on the other."""
    idents = {found.folder: ident for ident, found in other.items() if found.dossier is not None}
    for name, found in tuple(one.items()):
        ident = idents.get(found.folder)
        if found.dossier is None and ident is not None and ident not in one:
            one[ident] = one.pop(name)


def _renamed(before: dict[str, Assessment], after: dict[str, Assessment]) -> dict[str, str]:
    """Put a case that bears another identity in the same folder under the new one: new identity → the one before."""
    found: dict[str, str] = {}
    homes = {one.folder: ident for ident, one in after.items() if ident not in before}
    for ident, one in tuple(before.items()):
        now = homes.get(one.folder)
        if ident not in after and now is not None:
            before[now] = before.pop(ident)
            found[now] = ident
    return found


def _change(old: Assessment | None, new: Assessment | None, was: str, own: set[str]) -> CaseChange:
    one = new or old
    assert one is not None
    core = (new and new.dossier and new.dossier.core) or (old and old.dossier and old.dossier.core) or None
    name, title = (core.case.id, core.case.head.title if core.case.head else "") if core else (one.folder, "")
    sides = ((old, "before"), (new, "after"))
    unread = tuple(f"The case.yml of {side.folder} cannot be read as it is {when} the change, so nothing is compared."
                   for side, when in sides if side and side.dossier is None)  # fmt: skip
    found: tuple[Difference, ...] = ()
    approvals: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    if old and new and old.dossier and new.dossier:
        found = differences(old.dossier.core, new.dossier.core)
        approvals = tuple(_approvals(old.dossier.core.approvals, new.dossier.core.approvals))
        if approvals:
            # What became of each is told once; the rule that speaks of it would say it again.
            found = tuple(each for each in found if each.beside != "approval-void")
        unread += tuple(_not_read(old.dossier.core.case, new.dossier.core.case))
        below = carried(old.dossier.core, new.dossier.core, found)
    problems = new.problems if new else ()
    folders = (old.folder if old else "", new.folder if new else "")
    touched = any(folder in own for folder in folders)
    return CaseChange(name, title, *folders, found, approvals, problems, unread, was, below, touched)


def _not_read(old: Case, new: Case) -> Iterator[str]:
    """Files of records that one side cannot read: what stands in them did not come or go."""
    for path in sorted({*old.broken, *new.broken}):
        if "." in path and not path.startswith("evidence/") and (path in old.broken) != (path in new.broken):
            when = "as it is after the change" if path in new.broken else "as it was before the change"
            yield f"{path} cannot be read {when}, so what stands in it is not compared."


def _approvals(old: tuple[Approval, ...], new: tuple[Approval, ...]) -> Iterator[str]:
    before = {one.path: one for one in old}
    after = {one.path: one for one in new}
    for path in dict.fromkeys((*before, *after)):
        was, now = before.get(path), after.get(path)
        one = now or was
        assert one is not None
        role = one.statement.role if one.statement else "unread"
        stood, stands = bool(was and was.current), bool(now and now.current)
        if now is None:
            yield f"The approval {path} ({role}) was taken out{', and it was in force' if stood else ''}."
        elif stood and not stands:
            since = now.changed or now.files
            more = f" What changed since: {', '.join(since)}." if since else ""
            yield f"The approval {path} ({role}) is void: {now.why or 'it speaks of another state'}.{more}"
        elif stands and not stood:
            yield f"The approval {path} ({role}) is in force."
        elif was is None:
            yield f"The approval {path} ({role}) is new and not in force: {now.why or 'it speaks of another state'}."
