"""A case as a whole, and where each of its records stands."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from asfound.model.base import ID_PATTERN
from asfound.model.calculation import Calculated
from asfound.model.event import CaseHead, Injury, Stage
from asfound.model.ids import KINDS
from asfound.model.logs import LogRead
from asfound.model.reasoning import Conclusion, Duty, ExceptionRecord, Explanation, Finding, Notice
from asfound.model.testimony import Clock, Evidence, Statement, TimelineRow
from asfound.model.things import CustodyLine, InspectionRow, Item, RoomPoint, Scene, ServiceEvent
from asfound.model.work import Gates, Plan, PreparedSheet, Reading, ReadingSheet, Sheet
from asfound.problems import Span


@dataclass(frozen=True, slots=True)
class CameraFact:
    """What a camera wrote into a picture beside the picture (Exif, XMP, IPTC).

    taken        time by the camera's own clock as `2026-03-09 15:12:40`; empty where it wrote none that can be
    offset       that clock's offset from UTC as `-05:00`; empty where the camera did not record it
    position     whether a place on the earth is in the file
    identifiers  kinds of identifiers of a patient in its texts (`model/identifiers.py`); never the texts themselves
    """

    taken: str = ""
    offset: str = ""
    position: bool = False
    identifiers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FileFact:
    """A file of the case folder.

    path      below the case folder, with `/`
    size      bytes of its canonical form: YAML and CSV outside `evidence/` with LF line ends, all else as it lies there
    sha256    digest of the same bytes
    media     sniffed from its bytes, not taken from its name
    other_line_ends  for text among the evidence: digests of the same text with LF and with CR LF line ends, where
              they differ from `sha256`; tells a file that only a checkout changed from one that was edited
    camera    for a picture among the evidence: what the camera wrote; None for all else, and where it cannot be read
    """

    path: str
    size: int
    sha256: str
    media: str = ""
    other_line_ends: tuple[str, ...] = ()
    camera: CameraFact | None = None


@dataclass(frozen=True)
class Case:
    """Everything a case folder holds, read. Frozen; lookups are computed once.

    `broken` holds the ids of records that stand in the files but could not be read: they exist, so that
    nothing else complains of them, and their own problem is reported where they stand. A file of which nothing, or a
    row whose id is not known, could be read stands there by its path.
    """

    folder: str
    head: CaseHead
    injury: Injury | None = None
    items: dict[str, Item] = field(default_factory=dict)
    custody: tuple[CustodyLine, ...] = ()
    scene: Scene | None = None
    room: dict[str, RoomPoint] = field(default_factory=dict)
    service: dict[str, ServiceEvent] = field(default_factory=dict)
    inspection: tuple[InspectionRow, ...] = ()
    gates: Gates = field(default_factory=Gates)
    plan: Plan | None = None
    sheets: dict[str, Sheet] = field(default_factory=dict)
    readings: dict[str, ReadingSheet] = field(default_factory=dict)
    evidence: dict[str, Evidence] = field(default_factory=dict)
    statements: dict[str, Statement] = field(default_factory=dict)
    clocks: dict[str, Clock] = field(default_factory=dict)
    timeline: tuple[TimelineRow, ...] = ()
    findings: dict[str, Finding] = field(default_factory=dict)
    explanations: dict[str, Explanation] = field(default_factory=dict)
    conclusion: Conclusion | None = None
    exceptions: dict[str, ExceptionRecord] = field(default_factory=dict)
    duties: dict[str, Duty] = field(default_factory=dict)
    notices: dict[str, Notice] = field(default_factory=dict)
    files: dict[str, FileFact] = field(default_factory=dict)
    calculations: dict[str, Calculated] = field(default_factory=dict)
    broken: tuple[str, ...] = ()
    logs: dict[str, LogRead] = field(default_factory=dict)
    """What was read of the logs that say under `log` how they are read, by evidence."""
    prepared: dict[str, PreparedSheet] = field(default_factory=dict)
    """Sheets that lie ready: no value stands on them yet, and not all is said that a sheet of readings needs."""

    @property
    def id(self) -> str:
        """The case's identity."""
        return self.head.case

    @property
    def open(self) -> bool:
        """Whether the case is still open: what is missing is needed, not refused."""
        return self.head.stage is Stage.OPEN

    @cached_property
    def reading(self) -> dict[str, Reading]:
        """Every reading by id."""
        return {row.id: row for sheet in self.readings.values() for row in sheet.rows}

    @cached_property
    def records(self) -> dict[str, Any]:
        """Every record of the case by id. Planned tests stand as `P-<name>`."""
        found: dict[str, Any] = {}
        for group in (
            self.items, self.room, self.service, self.gates.gates, self.gates.steps, self.sheets, self.evidence,
            self.statements, self.clocks, self.findings, self.explanations, self.exceptions, self.duties, self.notices,
            self.calculations,
        ):  # fmt: skip
            found.update(group)
        if self.scene is not None:
            found.update(self.scene.settings)
            found.update(self.scene.connections)
        if self.plan is not None:
            found.update({f"P-{name}": test for name, test in self.plan.tests.items()})
        found.update({row.id: row for row in self.custody})
        found.update({row.id: row for row in self.inspection})
        found.update({row.id: row for row in self.timeline})
        found.update(self.reading)
        return found

    def exists(self, ref: str) -> bool:
        """Whether an id stands in the case, readable or not."""
        return ref in self.records or ref in self.broken or ref in self.prepared

    def unread(self, ref: str) -> str:
        """The file in which a record of this id would stand, where it is there and could not be read; else empty.

        What cites such a record is not to be blamed: whether it stands there is not known before the file is mended.
        """
        home = KINDS.get(ref[:1], ("", ""))[1] if ref[1:2] == "-" else ""
        if home == "readings/":
            home = f"readings/{ref[2:].rpartition('-')[0]}.csv"
        return home if home in self.broken else ""

    def some_unread(self, letter: str) -> bool:
        """Whether a record of a kind, or the file in which it would stand, is there and could not be read."""
        return any(ref[:2] == f"{letter}-" for ref in self.broken) or bool(self.unread(f"{letter}-"))

    def standing(self, sheet: str) -> tuple[Reading, ...]:
        """The readings of a sheet that are not void."""
        rows = self.readings.get(sheet)
        return tuple(row for row in rows.rows if not row.void) if rows else ()

    @cached_property
    def waiting(self) -> dict[str, Reading]:
        """Every row that was laid ready and not taken, by id. None of them is a reading."""
        return {row.id: row for sheet in self.readings.values() for row in sheet.waiting}

    def sheets_of(self, test: str) -> Iterator[tuple[str, Sheet]]:
        """The sheets of a planned test."""
        return ((name, sheet) for name, sheet in self.sheets.items() if sheet.test == test)


_LOOKS_LIKE_ID = re.compile(ID_PATTERN)


def looks_like_id(text: str) -> bool:
    """Whether a text has the form of a record id."""
    return _LOOKS_LIKE_ID.fullmatch(text) is not None


Path = tuple[str | int, ...]


class Places:
    """Where each record, and each field of it, stands."""

    def __init__(
        self,
        files: Mapping[str, Mapping[Path, tuple[int, int]]],
        refs: Mapping[str, tuple[str, Path]],
        rows: Mapping[str, Span],
    ) -> None:
        self._files = files
        self._refs = refs
        self._rows = rows

    def at(self, file: str, *path: str | int) -> Span:
        """The place of a path in a YAML file, or of its nearest parent that stands there."""
        places = self._files.get(file, {})
        for length in range(len(path), 0, -1):
            place = places.get(path[:length])
            if place is not None:
                return Span(file, *place)
        return Span(file, 1, 1) if places else Span(file)

    def stands(self, file: str) -> bool:
        """Whether a YAML file was there, readable or not."""
        return file in self._files

    def of(self, ref: str, *path: str | int) -> Span | None:
        """The place of a record, or of a field below it; None for an id that stands nowhere."""
        row = self._rows.get(ref)
        if row is not None:
            return row
        known = self._refs.get(ref)
        if known is None:
            return None
        file, base = known
        return self.at(file, *base, *path)

    def all(self) -> dict[str, Span]:
        """Every id and its place."""
        found = {ref: self.at(file, *path) for ref, (file, path) in self._refs.items()}
        found.update(self._rows)
        return found
