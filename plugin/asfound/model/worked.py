"""What came of the calculations of a case: computed once, frozen with the rest."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from asfound.model.plots import Plot


class Lack(StrEnum):
    """Why something could not be worked out."""

    NO_SUCH = "no such calculation"
    INPUT = "input"
    GROUND = "ground"
    ROWS = "rows"
    REACH = "reach"
    ROUND = "round"
    FAILED = "failed"
    CITED = "cited"
    """A record it takes in stands nowhere, which the rule about citations tells."""


@dataclass(frozen=True, slots=True)
class WorkFault:
    """Something wrong with a calculation: what kind, where below its record, what was found, what is needed."""

    lack: Lack
    path: tuple[str, ...]
    found: str
    needed: str
    mend: str = ""

    @property
    def stops(self) -> bool:
        """Whether nothing could be computed; a figure without ground, or reach beyond the model, hinders nothing."""
        return self.lack not in {Lack.GROUND, Lack.REACH}


@dataclass(frozen=True, slots=True)
class WorkedInput:
    """One input as it was used.

    text   what a person reads, with its doubt
    of     the records it was taken from
    taken  why it was taken, or `taken where nothing is said`; empty where a record gives it
    """

    name: str
    what: str
    text: str
    of: tuple[str, ...] = ()
    taken: str = ""


@dataclass(frozen=True, slots=True)
class WorkedAnswer:
    """One answer; `id` is that of the derived result it became, `text` the figure, `said` what keeps it from being
    misread."""

    id: str
    name: str
    text: str
    said: str = ""


@dataclass(frozen=True, slots=True)
class Worked:
    """A calculation of a case, carried out.

    ref      Z-...
    of       every record it rests on: readings, results, evidence, settings, statements
    reaches  topics it models; empty where it only turns readings into another figure
    rows     how many rows went into it; 0 where it has no columns
    dose     whether what it models is a dose of heat, current, flow or energy
    faults   what was wrong; without answers where one of them stops it
    """

    ref: str
    calculation: str
    title: str
    formula: str
    source: str
    status: str
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    inputs: tuple[WorkedInput, ...]
    answers: tuple[WorkedAnswer, ...]
    of: tuple[str, ...]
    reaches: tuple[str, ...] = ()
    rows: int = 0
    faults: tuple[WorkFault, ...] = ()
    plots: tuple[Plot, ...] = ()
    dose: bool = False
