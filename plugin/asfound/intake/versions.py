"""One version of one file, as the records in it, for the record of changes.

A history holds many versions of few files, most of them broken or odd at some time, and asks only what differs. So
nothing is judged here, values stay as typed, and of a sound YAML file a record is first held as the text it was
written in: two that read alike need not be taken apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml
from msgspec import Struct
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from asfound.intake.csv_rows import read_csv
from asfound.intake.files import YAML_BYTES
from asfound.intake.rows import is_id
from asfound.intake.text import read_text
from asfound.intake.yaml_nodes import MAX_DEPTH, NULL, Data, compose, needs_events, read_yaml
from asfound.model.layout import BENCH, KEYED, ORGANISATION, SINGLE, TABLES, Keyed, Single
from asfound.model.limits import LimitSet, Protocol

INSTRUMENTS, SETTINGS = f"{BENCH}/instruments.yml", f"{BENCH}/settings.yml"
_NAMES = ("set", "protocol")
_KEY = {"custody.csv": ("line", "C-"), "inspection.csv": ("row", "V-"), "timeline.csv": ("row", "T-")}


class Stand(Struct, frozen=True):
    """A record as it stood in one version of its file.

    line    on which it begins
    source  something two stands that read alike have in common
    """

    line: int
    source: Any
    _made: Any

    @property
    def data(self) -> Data:
        """Mappings, lists and text, as typed; None for what is blank."""
        if isinstance(self._made, Node):
            return _plain(self._made, 0)
        if isinstance(self._made, _Rest):
            return {name: _plain(node, 0) for name, node in self._made.nodes}
        if isinstance(self._made, _Cells):
            return {name: cell for name, cell in zip(self._made.names, self._made.cells, strict=True) if name and cell}
        made: Data = self._made
        return made

    def same(self, other: Stand) -> bool:
        """Whether both say the same."""
        return self.source == other.source or self.data == other.data


class _Rest(Struct, frozen=True):
    nodes: tuple[tuple[str, Node], ...]


class _Cells(Struct, frozen=True):
    names: tuple[str, ...]
    cells: list[str]


def holds_records(path: str) -> bool:
    """Whether a file of a case, or of the organisation, holds records whose changes are told one by one."""
    return path in KEYED or path in SINGLE or path in TABLES or of_bench(path) or _sheet(path) is not None


def of_bench(path: str) -> bool:
    """Whether a path from the root is that of a file of the organisation's on which cases rest.

    Who is who in git and who may sign are none of these: a case rests on no such thing.
    """
    if not path.startswith(f"{BENCH}/"):
        return False
    return path in (INSTRUMENTS, SETTINGS) or _limit_file(path) != ""


def _limit_file(path: str) -> str:
    """`limits` or `protocols` for a file directly in the organisation's folder of that name."""
    folder, _, name = path.removeprefix(f"{BENCH}/").rpartition("/")
    return folder if folder in ("limits", "protocols") and name.endswith((".yml", ".yaml")) else ""


def read_version(path: str, data: bytes) -> dict[str, Stand] | None:
    """The records of one version of a file by id; what is one record with its file goes by the file's name.

    `path` is below the case folder, or from the root where it begins with `.asfound/`. None where the version cannot be
    read. An id that stands twice is told apart by the words *(again)*. Raises nothing for any bytes.

    A limit goes by `<set>/<limit>`, what a set says beside its limits by `limits/<set>`, a protocol by
    `protocols/<name>`: by the names they bear, whatever their files are called.
    """
    if path.endswith(".csv"):
        return _table(path, data)
    shape = _shape(path)
    decoded = read_text(path, data, YAML_BYTES)
    if decoded.text is None:
        return None
    if not needs_events(decoded.text):
        try:
            root = compose(decoded.text)
        except yaml.YAMLError:
            root = None
        if isinstance(root, MappingNode) and all(type(key) is ScalarNode for key, _ in root.value):
            return _collect(_from_nodes(path, decoded.text, root, shape))
    document = read_yaml(path, data)
    if not document.readable:
        return None
    if document.data is None:
        return {}
    if not isinstance(document.data, dict):
        return None
    lines = {place[0]: line for place, (line, _) in document.key_places.items() if len(place) == 1}
    nested = {place: line for place, (line, _) in document.key_places.items() if len(place) == 2}
    return _collect(_from_data(path, document.data, shape, lines, nested))


def _shape(path: str) -> Single | Keyed:
    if path in (INSTRUMENTS, SETTINGS):
        return ORGANISATION[path.removeprefix(f"{BENCH}/")]
    folder = _limit_file(path) if path.startswith(f"{BENCH}/") else ""
    return ORGANISATION[f"{folder}/*.yml"] if folder else KEYED.get(path) or SINGLE[path]


def _named(path: str, shape: Single | Keyed, name: object) -> tuple[str, str]:
    """How a file as one record goes, and what stands before the names of the records in it.

    `name` is what a limit set or a protocol says that it is called.
    """
    if shape.model not in (LimitSet, Protocol):
        return path, f"{path} / "
    called = name if isinstance(name, str) and name else path
    return (f"limits/{called}", f"{called}/") if shape.model is LimitSet else (f"protocols/{called}", "")


def _collect(found: Iterator[tuple[str, Stand]]) -> dict[str, Stand]:
    out: dict[str, Stand] = {}
    for ref, stand in found:
        while ref in out:
            ref += " (again)"
        out[ref] = stand
    return out


def _from_nodes(path: str, text: str, root: MappingNode, shape: Single | Keyed) -> Iterator[tuple[str, Stand]]:
    if isinstance(shape, Keyed):
        for key, node in root.value:
            if key.value != "$schema":
                yield _ref(path, key.value), _stand(text, key, node)
        return
    whole, start = _named(path, shape, next((one.value for key, one in root.value if key.value in _NAMES), None))
    letters = dict(shape.nested) if whole == path else {"limits": start}
    rest: list[tuple[str, Node]] = []
    first = 0
    for key, node in root.value:
        letter = letters.get(key.value)
        if letter and type(node) is MappingNode and all(type(name) is ScalarNode for name, _ in node.value):
            for name, below in node.value:
                yield _below(path, letter, name.value), _stand(text, name, below)
        elif key.value != "$schema":
            first = first or key.start_mark.line + 1
            rest.append((key.value, node))
    if rest:
        yield whole, Stand(first, tuple((name, _slice(text, node)) for name, node in rest), _Rest(tuple(rest)))


def _stand(text: str, key: Node, node: Node) -> Stand:
    return Stand(key.start_mark.line + 1, _slice(text, node), node)


def _slice(text: str, node: Node) -> str:
    written: str = text[node.start_mark.index : node.end_mark.index]
    return written


def _below(path: str, letter: str, key: str) -> str:
    """How a record within a file goes; `letter` is that of its id, or what stands before its name."""
    if letter.endswith("/"):
        return f"{letter}{key}"
    return f"P-{key}" if letter == "P" else _ref(path, key)


def _ref(path: str, key: str) -> str:
    return key if is_id(key) else f"{path} / {key}"


def _plain(node: Any, depth: int) -> Data:
    kind = type(node)
    if kind is ScalarNode:
        text: str = node.value
        return None if not node.style and text in NULL else text
    if depth >= MAX_DEPTH:
        return "…"
    if kind is SequenceNode:
        return [_plain(entry, depth + 1) for entry in node.value]
    out: dict[str, Data] = {}
    for key, below in node.value:
        out.setdefault(key.value if type(key) is ScalarNode else "?", _plain(below, depth + 1))
    return out


def _from_data(
    path: str, data: dict[str, Data], shape: Single | Keyed, lines: dict[Any, int], nested: dict[Any, int]
) -> Iterator[tuple[str, Stand]]:
    if isinstance(shape, Keyed):
        for key, value in data.items():
            if key != "$schema":
                yield _ref(path, key), Stand(lines.get(key, 0), value, value)
        return
    whole, start = _named(path, shape, next((value for key, value in data.items() if key in _NAMES), None))
    letters = dict(shape.nested) if whole == path else {"limits": start}
    rest: dict[str, Data] = {}
    for key, value in data.items():
        letter = letters.get(key)
        if letter and isinstance(value, dict):
            for name, below in value.items():
                yield _below(path, letter, name), Stand(nested.get((key, name), 0), below, below)
        elif key != "$schema":
            rest[key] = value
    if rest:
        yield whole, Stand(min(lines.get(key, 0) for key in rest), rest, rest)


def _sheet(path: str) -> str | None:
    folder, _, name = path.rpartition("/")
    return name.removesuffix(".csv") if folder == "readings" and name.endswith(".csv") else None


def _table(path: str, data: bytes) -> dict[str, Stand] | None:
    sheet = _sheet(path)
    key, start = ("row", f"R-{sheet}-") if sheet is not None else _KEY[path]
    table = read_csv(path, data)
    names = tuple(name.strip() for name in table.header)
    if not table.readable or key not in names:
        return None
    column = names.index(key)
    told = tuple("" if place == column else name for place, name in enumerate(names))
    return _collect(
        (f"{start}{cells[column].strip()}", Stand(table.line_of(number), (told, cells), _Cells(told, cells)))
        for number, cells in enumerate(table.rows)
    )
