"""`asfound check --watch`: the check again whenever a file of a case changes, and only what came and what went.

Files are looked at, not waited for: that works on every system and on shares that tell nobody of changes. Nothing is
believed of a case whose files changed while they were read, so a file that is being written is read when it is done;
what stays half-written is told as any other file.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import click
from msgspec import Struct, field

from asfound import emit
from asfound.assess import Assessment
from asfound.desk import TEMPORARY
from asfound.model.layout import BENCH
from asfound.problems import Problem, moved

PAUSE = 0.4
"""Seconds between two looks."""

Look = dict[str, tuple[int, int, int]]
"""File, from the root → time of its last change, size, number on the disk."""
Assess = Callable[[Sequence[Path]], tuple[Assessment, ...]]


class Watch(Struct):
    """Cases under watch, and what was said of each last.

    root    the repository
    cases   names the folders of cases to be watched, asked anew at every look, since cases come and go
    assess  assesses folders
    """

    root: Path
    cases: Callable[[], Sequence[Path]]
    assess: Assess
    said: dict[str, Assessment] = field(default_factory=dict)

    def begin(self, found: Iterable[Assessment]) -> None:
        """Take what was printed in full as what is known."""
        self.said = {one.folder: one for one in found}

    def run(self, first: Look) -> None:
        """Look, and tell, until somebody stops it with KeyboardInterrupt. `first` is how the files lay at the start."""
        seen = first
        while True:
            time.sleep(PAUSE)
            now = look(self.root, self.cases())
            if now == seen:
                continue
            now = self._settled(now)
            changed = sorted(name for name in now.keys() | seen.keys() if now.get(name) != seen.get(name))
            found = self._read(changed)
            if look(self.root, self.cases()) != now:
                # Somebody went on writing: what was read may be half of it. `seen` stays, so that nothing is missed.
                continue
            seen = now
            self._tell(changed, found)

    def _settled(self, now: Look) -> Look:
        """The files once they lay still for a moment."""
        while True:
            time.sleep(PAUSE / 2)
            after = look(self.root, self.cases())
            if after == now:
                return now
            now = after

    def _read(self, changed: Sequence[str]) -> tuple[Assessment, ...]:
        shared = any(name.startswith(f"{BENCH}/") for name in changed)
        touched = [
            folder
            for folder in self.cases()
            if shared or any(name.startswith(f"{_name(self.root, folder)}/") for name in changed)
        ]
        found = self.assess(touched) if touched else ()
        if shared and BENCH in self.said and not any(one.folder == BENCH for one in found):
            # Nothing stands against the organisation's files any more, so the check has no line for them.
            found = (Assessment(BENCH, None, ()), *found)
        return found

    def _tell(self, changed: Sequence[str], found: tuple[Assessment, ...]) -> None:
        for one in found:
            before = self.said.get(one.folder)
            self.said[one.folder] = one
            own = (f"{one.folder}/", f"{BENCH}/")
            names = [name.removeprefix(own[0]) for name in changed if name.startswith(own)]
            for line in _lines(one, before, names):
                click.echo(line)
        there = {_name(self.root, folder) for folder in self.cases()}
        for gone in sorted(self.said.keys() - there - {BENCH}):
            del self.said[gone]
            click.echo(f"{emit.plain(gone)}: the case is gone.")


def _lines(one: Assessment, before: Assessment | None, names: Sequence[str]) -> Iterator[str]:
    change = moved(before.problems if before else (), one.problems)
    private = moved(before.private if before else (), one.private)
    yield ""
    yield f"{emit.plain(one.folder)}, {_listed(names)} changed:"
    if before is not None and not change and not private:
        yield "  the check says what it said before."
        return
    for title, problems in (
        ("new", change.new),
        ("otherwise than before", change.otherwise),
        ("new among the facility's own reporting", (*private.new, *private.otherwise)),
    ):
        yield from _problems(title, problems)
    gone = (*change.mended, *private.mended)
    if gone:
        yield "mended:"
        # Where it stood is of no use any more: the line may hold something else by now.
        yield from (f"  {emit.plain(f'{p.span.path} {p.rule} — {p.found}')}." for p in gone)
    yield f"{emit.plain(one.folder)}: {emit.summary(one.problems)}."


def _problems(title: str, problems: Iterable[Problem]) -> Iterator[str]:
    said = [line for _, line in emit.text(problems)]
    if said:
        yield f"{title}:"
        yield from said


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(map(emit.plain, names[:3]))
    return shown + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def look(root: Path, cases: Iterable[Path]) -> Look:
    """How the files of cases and of the organisation lie there now. Never raises: what vanishes is not there."""
    found: Look = {}
    for folder in (*cases, root / BENCH):
        _walk(root, folder, found)
    return found


def _walk(root: Path, folder: Path, found: Look) -> None:
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        # What another run is just writing, and what programs lay beside an open file, is none of the case.
        if entry.name.startswith((TEMPORARY, ".~lock.")) or entry.name == ".git":
            continue
        try:
            if entry.is_dir(follow_symlinks=False):
                _walk(root, Path(entry.path), found)
            else:
                state = entry.stat(follow_symlinks=False)
                found[_name(root, Path(entry.path))] = (state.st_mtime_ns, state.st_size, state.st_ino)
        except OSError:
            continue


def _name(root: Path, place: Path) -> str:
    return place.relative_to(root).as_posix()
