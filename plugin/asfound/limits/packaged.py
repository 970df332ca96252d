"""The limit sets, protocols, starter lists, cautions, duties and lists of words that come with the program."""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

import yaml
from msgspec import Struct
from yaml.nodes import MappingNode, Node, SequenceNode

from asfound.limits import kept
from asfound.model.limits import Caution, Cautions, LimitSet, Protocol
from asfound.model.reporting import CodeList, ReportingSet
from asfound.model.starters import StarterList
from asfound.model.words import WordList

# The C loader reads the same text five times as fast; not every build of the library brings it.
_Base: type[Any] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class _Loader(_Base):  # type: ignore[misc]  # which of the two is known when it runs
    """Text, mappings and lists, without a look at what kind each scalar might be: here all are text."""

    def resolve(self, kind: type[Node], value: object, implicit: object) -> str:
        """No tag: nothing asks for one."""
        return ""

    def descend_resolver(self, node: object, index: object) -> None:
        """Nothing is resolved on the way down."""

    def ascend_resolver(self) -> None:
        """Nor on the way up."""


def _plain(node: Node | None) -> Any:
    if isinstance(node, MappingNode):
        return {key.value: _plain(value) for key, value in node.value}
    return [_plain(one) for one in node.value] if isinstance(node, SequenceNode) else getattr(node, "value", None)


class Packaged(Struct, frozen=True):
    """What comes with the program. Paths begin with `asfound/limits/`, wherever the program is installed.

    files      (path, bytes), sorted by path, as they are
    sets       limit sets by path
    protocols  protocols by path
    cautions   cautions by name
    reporting  sets of reporting duties by path
    codes      the open list of codes for adverse events
    words      lists of words by path
    starters   starter lists by path
    """

    files: tuple[tuple[str, bytes], ...]
    sets: dict[str, LimitSet]
    protocols: dict[str, Protocol]
    cautions: dict[str, Caution]
    reporting: dict[str, ReportingSet]
    codes: CodeList
    words: dict[str, WordList]
    starters: dict[str, StarterList]


@cache
def packaged() -> Packaged:
    """Read what comes with the program, once.

    Raises pydantic's ValidationError or yaml's YAMLError where a file of ours is broken: a fault of the program, found
    by its tests.
    """
    home = resources.files("asfound.limits")
    folders = ("sets", "protocols", "reporting", "codes", "words", "starters")
    below = [one for folder in folders for one in _below(home, folder)]
    files = tuple(sorted((*below, _file(home / "cautions.yml", ""))))
    records = kept.take(files)
    if records is None:
        records = _read(files)
        kept.keep(files, records)
    return Packaged(files, *records)


def _read(files: kept.Files) -> kept.Records:
    sets: dict[str, LimitSet] = {}
    protocols: dict[str, Protocol] = {}
    cautions: dict[str, Caution] = {}
    reporting: dict[str, ReportingSet] = {}
    words: dict[str, WordList] = {}
    codes: list[CodeList] = []
    starters: dict[str, StarterList] = {}
    for path, data in files:
        read = _plain(yaml.compose(data.decode("utf-8"), _Loader))
        match path.split("/")[-2]:
            case "sets":
                sets[path] = LimitSet.model_validate(read)
            case "protocols":
                protocols[path] = Protocol.model_validate(read)
            case "reporting":
                reporting[path] = ReportingSet.model_validate(read)
            case "codes":
                codes.append(CodeList.model_validate(read))
            case "words":
                words[path] = WordList.model_validate(read)
            case "starters":
                starters[path] = StarterList.model_validate(read)
            case _:
                cautions.update(Cautions.model_validate(read).cautions)
    (code_list,) = codes
    return sets, protocols, cautions, reporting, code_list, words, starters


def _below(home: Traversable, folder: str) -> list[tuple[str, bytes]]:
    return [_file(one, folder) for one in (home / folder).iterdir() if one.name.endswith(".yml")]


def _file(one: Traversable, folder: str) -> tuple[str, bytes]:
    parts = ("asfound", "limits", folder, one.name)
    return "/".join(part for part in parts if part), one.read_bytes()
