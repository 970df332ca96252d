"""YAML to plain mappings, lists and text, each value with its place.

YAML gives the punctuation only: no text becomes a number, a date or a truth value here (`NO`, `12:30`, `1.10` and `010`
stay what was typed), because the field that a value stands in decides what it is. What YAML offers beyond mappings,
lists and text (anchors, tags, merges, several documents) is refused: it hides from a reviewer what a record says.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, TypeAlias

import yaml
from msgspec import Struct, field
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from asfound.intake.files import YAML_BYTES
from asfound.intake.text import place_of, read_text, refused_in_value
from asfound.intake.words import LISTED, char_name, counted, crop, refuse
from asfound.intake.yaml_words import explain
from asfound.problems import Problem

try:
    from yaml import CSafeLoader as _Base
except ImportError as error:  # pragma: no cover (tested in a process of its own)
    raise ImportError(
        "Asfound reads YAML with libyaml, and this copy of PyYAML was built without it. "
        "Install a PyYAML wheel for your platform (pip install --force-reinstall --only-binary :all: pyyaml)."
    ) from error

Key: TypeAlias = str | int
Path: TypeAlias = tuple[Key, ...]
Place: TypeAlias = tuple[int, int]
Data: TypeAlias = "dict[str, Data] | list[Data] | str | None"

MAX_DEPTH = 32
MAX_VALUES = 200_000

# What may begin an anchor, an alias or a tag: only where one of these stands are the events looked at one by one.
_BEYOND = re.compile(r"(?:[&*](?=[^\s&*,\[\]{}])|!)(?<=[\s\[{,:?\-].)|\A[&*!]", re.DOTALL)
_ESCAPE = re.compile(r"\\(?:x([0-9A-Fa-f]{2})|u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))", re.DOTALL)
_NAMED_ESCAPES = {
    "0": "\0",
    "a": "\a",
    "b": "\b",
    "v": "\v",
    "f": "\f",
    "r": "\r",
    "e": "\x1b",
    "N": "\x85",
    "L": "\u2028",
    "P": "\u2029",
}
NULL = frozenset(("", "~", "null"))
_NO_NAMES = frozenset(("<<", "~", "null"))


class _Loader(_Base):
    """The C parser and composer with no opinion on what a scalar means."""

    yaml_implicit_resolvers = {}

    def resolve(self, kind: type[Node], value: Any, implicit: Any) -> str:
        return ""

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        return None

    def ascend_resolver(self) -> None:
        return None


class YamlDocument(Struct, frozen=True):
    """One YAML file.

    path        as given, for messages
    data        mappings, lists, text and None (an empty plain scalar, `~`, `null`); every other scalar is text as typed
    places      path of a value (`("items", "I-3", "serial")`, list entries by index) → (line, column) of the value
    key_places  the same path → (line, column) of the name before the colon; list entries have none
    quoted      paths whose scalar was quoted or of block style
    refused     paths whose value could not be taken (an alias, too deep); `data` holds None there
    problems    what was refused, sorted by place
    readable    False where nothing could be read and `data` is None for that reason
    """

    path: str
    data: Data
    places: dict[Path, Place] = field(default_factory=dict)
    key_places: dict[Path, Place] = field(default_factory=dict)
    quoted: frozenset[Path] = frozenset()
    refused: frozenset[Path] = frozenset()
    problems: tuple[Problem, ...] = ()
    readable: bool = True

    def place(self, path: Path) -> Place:
        """The place of `path`, or of the nearest thing around it that has one; (0, 0) for a file that is empty."""
        while path not in self.places:
            if not path:
                return (0, 0)
            path = path[:-1]
        return self.places[path]


def read_yaml(path: str, data: bytes) -> YamlDocument:
    """Read one YAML file. `path` is for messages only. Raises nothing for any bytes.

    Columns count characters from 1. A byte order mark and CR LF are allowed. A file that cannot be parsed gives one
    problem in words, `data` None and `readable` False; everything else that is refused is refused in its place and the
    rest is read: of two equal names the first is kept.
    """
    decoded = read_text(path, data, YAML_BYTES)
    text = decoded.text
    if text is None:
        return YamlDocument(path, None, problems=decoded.problems, readable=False)
    problems = list(decoded.problems)
    beyond = _Beyond()
    if needs_events(text):
        beyond = _look_beyond(path, text)
        problems += beyond.problems
        if beyond.too_many:
            return YamlDocument(path, None, problems=_ordered(problems), readable=False)
    try:
        root = compose(text)
    except yaml.YAMLError as error:
        said = explain(path, text, error, beyond.aliased)
        if said is None:
            return YamlDocument(path, None, problems=_ordered(problems), readable=False)
        problems.append(said)
        if said.rule != "yaml-several-documents":
            return YamlDocument(path, None, problems=_ordered(problems), readable=False)
        try:
            root = _first_document(text)
        except yaml.YAMLError:
            return YamlDocument(path, None, problems=_ordered(problems), readable=False)
    if root is None:
        return YamlDocument(path, None, problems=_ordered(problems))
    walk = _Walk(path, text, beyond.aliased)
    value = walk.value(root, (), 0)
    return YamlDocument(
        path,
        value,
        walk.places,
        walk.key_places,
        frozenset(walk.quoted),
        frozenset(walk.refused),
        _ordered([*problems, *walk.problems]),
    )


def _ordered(problems: list[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(problems, key=lambda problem: problem.key))


def compose(text: str) -> Node | None:
    """The nodes of a text with their marks; None where it holds none. Raises yaml.YAMLError."""
    root: Node | None = yaml.compose(text, _Loader)
    return root


def _first_document(text: str) -> Node | None:
    loader = _Loader(text)
    try:
        return loader.get_node() if loader.check_node() else None
    finally:
        loader.dispose()


class _Beyond(Struct, frozen=True):
    """What the events show and the composed nodes do not."""

    problems: tuple[Problem, ...] = ()
    aliased: bool = False
    too_many: bool = False


def needs_events(text: str) -> bool:
    """Whether the text may hold anchors, aliases, tags or too many values; never False where it does."""
    if ("&" in text or "*" in text or "!" in text) and _BEYOND.search(text):
        return True
    if len(text) * 2 <= MAX_VALUES:
        return False
    # Each value needs a mark of its own: a colon, comma, brace or question mark can bring two, a bracket or dash one.
    twice = sum(text.count(mark) for mark in ":,{?")
    return 2 * twice + text.count("[") + text.count("-") + 4 > MAX_VALUES


def _events(text: str) -> Iterator[Any]:
    try:
        yield from yaml.parse(text, _Loader)
    except yaml.YAMLError:
        return  # composing meets the same fault and says it


def _look_beyond(path: str, text: str) -> _Beyond:
    listed: dict[str, list[Problem]] = {"yaml-anchor-or-alias": [], "yaml-tag": []}
    totals = dict.fromkeys(listed, 0)
    aliased = False
    values = 0

    def note(rule: str, event: Any, found: str, needed: str) -> None:
        totals[rule] += 1
        if len(listed[rule]) < LISTED:
            mark = event.start_mark
            listed[rule].append(refuse(rule, path, (mark.line + 1, mark.column + 1), found, needed))

    for event in _events(text):
        if isinstance(event, yaml.AliasEvent):
            aliased = True
            note(
                "yaml-anchor-or-alias",
                event,
                f"“*{crop(str(event.anchor))}” repeats another value",
                "the value itself is needed",
            )
        elif isinstance(event, yaml.NodeEvent):
            if event.anchor is not None:
                found = f"“&{crop(event.anchor)}” marks a value for repetition"
                note("yaml-anchor-or-alias", event, found, "a value without a mark is needed")
            tag: str | None = getattr(event, "tag", None)
            if tag is not None:
                note(
                    "yaml-tag",
                    event,
                    f"the value carries the tag “{crop(tag.replace('tag:yaml.org,2002:', '!!', 1))}”",
                    "a value without a tag is needed",
                )
        else:
            continue
        values += 1
        if values > MAX_VALUES:
            mark = event.start_mark
            place = (mark.line + 1, mark.column + 1)
            many = refuse(
                "yaml-too-many-values", path, place, f"here begins value {values}", f"at most {MAX_VALUES} are read"
            )
            return _Beyond((many,), aliased, True)
    return _Beyond(tuple(p for rule in listed for p in counted(listed[rule], totals[rule])), aliased)


class _Walk:
    """One pass over the composed nodes. Written for speed: a case may hold thousands of small files."""

    __slots__ = (
        "_escapes",
        "_path",
        "_said",
        "_seen",
        "_text",
        "_total",
        "key_places",
        "places",
        "quoted",
        "refused",
    )

    def __init__(self, path: str, text: str, aliased: bool) -> None:
        self._path = path
        self._text = text
        self._escapes = "\\" in text
        self._seen: dict[int, Node] | None = {} if aliased else None
        self.places: dict[Path, Place] = {}
        self.key_places: dict[Path, Place] = {}
        self.quoted: list[Path] = []
        self.refused: list[Path] = []
        self._said: dict[str, list[Problem]] = {}
        self._total: dict[str, int] = {}

    def value(self, node: Any, path: Path, depth: int) -> Data:
        """The value of `node`, its place and those of all below it written down."""
        mark = node.start_mark
        self.places[path] = (mark.line + 1, mark.column + 1)
        seen = self._seen
        if seen is not None:
            # An alias composes to the very node it names. That every alias is refused was said by the events.
            if id(node) in seen:
                self.refused.append(path)
                return None
            seen[id(node)] = node
        kind = type(node)
        if kind is ScalarNode:
            text: str = node.value
            style = node.style
            if not style:
                return None if text in NULL else text
            self.quoted.append(path)
            if self._escapes and style == '"':
                self._check_escapes(node)
            return text
        if depth >= MAX_DEPTH:
            self._say(
                "yaml-too-deep",
                node,
                f"this lies more than {MAX_DEPTH} levels deep",
                f"at most {MAX_DEPTH} levels are read",
            )
            self.refused.append(path)
            return None
        if kind is SequenceNode:
            value = self.value
            below = depth + 1
            return [value(entry, (*path, index), below) for index, entry in enumerate(node.value)]
        return self._mapping(node, path, depth + 1)

    def _mapping(self, node: Node, path: Path, depth: int) -> Data:
        out: dict[str, Data] = {}
        value = self.value
        key_places = self.key_places
        for key, content in node.value:
            name = key.value
            if type(key) is not ScalarNode or not name or name in out or (not key.style and name in _NO_NAMES):
                self._odd_key(key, content, path, out, depth)
                continue
            if self._seen is not None:
                if id(key) in self._seen:
                    self._aside(content, depth)
                    continue
                self._seen[id(key)] = key
            if key.style == '"' and self._escapes:
                self._check_escapes(key)
            below = (*path, name)
            mark = key.start_mark
            key_places[below] = (mark.line + 1, mark.column + 1)
            out[name] = value(content, below, depth)
        return out

    def _odd_key(self, key: Node, content: Node, path: Path, out: dict[str, Data], depth: int) -> None:
        if type(key) is not ScalarNode:
            kind = "a mapping" if type(key) is MappingNode else "a list"
            self._say("yaml-key-not-text", key, f"{kind} stands where a name is expected", "a name in text is needed")
        elif not key.style and key.value == "<<":
            self._say(
                "yaml-merge-key", key, "“<<” merges another mapping into this one", "the values themselves are needed"
            )
        elif key.value in out:
            first = self.key_places[(*path, key.value)]
            found = f"“{crop(key.value)}” stands on line {first[0]} already"
            self._say("yaml-duplicate-key", key, found, "a name that stands once is needed", (first,))
        else:
            self._say("yaml-key-not-text", key, "there is no name before the colon", "a name in text is needed")
        self._aside(content, depth)

    def _aside(self, node: Node, depth: int) -> None:
        """What stands below a refused name is examined too, but not taken."""
        aside = _Walk(self._path, self._text, False)
        aside._seen = self._seen
        aside._said, aside._total = self._said, self._total
        aside.value(node, (), depth)

    @property
    def problems(self) -> list[Problem]:
        """What was refused: of each kind the first places, and how many more there are."""
        return [problem for rule, listed in self._said.items() for problem in counted(listed, self._total[rule])]

    def _say(self, rule: str, node: Node, found: str, needed: str, related: tuple[Place, ...] = ()) -> None:
        mark = node.start_mark
        self._at(rule, (mark.line + 1, mark.column + 1), found, needed, related)

    def _at(self, rule: str, place: Place, found: str, needed: str, related: tuple[Place, ...] = ()) -> None:
        self._total[rule] = self._total.get(rule, 0) + 1
        listed = self._said.setdefault(rule, [])
        if len(listed) < LISTED:
            listed.append(refuse(rule, self._path, place, found, needed, related=related))

    def _check_escapes(self, node: Node) -> None:
        """Refuse in a double-quoted text what is refused in the file: an escape can spell it just as well.

        Of one text at most twenty places are looked at; it has to be retyped in any case.
        """
        if refused_in_value(node.value) is None:
            return
        places = 0
        for hit in _ESCAPE.finditer(self._text, node.start_mark.index, node.end_mark.index):
            digits = hit[1] or hit[2] or hit[3]
            char = chr(int(digits, 16)) if digits else _NAMED_ESCAPES.get(hit[4], "")
            if (wrong := refused_in_value(char)) is not None:
                found = f"“{hit[0]}” spells {char_name(char)}"
                needed = "text whose characters can all be seen is needed"
                self._at(wrong[0], place_of(self._text, hit.start()), found, needed)
                places += 1
                if places == LISTED:
                    return
