"""What the organisation brings: its instruments, settings, limits, protocols and words, from `.asfound/`."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Mapping
from pathlib import Path as Folder
from typing import TypeVar

from msgspec import Struct, field, structs

from asfound.intake.files import read_bytes, walk_case
from asfound.intake.records import places, read_partial, read_record, say, stands
from asfound.intake.rows import is_id
from asfound.intake.words import crop
from asfound.intake.yaml_nodes import YamlDocument, read_yaml
from asfound.model.base import Record
from asfound.model.bench import Instrument, Roles, Settings
from asfound.model.case import Path
from asfound.model.layout import BENCH
from asfound.model.limits import LimitSet, Protocol
from asfound.model.reporting import ReportingSet
from asfound.model.starters import StarterList
from asfound.model.words import OwnWords
from asfound.problems import Problem, Span

M = TypeVar("M", bound=Record)


class BenchReading(Struct, frozen=True):
    """The organisation's own files, read. Paths are from the root of the repository.

    instruments  by id; one that could not be read is left out, with its problem among `problems`
    settings     those that are ours to choose; the usual ones where nothing is said
    roles        who stands behind an author in git and behind a signer; empty where nothing is said
    limit_sets   by path of their file
    protocols    by path of their file
    reporting    sets of reporting duties, by path of their file
    words        by path of their file
    starters     starter lists, by path of their file
    places       path of file → path of value → (line, column)
    refs         id of instrument → file and path
    problems     everything wrong with these files, sorted
    certificates files of certificates that instruments name and that lie there: path → SHA-256
    """

    instruments: dict[str, Instrument] = field(default_factory=dict)
    settings: Settings = field(default_factory=Settings)
    limit_sets: dict[str, LimitSet] = field(default_factory=dict)
    protocols: dict[str, Protocol] = field(default_factory=dict)
    places: dict[str, Mapping[Path, tuple[int, int]]] = field(default_factory=dict)
    refs: dict[str, tuple[str, Path]] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    roles: Roles = field(default_factory=Roles)
    reporting: dict[str, ReportingSet] = field(default_factory=dict)
    words: dict[str, OwnWords] = field(default_factory=dict)
    starters: dict[str, StarterList] = field(default_factory=dict)
    certificates: Mapping[str, str] | None = None

    def at(self, file: str, *path: str | int) -> Span:
        """The place of a value in one of these files, or of its nearest parent that stands there."""
        known = self.places.get(file, {})
        for length in range(len(path), 0, -1):
            if path[:length] in known:
                return Span(file, *known[path[:length]])
        return Span(file, 1, 1) if known else Span(file)


def read_bench(root: Folder) -> BenchReading:
    """Read `.asfound/` of a repository. Raises for nothing that people wrote; it need not be there."""
    if not os.path.lexists(root / BENCH):
        return BenchReading()
    walked = walk_case(root, root / BENCH)
    out = BenchReading()
    problems = list(walked.problems)
    documents: list[tuple[str, YamlDocument]] = []
    for path in walked.paths:
        if path in ("instruments.yml", "roles.yml", "settings.yml") or (
            _folder(path) and path.endswith((".yml", ".yaml"))
        ):
            taken = read_bytes(root, walked.at(path))
            problems += taken.problems
            if taken.data is not None:
                documents.append((path, read_yaml(walked.at(path), taken.data)))
    settings, roles = out.settings, out.roles
    for path, document in documents:
        problems += document.problems
        out.places[document.path] = places(document)
        if not document.readable or document.data is None:
            continue
        if path == "instruments.yml":
            problems += _instruments(document, out.instruments, out.refs)
        elif path == "settings.yml":
            partial = read_partial(Settings, document)
            problems += partial.problems
            settings = partial.record or settings
        elif path == "roles.yml":
            named = read_partial(Roles, document)
            problems += named.problems
            roles = named.record or roles
        else:
            problems += _data_file(document, _folder(path), out)
    named_files = {c.file for one in out.instruments.values() for c in one.calibrations if c.file is not None}
    certificates: dict[str, str] = {}
    for path in sorted(named_files & set(walked.paths)):
        taken = read_bytes(root, walked.at(path))
        problems += taken.problems
        if taken.data is not None:
            certificates[path] = hashlib.sha256(taken.data).hexdigest()
    return structs.replace(out, settings=settings, roles=roles, problems=_ordered(problems), certificates=certificates)


def _data_file(document: YamlDocument, folder: str, out: BenchReading) -> tuple[Problem, ...]:
    if folder == "protocols":
        return _whole(Protocol, document, out.protocols)
    if folder == "reporting":
        return _whole(ReportingSet, document, out.reporting)
    if folder == "words":
        return _whole(OwnWords, document, out.words)
    if folder == "starters":
        return _whole(StarterList, document, out.starters)
    return _whole(LimitSet, document, out.limit_sets)


def _whole(model: type[M], document: YamlDocument, into: dict[str, M]) -> tuple[Problem, ...]:
    """A file that is used whole or not at all: a limit set with a limit left out would let readings pass unjudged."""
    partial = read_partial(model, document)
    if partial.record is not None and not partial.dropped:
        into[document.path] = partial.record
    return partial.problems


def _instruments(
    document: YamlDocument, into: dict[str, Instrument], refs: dict[str, tuple[str, Path]]
) -> list[Problem]:
    data = document.data
    if not isinstance(data, dict):
        span = Span(document.path, *document.place(()))
        return [
            say(
                "shape-wrong",
                span,
                stands(data),
                "instruments under their ids are needed",
                "Begin each with M-1: and so on.",
            )
        ]
    problems: list[Problem] = []
    for key in data:
        if key == "$schema":
            continue
        if not is_id(key) or key[0] != "M":
            span = Span(document.path, *document.key_places[(key,)])
            rule = "id-letter-wrong" if is_id(key) else "id-malformed"
            problems.append(say(rule, span, f"found “{crop(key)}”", "an id such as M-1 is needed"))
            continue
        refs[key] = (document.path, (key,))
        record, found = read_record(Instrument, document, (key,), key)
        problems += found
        if record is not None:
            into[key] = record
    return problems


def _folder(path: str) -> str:
    """The folder of data a file lies in directly, `limits` or another of them, else empty."""
    folder = path.rpartition("/")[0]
    return folder if folder in ("limits", "protocols", "reporting", "starters", "words") else ""


def _ordered(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.key))
