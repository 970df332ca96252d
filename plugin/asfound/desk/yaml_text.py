"""Records as the YAML people write here: block mappings, short lists in brackets, quotes only where they are needed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

from asfound.intake.text import refused_in_value
from asfound.intake.yaml_nodes import NULL

Plain: TypeAlias = "str | Mapping[str, Plain] | Sequence[Plain]"
"""What is written: texts, mappings by name, lists."""

# Plain where any reader of YAML takes it for the text it is: no sign that means something at its start or end, no
# `: ` and ` #` within. Everything else is quoted. (YAML 1.2.2, sections 7.3.1 and 7.3.3.)
_BARE = re.compile(r"(?:-(?=[0-9]))?[^\W_](?:[^\n:#\t]|:(?=\S)|(?<=\S)#)*")
_BARE_NAME = re.compile(r"[A-Za-z$][A-Za-z0-9_$-]*")
_IN_BRACKETS = re.compile(r"[,\[\]{}?]")


def block(name: str, value: Plain, indent: int, step: int) -> Iterator[str]:
    """The lines, without line ends, of `name: value` at an indentation; `step` is how much further in each level goes.

    Raises ValueError for a text that holds a character which no file of a case may hold.
    """
    space = " " * indent
    head = f"{space}{_name(name)}:"
    if isinstance(value, str):
        yield f"{head} {scalar(value)}"
    elif isinstance(value, Mapping):
        if not value:
            yield f"{head} {{}}"
            return
        yield head
        for below, inner in value.items():
            yield from block(below, inner, indent + step, step)
    elif all(isinstance(one, str) for one in value):
        yield f"{head} {_flow(value)}"
    else:
        yield head
        for one in value:
            yield from item(one, indent + step, step)


def item(value: Plain, indent: int, step: int, apart: bool = False) -> Iterator[str]:
    """The lines of one entry of a list: its fields on lines of their own where it holds records, or where `apart`."""
    space = " " * indent
    if not isinstance(value, Mapping) or not (apart or any(map(_holds_records, value.values()))):
        yield f"{space}- {_flow(value)}"
        return
    # Behind the dash and a space the fields stand two further in.
    lines = [line for name, inner in value.items() for line in block(name, inner, indent + 2, step)]
    yield f"{space}- {lines[0].lstrip()}"
    yield from lines[1:]


def _holds_records(value: Plain) -> bool:
    return isinstance(value, Mapping) or (not isinstance(value, str) and any(isinstance(one, Mapping) for one in value))


def scalar(text: str, in_brackets: bool = False) -> str:
    """A text as a plain scalar where that is safe, else in double quotes."""
    if refused_in_value(text) is not None:
        raise ValueError("the text holds a character that no file of a case may hold")
    plain = (
        _BARE.fullmatch(text) is not None
        and text == text.strip()
        and not text.endswith(":")
        and text not in NULL
        and text.isprintable()
        and not (in_brackets and _IN_BRACKETS.search(text))
    )
    if plain and not _guessed(text):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'


# Texts that other readers of YAML take for numbers, truth values or nothing are quoted, times and counts excepted:
# a person who opens the file elsewhere should meet the same text.
_NUMBER_LIKE = re.compile(
    r"-?[0-9][0-9_]*(?:\.[0-9_]*)?(?:[eE][-+]?[0-9]+)?|0[xob][0-9a-fA-F_]+|[0-9]+(?::[0-5]?[0-9])+"
)
_WORDS = frozenset({"true", "false", "on", "off", "y", "n", "null"})


def _guessed(text: str) -> bool:
    return _NUMBER_LIKE.fullmatch(text) is not None or text.casefold() in _WORDS


def _name(name: str) -> str:
    return name if _BARE_NAME.fullmatch(name) and name.casefold() not in _WORDS else scalar(name)


def _flow(value: Plain) -> str:
    if isinstance(value, str):
        return scalar(value, in_brackets=True)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_name(name)}: {_flow(inner)}" for name, inner in value.items()) + "}"
    return "[" + ", ".join(_flow(one) for one in value) + "]"
