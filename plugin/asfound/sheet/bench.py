"""What lies on the bench: a case as it stands on the disk at this moment, and the sheets of readings in it."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from msgspec import Struct, field

from asfound import assess, desk, intake
from asfound.assess import Repository
from asfound.desk import Refused
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.facts import Facts
from asfound.model.grid import Grid
from asfound.model.limits import Test
from asfound.model.work import PreparedSheet
from asfound.problems import Problem
from asfound.verdicts.grid import grids

_Stamp = tuple[tuple[str, int, int], ...]


class Lying(Struct, frozen=True, dict=True):
    """A case as it was read, whole: each request sees one state of it."""

    case: Case
    facts: Facts
    problems: tuple[Problem, ...]
    sheets: Mapping[str, PreparedSheet]
    """Every sheet there is a record of, whether all is said that a sheet of readings needs or not."""

    @cached_property
    def tests(self) -> Mapping[str, Test]:
        """The protocol tests in reach of the plan."""
        found: dict[str, Test] = {}
        for protocol in self.facts.protocols:
            for name, test in protocol.tests.items():
                found.setdefault(name, test)
        return found

    @cached_property
    def grids(self) -> Mapping[str, Grid]:
        """What the plan asks for, by planned test."""
        return grids(self.case, self.tests, int(self.facts.settings.repeats_wanted))


class Bench(Struct):
    """One case that is written into.

    root      the repository
    folder    of the case
    now       gives the time and its offset from UTC; the form's only clock
    """

    root: Path
    folder: Path
    now: Callable[[], dt.datetime]
    lock: threading.RLock = field(default_factory=threading.RLock)
    _kept: tuple[_Stamp, _Stamp, Repository, Lying] | None = None

    def lying(self) -> Lying:
        """The case as it stands now; read again only where a file changed. Raises Refused where it cannot be read."""
        with self.lock:
            mine, theirs = _stamp(self.folder), _stamp(self.root / ".asfound")
            kept = self._kept
            if kept is not None and kept[0] == mine and kept[1] == theirs:
                return kept[3]
            shared = kept[2] if kept is not None and kept[1] == theirs else assess.open_repository(self.root)
            reading = intake.read_case(shared.root, self.folder, shared.bench)
            if reading.case is None:
                raise Refused("the case cannot be read, so nothing is put into it", problems=reading.problems)
            sheets = _sheets(self.folder, reading.case)
            case = replace(
                reading.case, prepared={name: one for name, one in sheets.items() if name not in reading.case.sheets}
            )
            facts = Facts(
                case, reading.places, shared.book, shared.bench.instruments, shared.bench.settings, self.now().date()
            )
            found = Lying(case, facts, reading.problems, sheets)
            self._kept = (mine, theirs, shared, found)
            return found

    @property
    def title(self) -> str:
        """What the case calls itself."""
        return self.lying().case.head.title

    def moment(self, ago: float = 0.0) -> Moment:
        """The time, to the second and with its offset, or that of `ago` seconds before."""
        at = self.now() - dt.timedelta(seconds=max(0.0, ago))
        told = at.isoformat(sep=" ", timespec="seconds")
        return Moment.read(f"{told[:19]} {told[19:25]}")

    def bytes_of(self, name: str) -> bytes | None:
        """The bytes of a file of the case; None where there is none. Raises Refused for a link and the like."""
        home, _, last = name.rpartition("/")
        try:
            place = desk.real_folder(self.folder, home)
        except Refused:
            if (self.folder / home).exists():
                raise
            return None
        return desk.read_whole(place / last)


def _sheets(folder: Path, case: Case) -> dict[str, PreparedSheet]:
    """Sheets by id in the order of the file: those read whole, those that lie ready, those under way."""
    document = intake.read_yaml("sheets.yml", desk.read_whole(folder / "sheets.yml") or b"")
    found: dict[str, PreparedSheet] = {}
    for name in document.data if isinstance(document.data, dict) else ():
        if name in case.sheets:
            found[name] = case.sheets[name]
        elif name.startswith("S-"):
            sheet, _ = intake.read_record(PreparedSheet, document, (name,), name)
            if sheet is not None:
                found[name] = sheet
    return found


def _stamp(folder: Path) -> _Stamp:
    """Names, times and sizes of all files below a folder: what says that it has to be read again."""
    if not folder.is_dir():
        return ()
    found = []
    for place in folder.rglob("*"):
        try:
            state = place.lstat()
        except OSError:
            continue
        found.append((str(place), state.st_mtime_ns, state.st_size))
    return tuple(sorted(found))
