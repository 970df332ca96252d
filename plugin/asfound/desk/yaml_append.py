"""Putting one record behind the others of a list in somebody's YAML, by the same rules as records by id."""

from __future__ import annotations

import yaml
from yaml.nodes import MappingNode, Node, SequenceNode

from asfound.desk.refused import Refused
from asfound.desk.yaml_insert import after_entry, at_names, insert_records, line_end, step_of, told
from asfound.desk.yaml_text import Plain, item
from asfound.intake.yaml_nodes import compose, read_yaml

_BOM = "\ufeff"


def append_item(path: str, data: bytes, into: tuple[str, ...], record: Plain) -> tuple[bytes, int, int]:
    """The file with `record` as the last entry of the list at `into`; the line on which it begins, from 1; how many.

    A list that is missing is begun as the last field of its record. Raises Refused wherever it cannot be shown that
    nothing else changes: a list in brackets that holds something has to be written on lines of its own first.
    """
    before = read_yaml(path, data)
    if not before.readable:
        raise Refused(f"{path} cannot be read as it stands", problems=before.problems)
    there = at_names(before.data, into)
    if there is None and isinstance(holder := at_names(before.data, into[:-1]), dict) and into[-1] not in holder:
        made = insert_records(path, data, {into[-1]: [record]}, into=into[:-1])
        line = made.lines[into[-1]] + 1
        return made.data, line, made.data[made.start : made.end].decode("utf-8").strip("\r\n").count("\n")
    if not isinstance(there, list) or not there:
        raise Refused(f"{path} holds no list with entries at {'.'.join(into)}; write the first one by hand")
    text = data.decode("utf-8").removeprefix(_BOM)
    try:
        root = compose(text)
    except yaml.YAMLError:
        raise Refused(f"{path} has to be mended first", problems=before.problems) from None
    node = _found(root, into)
    if not isinstance(node, SequenceNode) or node.flow_style:
        raise Refused(f"{path} writes {'.'.join(into)} in brackets; write each entry on lines of its own")
    column, last = node.start_mark.column, node.value[-1]
    # The mark at the end of a block lies where the next one begins, so its first name stands for the entry's beginning.
    begins = last.value[0][0] if isinstance(last, MappingNode) and last.value else last
    offset = after_entry(text, begins, last, node.end_mark.index, column)
    eol = line_end(text)
    assert root is not None
    try:
        lines = list(item(record, column, step_of(root), apart=True))
    except ValueError as error:
        raise Refused(f"the entry cannot be written into {path}: {error}") from None
    body = eol.join(lines)
    new = eol + body if offset == len(text) and not text.endswith("\n") else body + eol
    whole = text[:offset] + new + text[offset:]
    out = (data[:3] if text != data.decode("utf-8") else b"") + whole.encode("utf-8")
    now = read_yaml(path, out)
    if not now.readable or (now.problems != before.problems and len(now.problems) != len(before.problems)):
        raise Refused(f"{path} could not be written to without changing what it says elsewhere", problems=now.problems)
    if _put(before.data, into, told(record)) != now.data:
        raise Refused(f"{path} could not be written to without changing what it says elsewhere")
    line = whole[: offset + len(new) - len(body) - (0 if new.startswith(eol) else len(eol))].count("\n") + 1
    return out, line, len(lines)


def _found(root: Node | None, into: tuple[str, ...]) -> Node | None:
    node = root
    for name in into:
        if not isinstance(node, MappingNode):
            return None
        node = next((value for key, value in node.value if key.value == name), None)
    return node


def _put(data: object, into: tuple[str, ...], record: object) -> object:
    """The data with the record at the end of the list at `into`."""
    if not into:
        assert isinstance(data, list)
        return [*data, record]
    assert isinstance(data, dict)
    return {name: _put(value, into[1:], record) if name == into[0] else value for name, value in data.items()}
