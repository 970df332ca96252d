"""An assessment as bytes, and the piece of work it comes of: what one process hands to another, or keeps on disk."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache, lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from msgspec import Struct
from pydantic import TypeAdapter

from asfound import intake, rules
from asfound.assess.keys import ASSESSMENT, Keys
from asfound.assess.outside import Outside, look_outside, outside_digest, read_outside, settled
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import Assessment, assessed
from asfound.model.dossier import pack_dossier, ready_to_pack, unpack_dossier
from asfound.model.layout import BENCH
from asfound.problems import Problem
from asfound.store import Store, TreeFile, program_digest, put_tree


class OtherProgram(Exception):
    """A worker runs another version of the program, of Python, or of a package than the one who asks."""


Beside = Callable[[Repository, Assessment], Any]
"""Work that goes with an assessment and is done where that was carried out, so that the dossier need not travel first.
It raises nothing: what it gives travels back as it is, and whoever asked may do the work again."""


class Asking(Struct, frozen=True):
    """What a worker on this machine needs to look for itself what is known of a case from outside, and whether the case
    was assessed before.

    history  whether git is asked who changed what
    store    what was worked out before; None asks nothing
    bench, tree  digests of the organisation's folder and of the case as they lay there; empty where nothing is kept
    """

    history: bool
    store: Store | None = None
    bench: str = ""
    tree: str = ""


class Came(Struct, frozen=True):
    """What came of a unit.

    data     the assessment as bytes
    beside   what came of the work beside; None where there was none
    outside  digest of what is known from outside; empty where that was sent
    settled  whether that is what the state of the repository says, and not an error that may pass
    kept     whether the assessment was kept from before
    """

    data: bytes
    beside: Any = None
    outside: str = ""
    settled: bool = False
    kept: bool = False


class Unit(Struct, frozen=True):
    """What assessing one case takes, and nothing else.

    folder   the case folder, from the root
    outside  what is known of it from outside, as bytes; unless the worker is to look itself
    program  digest of the program that asks; a worker that is another refuses
    root     the repository, for a worker on this machine; else empty
    case, bench  the bytes of the case and of the organisation's folder, for a worker that sees no disk of ours; the
                 second is None where there is no such folder
    beside   what else is to be done with the assessment; only for a worker on this machine
    asking   how the worker looks itself; only for one on this machine
    """

    folder: str
    on: dt.date
    outside: bytes
    program: str
    root: str = ""
    case: tuple[TreeFile, ...] = ()
    bench: tuple[TreeFile, ...] | None = None
    beside: Beside | None = None
    asking: Asking | None = None


def carry_out(unit: Unit) -> bytes:
    """Assess the case of a unit; the assessment as bytes. Raises OtherProgram."""
    return carry_on(unit).data


def carry_on(unit: Unit) -> Came:
    """Assess the case of a unit, and do what is to be done beside. Raises OtherProgram."""
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


@contextmanager
def lent(shared: Repository) -> Iterator[None]:
    """For as long, processes that begin as copies of this one find the repository as it was read here."""
    shared.chronicle.read_ahead()
    _ = shared.tags
    # What this process needs later too is made once for all.
    ready_to_pack()
    rules.discover()
    _LENT.append(shared)
    try:
        yield
    finally:
        _LENT.remove(shared)


_LENT: list[Repository] = []


def _opened(root: str) -> Repository:
    return next((one for one in reversed(_LENT) if str(one.root) == root), None) or _read_here(root)


@lru_cache(maxsize=1)
def _read_here(root: str) -> Repository:
    # Workers live as long as one run, so what lies beside the cases is read once.
    return open_repository(Path(root))


def _carry_out(shared: Repository, unit: Unit) -> Came:
    reading = intake.read_case(shared.root, shared.root / unit.folder, shared.bench, shared.known)
    if unit.asking is None:
        found = assessed(shared, reading, unit.on, read_outside(unit.outside))
        return Came(pack(found), _beside(shared, unit, found))
    case = reading.case
    outside = Outside() if case is None else look_outside(shared, case, unit.on, unit.asking.history)
    digest = ""
    if unit.asking.tree:
        digest = outside_digest(outside)
        keys = Keys(shared, unit.asking.bench, unit.on, unit.asking.history)
        name = keys.assessment(unit.folder, unit.asking.tree, digest)
        data = unit.asking.store.get(ASSESSMENT, name) if unit.asking.store is not None else None
        if data is not None and _is_one(data):
            # What was made of it beside is kept too, or is made where it is wanted.
            return Came(data, None, digest, settled(outside, shared), kept=True)
    found = assessed(shared, reading, unit.on, outside)
    return Came(pack(found), _beside(shared, unit, found), digest, settled(outside, shared))


def _beside(shared: Repository, unit: Unit, found: Assessment) -> Any:
    return unit.beside(shared, found) if unit.beside is not None else None


def _is_one(data: bytes) -> bool:
    try:
        unpack(data)
    except ValueError:
        return False
    return True


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
