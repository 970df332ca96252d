"""Registering files as evidence: what is wanted, what is planned, and the writing, so that a cut loses nothing.

The files are copied first, then the clock is written, then the register. A run that is cut off leaves copies nobody
registered, or a clock whose picture is not registered yet; the same command, given again, takes both up.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from asfound.desk.refused import Refused
from asfound.desk.source import Source
from asfound.desk.write import Step, copy_file, digest_of, read_whole, real_folder, replace_file
from asfound.desk.yaml_insert import Inserted
from asfound.intake import read_bench, read_case
from asfound.model.case import Case
from asfound.model.testimony import EvidenceKind, View


class Wanted(Struct, frozen=True):
    """A file, and what somebody says of it. Empty texts and None: nothing was said."""

    source: Source
    shows: str = ""
    by: str = ""
    kind: EvidenceKind | None = None
    view: View | None = None
    items: tuple[str, ...] = ()
    at: str = ""
    faces: bool | None = None
    scale: bool | None = None
    as_found: bool = False
    exported_how: str = ""
    software: str = ""


class Elsewhere(Struct, frozen=True):
    """Who keeps the files that are registered by their digest alone, where, and why."""

    keeper: str
    place: str
    why: str


class ClockPhoto(Struct, frozen=True):
    """A photograph of a reference clock, taken with the camera of the others: what the clock shows, and which it is."""

    wanted: Wanted
    shows: str
    reference: str = ""


class Copy(Struct, frozen=True):
    """A file to be copied to `path` below the case folder; `place` None where it lies there already."""

    path: str
    sha256: str
    place: Path | None


class EvidencePlan(Struct, frozen=True):
    """What will be written, and what the person should know of it.

    lines  one a new record: its id and what it is, for a person
    notes  what was found on the way, as sentences
    """

    folder: str
    copies: tuple[Copy, ...]
    clock: tuple[bytes | None, Inserted] | None
    register: tuple[bytes | None, Inserted]
    lines: Mapping[str, str]
    notes: tuple[str, ...]
    clock_id: str = ""


class Desk(Struct, frozen=True):
    """A case that can be written into: what it holds, and the bytes of its registers."""

    root: Path
    folder: str
    case: Case
    register: bytes | None
    clocks: bytes | None

    @property
    def at(self) -> Path:
        """The case folder."""
        return self.root.joinpath(*self.folder.split("/")) if self.folder else self.root

    def path(self, name: str) -> str:
        """A file of the case as messages name it."""
        return f"{self.folder}/{name}" if self.folder else name


def open_desk(root: Path, folder: Path) -> Desk:
    """Read a case to write into it. Raises Refused where its head cannot be read."""
    base = root.resolve()
    reading = read_case(base, folder.resolve(), read_bench(base))
    if reading.case is None:
        raise Refused("the case cannot be read, so nothing is put into it", problems=reading.problems)
    at = folder.resolve()
    register, clocks = read_whole(at / "evidence.yml"), read_whole(at / "clocks.yml")
    return Desk(base, reading.case.folder, reading.case, register, clocks)


def write_evidence(desk: Desk, plan: EvidencePlan, step: Step = lambda _step: None) -> tuple[tuple[str, int, str], ...]:
    """Write what was planned; the place (path and line) and id of each new record, in the order of the files.

    Call it under `alone`. Raises Refused where something changed since it was planned, OSError where the disk refuses;
    what is on the disk by then is whole, and the same command takes it up again.
    """
    for copy in plan.copies:
        home, _, name = copy.path.rpartition("/")
        place = real_folder(desk.at, home, make=True) / name
        if copy.place is not None:
            copy_file(copy.place, place, copy.sha256, _named(step, copy.path))
        elif digest_of(place) != copy.sha256:
            raise Refused(f"{copy.path} changed in the meantime; run again")
    written: list[tuple[str, int, str]] = []
    for name, change in (("clocks.yml", plan.clock), ("evidence.yml", plan.register)):
        if change is not None:
            old, made = change
            replace_file(desk.at / name, old, made.data, _named(step, name))
            written += [(desk.path(name), line, ref) for ref, line in made.lines.items()]
    return tuple(written)


def _named(step: Step, what: str) -> Step:
    return lambda at: step(f"{what} {at}")
