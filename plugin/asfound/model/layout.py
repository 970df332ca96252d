"""How a case lies on disk: which file holds which record, under which letter, and the bytes a digest is taken of.

Both the reader and the schemas go by these tables, so that neither can know a file the other does not.
"""

from __future__ import annotations

from dataclasses import dataclass

from asfound.model.base import Record
from asfound.model.bench import Instrument, Roles, Settings
from asfound.model.calculation import Calculated
from asfound.model.event import CaseHead, Injury
from asfound.model.limits import LimitSet, Protocol
from asfound.model.reasoning import Conclusion, Duty, ExceptionRecord, Explanation, Finding, Notice
from asfound.model.reporting import ReportingSet
from asfound.model.starters import StarterList
from asfound.model.testimony import Clock, Evidence, Statement
from asfound.model.things import Item, RoomPoint, Scene, ServiceEvent
from asfound.model.words import OwnWords
from asfound.model.work import Gates, Plan, PreparedSheet, Sheet


@dataclass(frozen=True, slots=True)
class Single:
    """A YAML file that is one record.

    nested  fields that are mappings of records, with the letter of their ids (empty: names, not ids)
    """

    model: type[Record]
    nested: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Keyed:
    """A YAML file that is a mapping of records by id; `letter` begins every id.

    early  what a record may be read as while it lacks something that only later events can give
    """

    model: type[Record]
    letter: str
    early: type[Record] | None = None


SINGLE: dict[str, Single] = {
    "case.yml": Single(CaseHead, (("people", ""),)),
    "conclusion.yml": Single(Conclusion),
    "gates.yml": Single(Gates, (("gates", "G"), ("steps", "B"))),
    "injury.yml": Single(Injury),
    "plan.yml": Single(Plan, (("tests", "P"),)),
    "scene.yml": Single(Scene, (("settings", "A"), ("connections", "L"))),
}
"""Files of a case that are one record. A planned test is keyed by its name; its id is `P-` and that name."""

KEYED: dict[str, Keyed] = {
    "calculations.yml": Keyed(Calculated, "Z"),
    "clocks.yml": Keyed(Clock, "K"),
    "duties.yml": Keyed(Duty, "D"),
    "evidence.yml": Keyed(Evidence, "E"),
    "exceptions.yml": Keyed(ExceptionRecord, "Q"),
    "explanations.yml": Keyed(Explanation, "X"),
    "findings.yml": Keyed(Finding, "F"),
    "items.yml": Keyed(Item, "I"),
    "notices.yml": Keyed(Notice, "N"),
    "room.yml": Keyed(RoomPoint, "U"),
    "service.yml": Keyed(ServiceEvent, "H"),
    "sheets.yml": Keyed(Sheet, "S", PreparedSheet),
    "statements.yml": Keyed(Statement, "W"),
}
"""Files of a case that are a mapping of records by id."""

TABLES = ("custody.csv", "inspection.csv", "timeline.csv")
"""Tables of a case besides `readings/`."""

BENCH = ".asfound"
"""Folder of the organisation's own files, at the root of the repository."""

ORGANISATION: dict[str, Single | Keyed] = {
    "instruments.yml": Keyed(Instrument, "M"),
    "limits/*.yml": Single(LimitSet, (("limits", ""),)),
    "protocols/*.yml": Single(Protocol),
    "reporting/*.yml": Single(ReportingSet, (("duties", ""),)),
    "roles.yml": Single(Roles),
    "settings.yml": Single(Settings),
    "starters/*.yml": Single(StarterList, (("lines", ""),)),
    "words/*.yml": Single(OwnWords),
}
"""Files of the organisation, below `.asfound/`."""

KEPT_APART = ("approvals", "editions")
"""Folders that come after a case: what they hold is about the case, not part of it, and enters no digest of it."""


def part_of_case(path: str) -> bool:
    """Whether the file at `path` (below the case folder, with `/`) is part of the case: no edition, no approval."""
    return path.partition("/")[0] not in KEPT_APART


def kept_raw(path: str) -> bool:
    """Whether the file's bytes count as they are: all below `evidence/`, and whatever is neither YAML nor CSV."""
    return path.startswith("evidence/") or not path.lower().endswith((".yml", ".yaml", ".csv"))


def canonical(path: str, data: bytes) -> bytes:
    r"""The bytes of a file that digests are taken of (canonical form, version 1).

    YAML and CSV written by hand may arrive with CR LF on one machine and LF on another, through no change of anybody's:
    each CR LF is taken as LF. Evidence, and every other file, counts byte by byte.

    >>> canonical("custody.csv", b"a\r\nb\r\n")
    b'a\nb\n'
    """
    return data if kept_raw(path) else data.replace(b"\r\n", b"\n")
