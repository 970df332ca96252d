"""A record as its fields in words, and two side by side: what a person typed, lists joined, units beside values.

Entries of a list are set beside what they were, wherever they stand now: a sentence taken out is told as one sentence
gone, not as each below it reworded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from difflib import SequenceMatcher
from enum import Enum
from typing import Any

from pydantic import BaseModel

from asfound.compare.difference import Move
from asfound.measure import show_value, unit
from asfound.model.base import NotKnown
from asfound.model.ways import way
from asfound.model.work import Reading

REASONS = frozenset(NotKnown.model_fields)
OF_A_ROW = ("id", "line", "sheet", "row")
"""Where a row stands is no news of what it says."""
BEFORE = " (as numbered before)"
"""Beside the number of an entry that is gone, where another entry bears the number now."""

Way = tuple[str, ...]
"""Fields, numbers of list entries and names, from the record to what stands there."""


def fields_of(record: Any) -> dict[str, str]:
    """The fields of a record that hold something, in their order: name for a program → what stands there.

    `record` is a record of YAML, a row of a table or a reading. A list of records is told by number, from 1.
    """
    return {", ".join(map(_plain, steps)): text for steps, text in _told(record)}


def moves_of(old: Any, new: Any) -> tuple[Move, ...]:
    """The fields of two records of one kind (one may be None) that differ, each with what a sentence calls it.

    An entry of a list goes by its number now; one that is gone, where another has its number now, by that and a word.
    """
    if isinstance(old, BaseModel) and isinstance(new, BaseModel):
        return tuple(_between(_dumped(old), _dumped(new), ()))
    return tuple(_apart(_told(old) if old is not None else (), _told(new) if new is not None else ()))


def _between(old: Any, new: Any, steps: Way) -> Iterator[Move]:
    if old == new:
        return
    if _fields(old) and _fields(new):
        for key in dict.fromkeys((*old, *new)):
            yield from _between(old.get(key), new.get(key), (*steps, str(key)))
    elif _entries(old) and _entries(new):
        for was, now in _pairs(old, new):
            if now < len(new):
                yield from _between(old[was] if was < len(old) else None, new[now], (*steps, str(now + 1)))
            else:
                number = f"{was + 1}{BEFORE if was < len(new) else ''}"
                yield from _between(old[was], None, (*steps, number))
    else:
        yield from _apart(_flat(old, steps), _flat(new, steps))


def _apart(old: Iterable[tuple[Way, str]], new: Iterable[tuple[Way, str]]) -> Iterator[Move]:
    before, after = dict(old), dict(new)
    for steps in dict.fromkeys((*before, *after)):
        if before.get(steps) != after.get(steps):
            name, called = ", ".join(map(_plain, steps)), way(steps)
            yield Move(name, before.get(steps), after.get(steps), called if called != name else "")


def _pairs(old: Sequence[Any], new: Sequence[Any]) -> Iterator[tuple[int, int]]:
    """Places of entries that differ, before and now; where there is none, the end. Equal ones are left out."""
    before, after = ([repr(one) for one in entries] for entries in (old, new))
    for kind, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if kind != "equal":
            both = min(b - a, d - c)
            yield from ((a + at, c + at) for at in range(both))
            yield from ((at, len(new)) for at in range(a + both, b))
            yield from ((len(old), at) for at in range(c + both, d))


def _fields(value: Any) -> bool:
    return isinstance(value, dict) and not (value and value.keys() <= REASONS)


def _entries(value: Any) -> bool:
    return isinstance(value, list | tuple) and any(isinstance(one, dict | list | tuple) for one in value)


def _told(record: Any) -> Iterator[tuple[Way, str]]:
    if isinstance(record, Reading):
        yield from _reading(record)
    elif isinstance(record, BaseModel):
        yield from _flat(_dumped(record), ())
    elif is_dataclass(record):
        found = {one.name: getattr(record, one.name) for one in fields(record) if one.name not in OF_A_ROW}
        yield from _flat(found, ())
    else:
        raise TypeError(f"{type(record).__name__} is no record of a case")


def _dumped(record: BaseModel) -> dict[str, Any]:
    return record.model_dump(mode="json", by_alias=True)


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
