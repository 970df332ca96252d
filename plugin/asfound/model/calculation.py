"""calculations.yml: what was worked out from readings, series and stated figures, and by which named calculation."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag, field_validator

from asfound.model.base import Amount, Number, Prose, Record, Ref, Refs, Role, Slug, Text
from asfound.model.bench import above_zero, one_at_least


class Stated(Record):
    """A figure or word that is not read from a table: where it comes from, or why it is taken."""

    value: Text
    """A number with its unit, as in `130 min`, or one of the words the calculation knows."""
    doubt: Text | None = None
    """Expanded, with its unit."""
    k: Number = Decimal(2)
    """Coverage factor of the doubt, where it is not 2."""
    dof: Number | None = None
    """Effective degrees of freedom behind the doubt, where they are stated; else it is held to be known."""
    from_: Refs = Field(default=(), alias="from")
    """The statement, setting, evidence or other record it is taken from."""
    why: Text | None = None
    """Why this value is taken, where no record gives it, or how it was read out of one."""

    _factor = field_validator("k")(above_zero)
    _freedom = field_validator("dof")(one_at_least)


def _branch(value: Any) -> str:
    if isinstance(value, dict | Stated):
        return "stated"
    return "readings" if isinstance(value, list | tuple) else "reading"


Input = Annotated[
    Annotated[Ref, Tag("reading")] | Annotated[Refs, Tag("readings")] | Annotated[Stated, Tag("stated")],
    Discriminator(_branch),
]
"""A reading or derived result by its id; several readings, whose mean is taken; or a stated value."""


class FromSeries(Record):
    """The columns of a calculation, out of a long series among the evidence."""

    evidence: Ref
    """The file of evidence that holds the series."""
    columns: dict[str, Text] = {}
    """Column of the calculation → column of the file, where they bear other names."""
    along: Slug | None = None
    """The calculation's column that `from` and `to` are about; its first column where nothing is said."""
    from_: Amount | None = Field(default=None, alias="from")
    """From where on it is taken."""
    to: Amount | None = None
    """Up to where it is taken."""


class FromRows(Record):
    """The columns of a calculation, out of the readings of a sheet."""

    sheet: Ref
    """The sheet whose rows are taken."""
    columns: dict[str, Text] = {}
    """Column of the calculation → `value`, or a condition of the readings, where they bear other names."""
    where: dict[str, Text] = {}
    """Only readings under these conditions."""


class Calculated(Record):
    """Something worked out; calculations.yml, keyed Z-...

    Each answer is a derived result `Y-<what follows Z- here>-<answer>`, which texts print and explanations cite.
    """

    calculation: Slug
    """Its name, as `asfound calc` lists it."""
    asks: Text
    """The question it answers, in a sentence."""
    inputs: dict[str, Input] = {}
    """By the name of the input. What is left out takes the calculation's own default, and the report says so."""
    series: FromSeries | None = None
    """The long series it takes, from a file of evidence."""
    rows: FromRows | None = None
    """Rows it takes from a table of the case."""
    about: Refs = ()
    """The items it speaks of; by default those of its readings."""
    reaches: tuple[Text, ...] | None = None
    """May narrow what the calculation models, never widen it."""
    by: Role | None = None
    """Role of whoever set it up."""
    note: Prose | None = None
    """What else is to be said of it."""
