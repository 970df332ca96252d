"""What was computed: verdicts, derived results, coverage."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final, NamedTuple

from asfound.model.limits import LimitKind, SourceStatus
from asfound.model.outcome import Outcome as Outcome
from asfound.model.row import as_object


@dataclass(frozen=True, slots=True)
class LimitRef:
    """Which limit, on what authority."""

    set: str
    name: str
    document: str
    edition: str
    clause: str
    kind: LimitKind
    status: SourceStatus

    @property
    def id(self) -> str:
        """`iec-62353-2014/pe-cord`: also its anchor on the limits page."""
        return f"{self.set}/{self.name}"


class Verdict(NamedTuple):
    """A reading (or the highest of a group) held against one limit.

    subject    id of the reading judged
    members    readings that belong to it, in row order: itself, or the group whose highest it is, or the series
    value      what was compared, in `unit`, after conversion and scaling; None where nothing could be compared
    doubt      expanded doubt in `unit`; None where there is none
    k          coverage factor
    lower, upper  the bounds compared with, in `unit`
    chance     that the true value meets the limit (JCGM 106:2012); None without doubt
    margin     signed distance to the nearer bound, positive inside
    rule       name of the decision rule
    why        for no requirement, not assessable, permitted: the reason in words
    steps      how the compared value came from the typed one, in words
    beside     of a group, the other readings of which the doubt is known: id and expanded doubt in `unit`
    """

    subject: str
    members: tuple[str, ...]
    test: str
    item: str
    limit: LimitRef | None
    outcome: Outcome
    value: Decimal | None
    unit: str
    doubt: float | None
    k: float | None
    lower: Decimal | None
    upper: Decimal | None
    strict: bool
    chance: float | None
    margin: Decimal | None
    rule: str
    why: str = ""
    steps: tuple[str, ...] = ()
    beside: tuple[tuple[str, float], ...] = ()

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
        return as_object(cls, handler)


SECOND_INSTRUMENT: Final = "second instrument"
"""The kind of a result in which two instruments are compared; also a word of a protocol's `results`."""


@dataclass(frozen=True, slots=True)
class Result:
    """Something computed from readings.

    id       `Y-<sheet>-<kind>` with a number where there are several
    value    exact where it can be
    doubt    expanded doubt in `unit`; None where there is none
    text     one sentence that says it
    k, dof   coverage factor of the doubt, and the effective degrees of freedom behind it, not truncated; None where
             there is no doubt, or nothing limits them
    apart    of two instruments compared, the readings that do not agree within their doubts, by conditions: those of
             the second, and of the first
    """

    id: str
    kind: str
    sheet: str
    title: str
    value: Decimal | None
    unit: str
    doubt: float | None
    of: tuple[str, ...]
    text: str
    outcome: Outcome | None = None
    numbers: tuple[tuple[str, str], ...] = ()
    k: float | None = None
    dof: float | None = None
    apart: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = ()


class CellState(StrEnum):
    """A cell of the coverage grid, in words."""

    DONE = "measured"
    FAILING = "outside its limit"
    MISSING = "not measured"
    NOT_OBTAINABLE = "not obtainable"


@dataclass(frozen=True, slots=True)
class Cell:
    """One combination of conditions."""

    conditions: tuple[tuple[str, str], ...]
    state: CellState
    readings: tuple[str, ...] = ()
    why: str = ""
    as_used: bool = False


@dataclass(frozen=True, slots=True)
class Coverage:
    """Which combinations a planned test asked for, and what became of them."""

    test: str
    title: str
    axes: tuple[str, ...]
    cells: tuple[Cell, ...] = field(default=())

    def count(self, state: CellState) -> int:
        """How many cells are in a state."""
        return sum(1 for cell in self.cells if cell.state is state)
