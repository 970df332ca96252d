"""The files an edition was issued for: as they lie there, or, where the case went on, as git holds them."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from asfound import history, intake, seal
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import assess_case
from asfound.history import GitError, Log
from asfound.model.dossier import Dossier
from asfound.model.edition import EDITION_FILE, FOLDER, EditionRecord
from asfound.model.layout import BENCH


class State(Struct, frozen=True):
    """Where the files of an edition lie.

    root, home  the repository, or a copy of its state; the case folder in it
    commit      the commit they were taken from; empty where they lie in the repository as it is
    why         what is not as it was, a clause; empty where all of it is
    """

    root: Path
    home: Path
    commit: str = ""
    why: str = ""


@contextmanager
def state_of(shared: Repository, folder: Path, record: EditionRecord, dossier: Dossier) -> Iterator[State | None]:
    """The files of an edition, with their folder kept until the block ends; None where they are nowhere to be had.

    The folder as it lies there comes first; where the case, or what the organisation brings, went on since, the commit
    that brought the edition. A copy is written to a folder of its own and taken away again.
    """
    here = _holds(shared.root, folder, record)
    if here and _same_bench(shared, folder, dossier):
        yield State(shared.root, folder)
        return
    below_root = Path(dossier.core.case.folder)
    if below_root.is_absolute() or ".." in below_root.parts:
        yield None
        return
    with tempfile.TemporaryDirectory(prefix="asfound-") as name:
        copy = Path(os.path.realpath(name))
        log = shared.chronicle.log
        if isinstance(log, Log):
            for commit, below in _commits(log, folder, record):
                home = copy / commit / below_root
                try:
                    _copy_out(log, commit, below, copy / commit, home)
                except (GitError, OSError):
                    continue
                if _holds(copy / commit, home, record):
                    same = _same_bench(open_repository(copy / commit), home, dossier)
                    yield State(copy / commit, home, commit, "" if same else _OTHERWISE)
                    return
        yield State(shared.root, folder, why=_OTHERWISE) if here else None


_OTHERWISE = "the limits, instruments or settings here are not those the edition was computed with"


def _holds(root: Path, home: Path, record: EditionRecord) -> bool:
    """Whether the files of a case are those an edition was issued for."""
    if not (home / "case.yml").is_file():
        return False
    walked = intake.walk_case(root, home)
    try:
        digests = [(path, _canonical(root, walked.at(path), path)) for path in walked.paths if seal.part_of_case(path)]
        return seal.case_digest(digests) == record.case_digest
    except (OSError, ValueError):
        return False


def _canonical(root: Path, path: str, name: str) -> str | bytes:
    if seal.kept_raw(name):
        return seal.sha256_file(root / path)
    data = intake.read_bytes(root, path).data
    if data is None:
        raise OSError(f"{path} cannot be read")
    return data


def _same_bench(shared: Repository, home: Path, dossier: Dossier) -> bool:
    """Whether what the organisation brings is what it was. A case folder that bears another name is read as well."""
    found = assess_case(shared.root, home, dossier.core.on, shared).dossier
    if found is None:
        return False
    now, then = found.core, dossier.core
    return (now.digests.limits, now.instruments, now.organisation) == (
        then.digests.limits,
        then.instruments,
        then.organisation,
    )


def _commits(log: Log, folder: Path, record: EditionRecord) -> Iterator[tuple[str, str]]:
    """Commits that brought the edition, each with the case folder there, from the root of the repository."""
    data = folder / FOLDER / str(record.number) / EDITION_FILE
    text = data.read_bytes()
    tail = f"{FOLDER}/{record.number}/{EDITION_FILE}"
    for commit in log.commits:
        for change in commit.changes:
            if change.new is None or not change.path.endswith(f"/{tail}"):
                continue
            if change.new == history.content_id(text, change.new):
                below = change.path.removesuffix(f"/{tail}")
                yield commit.id, below
                for parent in commit.parents:
                    yield parent, below


def _copy_out(log: Log, commit: str, below: str, root: Path, home: Path) -> None:
    """Write the case and the organisation's files of a commit, none of them elsewhere. Raises GitError, OSError."""
    held = history.tree(log.git, commit)
    prefix = log.git.prefix
    wanted: list[tuple[Path, str]] = []
    for path, ident in held.items():
        if not path.startswith(prefix):
            continue
        path = path[len(prefix) :]
        for start, place in ((f"{below}/", home), (f"{BENCH}/", root / BENCH)):
            if path.startswith(start):
                parts = path[len(start) :].split("/")
                # A tree made by hand can hold any name; one that leads elsewhere is none of a case.
                if all(part not in ("", ".", "..") and "\\" not in part and ":" not in part for part in parts):
                    wanted.append((place.joinpath(*parts), ident))
    (root / BENCH).mkdir(parents=True, exist_ok=True)
    for (place, _), (_, data) in zip(wanted, log.contents(ident for _, ident in wanted), strict=True):
        if data is None:
            raise OSError("this clone does not hold the contents of that commit")
        place.parent.mkdir(parents=True, exist_ok=True)
        with place.open("xb") as file:
            file.write(data)
