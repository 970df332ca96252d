"""Putting records into somebody's YAML without touching another byte of it.

The place is found on the composed nodes; the text is put there; then the whole is read again. Only if every byte of
before stands before or after what is new, everything that was read before is read again just so, and the new records
read as they were meant, are the new bytes handed out. Otherwise nothing is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import yaml
from msgspec import Struct
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from asfound.desk.refused import Refused
from asfound.desk.yaml_text import Plain, block
from asfound.intake.yaml_nodes import YamlDocument, compose, read_yaml

_BOM = b"\xef\xbb\xbf"
_STEP = 2


class Inserted(Struct, frozen=True):
    """The file with its new records.

    data   all bytes of the new file: `data[:start]` and `data[end:]` are the old ones
    lines  the line, from 1, on which each new record begins
    """

    data: bytes
    start: int
    end: int
    lines: Mapping[str, int]


def insert_records(
    path: str,
    data: bytes,
    records: Mapping[str, Plain],
    into: tuple[str, ...] = (),
    after: str | None = None,
    remarks: Mapping[str, Sequence[str]] | None = None,
) -> Inserted:
    """Put records, by name, into the mapping at `into`: at its end, or after its entry `after`.

    `remarks` are lines of comment that stand before a record, by its name, without the sign of a comment.
    The file's own indentation, line ends, byte order mark and lack of a last line end are kept; an empty file is begun.
    Raises Refused, with the reason, wherever it cannot be shown that nothing else changes.
    """
    before = read_yaml(path, data)
    if not before.readable:
        raise Refused(f"{path} cannot be read as it stands", problems=before.problems)
    _free(path, before, records, into)
    text = data.decode("utf-8").removeprefix("\ufeff")
    eol = line_end(text)
    comments = remarks or {}
    try:
        offset, indent, step = _place(path, text, into, after)
    except yaml.YAMLError:
        # Characters that are refused, or a second document: the reader has said so and read on.
        raise Refused(f"{path} has to be mended first", problems=before.problems) from None
    body = eol.join(
        line
        for name, record in records.items()
        for said in (comments.get(name, ()),)
        for line in _lines(path, name, record, indent, step, said)
    )
    at_open_end = offset == len(text) and text and not text.endswith("\n")
    new = eol + body if at_open_end else body + eol
    start = len(text[:offset].encode("utf-8")) + (len(_BOM) if data.startswith(_BOM) else 0)
    added = new.encode("utf-8")
    whole = data[:start] + added + data[start:]
    _prove(path, before, read_yaml(path, whole), records, into, after)
    assert whole[:start] + whole[start + len(added) :] == data
    places = read_yaml(path, whole).key_places
    return Inserted(whole, start, start + len(added), {name: places[(*into, name)][0] for name in records})


def _lines(path: str, name: str, record: Plain, indent: int, step: int, said: Sequence[str]) -> list[str]:
    try:
        return [*(f"{' ' * indent}# {line}" for line in said), *block(name, record, indent, step)]
    except ValueError as error:
        raise Refused(f"{name} cannot be written into {path}: {error}") from None


def _free(path: str, before: YamlDocument, records: Mapping[str, Plain], into: tuple[str, ...]) -> None:
    here = at_names(before.data, into)
    if before.data is not None and not isinstance(before.data, dict):
        raise Refused(f"{path} holds no records under their ids, so none can be put there", problems=before.problems)
    if not records:
        raise Refused(f"there is nothing to put into {path}")
    taken = [name for name in records if isinstance(here, dict) and name in here]
    if taken:
        raise Refused(f"{path} holds {', '.join(taken)} already")


def at_names(data: Any, into: tuple[str, ...]) -> Any:
    """What stands at a path of names; None where nothing does."""
    for name in into:
        data = data.get(name) if isinstance(data, dict) else None
    return data


def line_end(text: str) -> str:
    """The line end in use: that of the first line."""
    first = text.find("\n")
    return "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"


# The place


def _place(path: str, text: str, into: tuple[str, ...], after: str | None) -> tuple[int, int, int]:
    """Offset in the text, indentation of the names to be put there, and how much further in each level goes."""
    root = compose(text)
    if root is None or (type(root) is ScalarNode and not root.value and not root.style):
        # Comments only, or nothing at all.
        if into or after is not None:
            raise Refused(f"{path} holds nothing yet, so there is no {'.'.join(into) or after} in it")
        return _end_of_text(text), 0, _STEP
    step = step_of(root)
    node: Node = root
    parent_column = -step
    key: Node | None = None
    for name in into:
        if type(node) is not MappingNode:
            raise Refused(f"{path} has no mapping {'.'.join(into)}")
        parent_column = node.start_mark.column
        key, node = _entry(path, node, name, into)
    if type(node) is ScalarNode and not node.value and not node.style and key is not None:
        # `settings:` with nothing after it.
        line_end = text.find("\n", key.end_mark.index)
        offset = len(text) if line_end < 0 else line_end + 1
        return offset, parent_column + step, step
    if type(node) is not MappingNode:
        raise Refused(f"{path} holds something else than records at {'.'.join(into) or 'its top'}")
    if node.flow_style:
        raise Refused(
            f"{path} writes {'.'.join(into) or 'its records'} in braces; write each record on lines of its own"
        )
    column = node.start_mark.column
    last_key, last = node.value[-1]
    until = node.end_mark
    if after is not None:
        names = [one.value for one, _ in node.value]
        if after not in names:
            raise Refused(f"{path} has no entry {after} after which to write")
        number = names.index(after)
        last_key, last = node.value[number]
        if number + 1 < len(names):
            return (
                after_entry(text, last_key, last, node.value[number + 1][0].start_mark.index, column, True),
                column,
                step,
            )
    if not into:
        return _end_of_text(text), column, step
    return after_entry(text, last_key, last, until.index, column, False), column, step


def _entry(path: str, node: MappingNode, name: str, into: tuple[str, ...]) -> tuple[Node, Node]:
    for key, value in node.value:
        if key.value == name:
            return key, value
    raise Refused(f"{path} has no mapping {'.'.join(into)}")


def _end_of_text(text: str) -> int:
    """The end, but before a line `...` that ends the document."""
    end = len(text)
    for line in reversed(text.splitlines(keepends=True)):
        bare = line.strip()
        if bare == "..." and line.startswith("..."):
            return end - len(line)
        if bare and not bare.startswith("#"):
            break
        end -= len(line)
    return len(text)


def after_entry(text: str, key: Node, value: Node, limit: int, column: int, strict: bool = False) -> int:
    """Offset of the line after an entry: its last line, and comments that stand with it.

    A comment at the entry's own indentation belongs to what follows it if something does (`strict`).
    """
    leaf = _last_leaf(value)
    start = max(key.end_mark.index, leaf if leaf is not None else value.start_mark.index)
    at = text.find("\n", start)
    at = len(text) if at < 0 else at + 1
    found = at
    while at < limit:
        end = text.find("\n", at)
        end = len(text) if end < 0 else end + 1
        line = text[at:end]
        inset = len(line) - len(line.lstrip(" "))
        if line.strip() and (inset > column or (inset == column and not strict and line.lstrip().startswith("#"))):
            found = end
        at = end
    return found


def _last_leaf(node: Node) -> int | None:
    """Where the last value below a node ends, if its mark says so: those of block texts lie further on."""
    while type(node) is MappingNode or type(node) is SequenceNode:
        if node.flow_style or not node.value:
            return int(node.end_mark.index)
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    if type(node) is ScalarNode and node.style in ("|", ">"):
        return None
    return int(node.end_mark.index)


def step_of(root: Node) -> int:
    """How much further in the first nested block mapping stands."""
    waiting: list[Node] = [root]
    while waiting:
        node = waiting.pop(0)
        if type(node) is not MappingNode or node.flow_style:
            continue
        for key, value in node.value:
            if type(value) is MappingNode and not value.flow_style and value.start_mark.line > key.start_mark.line:
                return int(value.start_mark.column - key.start_mark.column)
            waiting.append(value)
    return _STEP


# The proof


def _prove(
    path: str,
    before: YamlDocument,
    now: YamlDocument,
    records: Mapping[str, Plain],
    into: tuple[str, ...],
    after: str | None,
) -> None:
    """Raise Refused unless the only difference in what is read is the new records, as they were meant."""
    sorry = f"{path} could not be written to without changing what it says elsewhere"
    if not now.readable:
        raise Refused(sorry, problems=now.problems)
    if _without(now.data, records, into) != (_listed(before.data, into) if before.data is not None else ()):
        raise Refused(f"{sorry}; see to it that its last line ends, and put nothing between the records")
    here = at_names(now.data, into)
    for name, record in records.items():
        if here.get(name) != told(record):
            raise Refused(f"{name} would not read in {path} as it was meant")
    if after is not None:
        names = list(here)
        if names[names.index(after) + 1] != next(iter(records)):
            raise Refused(f"{path} has no place after {after}")
    if sorted((one.rule, one.found) for one in now.problems if not _says_line(one.found)) != sorted(
        (one.rule, one.found) for one in before.problems if not _says_line(one.found)
    ):
        raise Refused(sorry, problems=now.problems)


def _says_line(found: str) -> bool:
    """Whether the words hold a line number, which moves with what is put before it."""
    return " line " in found


def _listed(data: Any, into: tuple[str, ...]) -> Any:
    """Data in a form in which the order of names counts too; nothing at `into` counts as an empty mapping."""
    return _ordered(data, into, frozenset(), ())


def _without(data: Any, records: Mapping[str, Plain], into: tuple[str, ...]) -> Any:
    return _ordered(data, into, frozenset(records), ())


def _ordered(data: Any, into: tuple[str, ...], out: frozenset[str], here: tuple[str, ...]) -> Any:
    if here == into and data is None:
        return ()
    if isinstance(data, dict):
        drop = out if here == into else frozenset()
        return tuple(
            (name, _ordered(value, into, out, (*here, name))) for name, value in data.items() if name not in drop
        )
    if isinstance(data, list):
        return ["a list", *(_ordered(value, into, out, (*here, "[]")) for value in data)]
    return data


def told(record: Plain) -> Any:
    """A record as it is read again."""
    if isinstance(record, str):
        return record
    if isinstance(record, Mapping):
        return {name: told(value) for name, value in record.items()}
    return [told(value) for value in record]
