"""What a planned test asks for, row by row, and what of it was taken: the grid of its sheets."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Combination:
    """One combination of conditions that a planned test asks for.

    conditions  name and value in the order of the plan's coverage; empty where the plan asks for no combinations
    as_used     whether these are the conditions of the event
    covers      whether it is one of the plan's coverage; the conditions of the event are asked for even where it is not
    taken       standing readings at these conditions that hold a value
    answered    standing rows at these conditions without one, that say why
    waiting     rows laid ready for these conditions and not taken
    why         why it could not be had, by a row or by the plan
    obtainable  False where it is said that it could not be had
    """

    conditions: tuple[tuple[str, str], ...]
    as_used: bool
    covers: bool = True
    taken: tuple[str, ...] = ()
    answered: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    why: str = ""
    obtainable: bool = True


@dataclass(frozen=True, slots=True)
class GridColumn:
    """A column for a condition.

    name      as records use it
    title     as people read it
    unit      unit of its cells; empty for words
    values    words it may take; empty where anything may be written
    asked     whether the plan's coverage goes over it
    required  whether the protocol asks that it is on record
    """

    name: str
    title: str
    unit: str = ""
    values: tuple[str, ...] = ()
    asked: bool = False
    required: bool = False

    @property
    def head(self) -> str:
        """Its head in a table: `setting [W]`."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True)
class GridRow:
    """One required row.

    number      from 1, in the order of work: conditions of the event first
    cells       column name and what is to be typed under it, without the column's unit
    conditions  the combination it belongs to, as the plan writes it
    as_used     whether these are the conditions of the event
    repeat      from 1; above 1 a repeat, which is asked for where a conclusion may rest on the reading
    reading     id of the reading that fills it; empty while there is none
    waiting     id of the row that was laid ready for it; empty where there is none
    obtainable  False where it is said that it could not be had
    why         the reason then
    """

    number: int
    cells: tuple[tuple[str, str], ...]
    conditions: tuple[tuple[str, str], ...]
    as_used: bool = False
    repeat: int = 1
    reading: str = ""
    waiting: str = ""
    obtainable: bool = True
    why: str = ""

    @property
    def missing(self) -> bool:
        """Whether it is still to be taken."""
        return not self.reading and self.obtainable


@dataclass(frozen=True, slots=True)
class Grid:
    """The required rows of one planned test.

    planned      its key in the plan
    test         the protocol's test
    item         what is measured
    columns      one for each condition, in the order they are written
    value_unit   unit of the values; empty for a yes or no
    answer       `number` or `yes or no`
    rows         every required row, in the order of work
    superfluous  rows that stand on the sheets, taken or laid ready, and that the plan does not ask for (any more)
    sheets       the sheets of this test, prepared ones among them
    not_done     why the test was not done; then nothing of it is still to be taken
    """

    planned: str
    test: str
    title: str
    item: str
    columns: tuple[GridColumn, ...]
    value_unit: str
    answer: str
    rows: tuple[GridRow, ...] = field(default=())
    superfluous: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()
    not_done: str = ""

    @property
    def value_head(self) -> str:
        """Head of the column of values: `value [W]`."""
        return f"value [{self.value_unit}]" if self.value_unit else "value"

    @property
    def missing(self) -> tuple[GridRow, ...]:
        """Rows still to be taken, in the order of work; repeats among them."""
        return () if self.not_done else tuple(row for row in self.rows if row.missing)

    @property
    def unprepared(self) -> tuple[GridRow, ...]:
        """Missing rows for which no row was laid ready."""
        return tuple(row for row in self.missing if not row.waiting)
