"""A record as its fields in words: what a person typed, lists joined, units beside values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

from pydantic import BaseModel

from asfound.measure import show_value, unit
from asfound.model.base import NotKnown
from asfound.model.ways import way
from asfound.model.work import Reading

REASONS = frozenset(NotKnown.model_fields)
OF_A_ROW = ("id", "line", "sheet", "row")
"""Where a row stands is no news of what it says."""


Way = tuple[str, ...]
"""Fields, numbers of list entries and names, from the record to what stands there."""


def fields_of(record: Any) -> dict[str, str]:
    """The fields of a record that hold something, in their order: name for a program → what stands there.

    `record` is a record of YAML, a row of a table or a reading. A list of records is told by number, from 1.
    """
    return {", ".join(map(_plain, steps)): text for steps, text in _told(record)}


def words_of(record: Any) -> dict[str, str]:
    """The same names → how a sentence calls each field."""
    return {", ".join(map(_plain, steps)): way(steps) for steps, _ in _told(record)}


def _told(record: Any) -> Iterator[tuple[Way, str]]:
    if isinstance(record, Reading):
        yield from _reading(record)
    elif isinstance(record, BaseModel):
        yield from _flat(record.model_dump(mode="json", by_alias=True), ())
    elif is_dataclass(record):
        found = {one.name: getattr(record, one.name) for one in fields(record) if one.name not in OF_A_ROW}
        yield from _flat(found, ())
    else:
        raise TypeError(f"{type(record).__name__} is no record of a case")


def _reading(row: Reading) -> Iterator[tuple[Way, str]]:
    symbol = unit(row.unit) if row.unit else None
    shown = show_value(row.value, symbol)
    yield ("value",), shown if symbol is not None or not row.unit else f"{shown} {row.unit}"
    yield from _flat(row.conditions, ())
    rest = {"at": row.at, "note": row.note, "void": row.void, "repeat_of": row.repeat_of}
    yield from _flat(rest, ())


def _flat(value: Any, steps: Way) -> Iterator[tuple[Way, str]]:
    if value is None or value in ("", (), [], {}):
        return
    if isinstance(value, dict):
        if len(value) and value.keys() <= REASONS:
            given = [(key, text) for key, text in value.items() if text is not None]
            if len(given) == 1:
                yield steps or ("reason",), f"{given[0][0].replace('_', ' ')}: {given[0][1]}"
                return
        for key, one in value.items():
            yield from _flat(one, (*steps, str(key)))
    elif isinstance(value, list | tuple):
        if all(not isinstance(one, dict | list | tuple) for one in value):
            yield steps, ", ".join(_scalar(one) for one in value)
            return
        for number, one in enumerate(value, 1):
            yield from _flat(one, (*steps, str(number)))
    else:
        yield steps, _scalar(value)


def _plain(step: str) -> str:
    return step.replace("_", " ")


def _scalar(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    return str(getattr(value, "text", value))
