"""A sheet for the bench: cautions and gates in order, and grids with room to write, as PDF.

It knows no case; whoever asks for it hands in finished words.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

from asfound.document.report import PAPERS, Undocumentable
from asfound.document.typeset import compiled, palette


@dataclass(frozen=True, slots=True)
class BenchGate:
    """A gate in the order of work. `passed` says when and by whom; empty where it is still to be passed."""

    name: str
    asks: str
    passed: str = ""


@dataclass(frozen=True, slots=True)
class BenchLook:
    """A line of the checklist that is still to be answered: which thing, where to look, what it could show."""

    item: str
    look: str
    why: str


@dataclass(frozen=True, slots=True)
class BenchRow:
    """A row of a grid. `row` is its place in the file; `done` what stands there already, instead of room to write."""

    row: str
    cells: tuple[str, ...]
    done: str = ""
    as_used: bool = False


@dataclass(frozen=True, slots=True)
class BenchTest:
    """One planned test.

    sheets  file of its readings, for whoever types them in
    facts   name and words; empty words give a line to write on
    stops   what has to be so before, and what ends it
    checks  of the bench, to be ticked
    heads   of the columns of conditions; `value` that of the readings
    """

    title: str
    name: str
    item: str
    sheets: str
    facts: tuple[tuple[str, str], ...]
    stops: tuple[str, ...]
    checks: tuple[str, ...]
    heads: tuple[str, ...]
    value: str
    rows: tuple[BenchRow, ...]


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """Everything on it, in order."""

    title: str
    case: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    gates: tuple[BenchGate, ...]
    looks: tuple[BenchLook, ...]
    tests: tuple[BenchTest, ...]
    made: str


def typeset_bench(sheet: BenchSheet, paper: str = "a4") -> bytes:
    """The sheet as PDF. The same sheet gives the same bytes, with one version of the typesetter.

    Raises Undocumentable with every reason why it cannot be set.
    """
    if paper not in PAPERS:
        raise Undocumentable(f'"{paper}" is no paper known here; {" or ".join(PAPERS)} is needed')
    data = {**asdict(sheet), "paper": paper, "colours": palette()}
    return compiled("bench.typ", ("bench.typ",), data)
