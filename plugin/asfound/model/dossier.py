"""The Dossier: everything that was read and computed, once, frozen; every output takes it and nothing else.

Format 1. `core` is what digests and editions are about; `history` is what git tells; `made_with` names the
versions that had a say. Readers of old formats are kept for ever: see `read_dossier`.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from asfound.model.approval import SIGNING_RULES, Approval
from asfound.model.bench import Instrument, Settings
from asfound.model.case import Case
from asfound.model.duties import Duties
from asfound.model.edition import EDITION_RULES
from asfound.model.layout import KEPT_APART
from asfound.model.limits import Caution, Limit, Protocol
from asfound.model.past import PAST_RULES, Past
from asfound.model.placing import Placing
from asfound.model.verdict import Coverage, Result, Verdict
from asfound.model.weighing import Weighing
from asfound.model.worked import Worked
from asfound.problems import Level, Problem, Span

FORMAT = 1


@dataclass(frozen=True, slots=True)
class SetHead:
    """A limit set that was used, without its limits."""

    set: str
    title: str
    document: str
    edition: str
    jurisdiction: str


@dataclass(frozen=True, slots=True)
class Digests:
    """SHA-256 of the case (canonical form, version 1) and of the limits it was held against."""

    case: str
    limits: str


@dataclass(frozen=True)
class Core:
    """What was read and what was computed from it; a pure function of bytes, limits and `on`."""

    on: dt.date
    case: Case
    organisation: Settings
    instruments: dict[str, Instrument]
    protocols: dict[str, Protocol]
    sets: dict[str, SetHead]
    limits: dict[str, Limit]
    cautions: dict[str, Caution]
    verdicts: tuple[Verdict, ...]
    results: tuple[Result, ...]
    coverage: tuple[Coverage, ...]
    problems: tuple[Problem, ...]
    digests: Digests
    places: dict[str, Span]
    format: int = FORMAT
    approvals: tuple[Approval, ...] = ()
    weighing: Weighing | None = None
    placing: Placing = field(default_factory=Placing)
    worked: tuple[Worked, ...] = ()


@dataclass(frozen=True, slots=True)
class MadeWith:
    """Versions that had a say in the result."""

    asfound: str
    tzdata: str
    holidays: str


@dataclass(frozen=True)
class Dossier:
    """A case, read and computed.

    `duties` are the facility's own: they are never written with the rest, and a dossier that was read has none.
    """

    core: Core
    history: Past = field(default_factory=Past)
    made_with: MadeWith = field(default_factory=lambda: MadeWith("", "", ""))
    duties: Duties = field(default_factory=Duties, compare=False)

    @property
    def id(self) -> str:
        """The case's identity."""
        return self.core.case.id

    def count(self, level: Level) -> int:
        """How many problems weigh so much."""
        return sum(1 for problem in self.core.problems if problem.level is level)


_APART: Any = {"problems": {"__all__": {"about"}}}
"""By what hosts know a problem again: no part of what is written down, signed or issued."""

_ADAPTER: TypeAdapter[Dossier] | None = None


def _adapter() -> TypeAdapter[Dossier]:
    # Built at first use: a third of a second that most commands never need.
    global _ADAPTER
    if _ADAPTER is None:
        _ADAPTER = TypeAdapter(Dossier)
    return _ADAPTER


def dossier_json(dossier: Dossier) -> str:
    """The dossier as JSON: sorted keys, a final line end; the same dossier gives the same bytes. Without the duties."""
    data = _adapter().dump_python(dossier, mode="json", exclude={"duties": True, "core": _APART})
    return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def ready_to_pack() -> None:
    """Make what packing and unpacking need, which takes a while, before this process is copied."""
    _packing()


@cache
def _packing() -> TypeAdapter[tuple[Dossier, Duties]]:
    return TypeAdapter(tuple[Dossier, Duties])


def pack_dossier(dossier: Dossier) -> bytes:
    """The dossier with its duties as JSON for a reader of this very version: what it holds stays in its order.

    For what is handed from one process to another; what is kept for years is `dossier_json`.
    """
    return _packing().dump_json((dossier, dossier.duties), exclude={0: {"duties"}})


def unpack_dossier(data: bytes) -> Dossier:
    """What `pack_dossier` made. Raises ValueError."""
    dossier, duties = _packing().validate_json(data)
    return replace(dossier, duties=duties)


def core_json(core: Core) -> str:
    """The core alone, in the form its digest is taken of."""
    data = TypeAdapter(Core).dump_python(core, mode="json", exclude=_APART)
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


CORE_DIGEST = "asfound core digest 1"
_SAID_AFTERWARDS = SIGNING_RULES | EDITION_RULES | PAST_RULES


def core_digest(core: Core) -> str:
    """Digest of what is signed and issued: SHA-256 of the line `asfound core digest 1`, then the core's JSON.

    Approvals, and what rules say of signatures, editions and the history, are left out: a core with its approvals has
    the digest it was approved with, and so has the core an edition holds, whatever a clone knows of the history.
    What is said of files in `approvals/` and `editions/` is left out for the same reason.
    """
    return frozen_core_digest(json.loads(core_json(core)))


def frozen_core_digest(core: dict[str, Any]) -> str:
    """The same digest of a core as a written dossier holds it, without reading it as one.

    So it stays what it was when later versions give the core further fields.
    """
    apart = tuple(f"{core['case']['folder']}/{name}/" for name in KEPT_APART)
    said = [
        problem
        for problem in core["problems"]
        if problem["rule"] not in _SAID_AFTERWARDS and not problem["span"]["path"].startswith(apart)
    ]
    bare = core | {"approvals": [], "problems": said}
    text = json.dumps(bare, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(f"{CORE_DIGEST}\n{text}".encode()).hexdigest()


def _read_1(data: dict[str, Any]) -> Dossier:
    return _adapter().validate_python(data)


READERS: dict[int, Callable[[dict[str, Any]], Dossier]] = {1: _read_1}
"""One reader per format, kept for ever."""


def read_dossier(text: str) -> Dossier:
    """Read a dossier of any format there ever was.

    Raises ValueError, with the formats known, for a text that is not one.
    """
    try:
        data = json.loads(text)
        version = data["core"]["format"]
    except (ValueError, KeyError, TypeError) as error:
        raise ValueError(f"this is not a dossier: {error}") from error
    reader = READERS.get(version) if type(version) is int else None
    if reader is None:
        known = ", ".join(str(number) for number in sorted(READERS))
        raise ValueError(f"the dossier has format {version!r}; this program reads {known}")
    return reader(data)


def limits_json(limits: Mapping[str, Limit], protocols: Mapping[str, Protocol]) -> str:
    """The limits that spoke and the protocols in reach, in the form their digest is taken of."""
    data = {
        "limits": {name: limit.model_dump(mode="json") for name, limit in limits.items()},
        "protocols": {name: protocol.model_dump(mode="json") for name, protocol in protocols.items()},
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
