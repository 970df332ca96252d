"""An assessment as bytes, and the piece of work it comes of: what one process hands to another, or keeps on disk."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pydantic import TypeAdapter

from asfound import intake
from asfound.assess.outside import read_outside
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import Assessment, assessed
from asfound.model.dossier import pack_dossier, unpack_dossier
from asfound.model.layout import BENCH
from asfound.problems import Problem
from asfound.store import TreeFile, program_digest, put_tree


class OtherProgram(Exception):
    """A worker runs another version of the program, of Python, or of a package than the one who asks."""


Beside = Callable[[Repository, Assessment], Any]
"""Work that goes with an assessment and is done where that was carried out, so that the dossier need not travel first.
It raises nothing: what it gives travels back as it is, and whoever asked may do the work again."""


@dataclass(frozen=True)
class Unit:
    """What assessing one case takes, and nothing else.

    folder   the case folder, from the root
    outside  what is known of it from outside, as bytes
    program  digest of the program that asks; a worker that is another refuses
    root     the repository, for a worker on this machine; else empty
    case, bench  the bytes of the case and of the organisation's folder, for a worker that sees no disk of ours; the
                 second is None where there is no such folder
    beside   what else is to be done with the assessment; only for a worker on this machine
    """

    folder: str
    on: dt.date
    outside: bytes
    program: str
    root: str = ""
    case: tuple[TreeFile, ...] = ()
    bench: tuple[TreeFile, ...] | None = None
    beside: Beside | None = None


def carry_out(unit: Unit) -> bytes:
    """Assess the case of a unit; the assessment as bytes. Raises OtherProgram."""
    return carry_on(unit)[0]


def carry_on(unit: Unit) -> tuple[bytes, Any]:
    """Assess the case of a unit, and do what is to be done beside; None where nothing is. Raises OtherProgram."""
    if unit.program != program_digest():
        raise OtherProgram("a worker runs another version of asfound, of Python or of a package")
    if unit.root:
        return _carry_out(_opened(unit.root), unit)
    with TemporaryDirectory(prefix="asfound-") as place:
        root = Path(place).resolve()
        put_tree(root, unit.folder, unit.case)
        if unit.bench is not None:
            put_tree(root, BENCH, unit.bench)
        return _carry_out(open_repository(root), unit)


@lru_cache(maxsize=1)
def _opened(root: str) -> Repository:
    # Workers live as long as one run, so what lies beside the cases is read once.
    return open_repository(Path(root))


def _carry_out(shared: Repository, unit: Unit) -> tuple[bytes, Any]:
    reading = intake.read_case(shared.root, shared.root / unit.folder, shared.bench)
    found = assessed(shared, reading, unit.on, read_outside(unit.outside))
    return pack(found), unit.beside(shared, found) if unit.beside is not None else None


@cache
def _problems() -> TypeAdapter[tuple[Problem, ...]]:
    return TypeAdapter(tuple[Problem, ...])


def pack(found: Assessment) -> bytes:
    """An assessment as bytes: a line that says what follows, then the dossier, or the problems where there is none."""
    head = json.dumps({"folder": found.folder, "dossier": found.dossier is not None}, ensure_ascii=True).encode()
    body = _problems().dump_json(found.problems) if found.dossier is None else pack_dossier(found.dossier)
    return head + b"\n" + body


def unpack(data: bytes) -> Assessment:
    """The assessment again. Raises ValueError for bytes that are none."""
    head, _, body = data.partition(b"\n")
    try:
        said = json.loads(head)
        folder, whole = str(said["folder"]), bool(said["dossier"])
    except (ValueError, KeyError, TypeError) as error:
        raise ValueError("this is no assessment") from error
    if not whole:
        return Assessment(folder, None, _problems().validate_json(body))
    dossier = unpack_dossier(body)
    return Assessment(folder, dossier, dossier.core.problems)
