"""What differs between two versions of one record, field by field, as typed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from asfound.model.past import FieldChange

Data = Any
"""Mappings, lists, text and None, as a file holds them."""


def field_changes(old: Data, new: Data) -> tuple[FieldChange, ...]:
    """The fields that differ. Fields within fields are named by the way to them: `needs / 2 / claim`.

    `old` or `new` may be None for a record that did not stand; then every field of the other is told whole.
    """
    if old is None or new is None:
        return tuple(_whole(old, new))
    return tuple(_compare((), old, new))


def _whole(old: Data, new: Data) -> Iterator[FieldChange]:
    here = new if old is None else old
    fields = here.items() if isinstance(here, dict) else (("value", here),)
    for name, value in fields:
        told = spoken(value)
        yield FieldChange(str(name), None if old is None else told, told if old is None else None)


def _compare(path: tuple[str, ...], old: Data, new: Data) -> Iterator[FieldChange]:
    if old == new:
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for name in (*old, *(name for name in new if name not in old)):
            if name not in new:
                yield FieldChange(_name((*path, name)), spoken(old[name]), None)
            elif name not in old:
                yield FieldChange(_name((*path, name)), None, spoken(new[name]))
            else:
                yield from _compare((*path, name), old[name], new[name])
    elif isinstance(old, list) and isinstance(new, list) and _nested(old) and _nested(new):
        yield from _lists(path, old, new)
    else:
        yield FieldChange(_name(path), spoken(old), spoken(new))


def _lists(path: tuple[str, ...], old: list[Data], new: list[Data]) -> Iterator[FieldChange]:
    """Entries between the equal ones at both ends, set side by side; numbers count from 1 in the longer text."""
    shorter = min(len(old), len(new))
    start = next((at for at in range(shorter) if old[at] != new[at]), shorter)
    tail = next((at for at in range(shorter - start) if old[-1 - at] != new[-1 - at]), shorter - start)
    was, now = old[start : len(old) - tail], new[start : len(new) - tail]
    for at in range(max(len(was), len(now))):
        name = (*path, str(start + at + 1))
        if at >= len(now):
            yield FieldChange(_name(name), spoken(was[at]), None)
        elif at >= len(was):
            yield FieldChange(_name(name), None, spoken(now[at]))
        else:
            yield from _compare(name, was[at], now[at])


def _nested(entries: list[Data]) -> bool:
    return any(isinstance(one, dict | list) for one in entries)


def _name(path: tuple[str, ...]) -> str:
    return " / ".join(path) or "value"


def spoken(value: Data) -> str:
    """A value as one text: text as typed, a list with commas, a mapping as `name: value` parted by semicolons."""
    if value is None:
        return ""
    if isinstance(value, dict):
        return "; ".join(f"{name}: {_inner(one)}" for name, one in value.items())
    if isinstance(value, list):
        return ("; " if _nested(value) else ", ").join(_inner(one) for one in value)
    return str(value)


def _inner(value: Data) -> str:
    told = spoken(value)
    return f"({told})" if isinstance(value, dict | list) and len(value) > 1 else told
