"""The editions of a case as they lie in `editions/`: read, held against their digests, and never computed again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct, structs

from asfound import intake, rules
from asfound.assess.repository import Frozen, Repository
from asfound.assess.tags import KnownTags
from asfound.model.approval import SIGNING_RULES, read_statement
from asfound.model.case import Places
from asfound.model.dossier import Core, Dossier, frozen_core_digest, read_dossier
from asfound.model.edition import (
    DOSSIER_FILE,
    EDITION_FILE,
    EDITION_FILES,
    EDITION_RULES,
    FOLDER,
    EditionFact,
    EditionRecord,
    Editions,
    edition_number,
    read_edition,
)
from asfound.model.past import PAST_RULES
from asfound.problems import Problem

if TYPE_CHECKING:
    from asfound.compare import Difference, Issued

Again = Callable[[Dossier, Repository, Places, Iterable[Problem]], Core]
"""Computes and asks the rules of a frozen case: the dossier, the repository as its organisation then stood, where its
records stood, and what its readers said."""

MOST = 256 * 1_048_576
"""The largest file of an edition that is read, in bytes."""

_NOT_ASKED_AGAIN = SIGNING_RULES | EDITION_RULES | PAST_RULES
"""Rules that rest on more than the records: on signatures, editions, or what git told at the time."""


class Lying(Struct, frozen=True):
    """The files of one edition, as they lie there. `odd` are names that belong to no edition."""

    number: int
    files: dict[str, bytes]
    odd: tuple[str, ...] = ()


def lying(root: Path, folder: str) -> tuple[tuple[Lying, ...], tuple[str, ...]]:
    """Every edition of a case folder by number, and the names in `editions/` that belong to none.

    A name that begins with a full stop is what an interrupted issue left behind, and is passed over.
    """
    home = root / folder / FOLDER
    found, strange = [], []
    for name in _names(home):
        number = edition_number(name)
        place = home / name
        if number is None or place.is_symlink() or not place.is_dir():
            strange.append(name)
            continue
        names = _names(place)
        files = {}
        for one in EDITION_FILES:
            data = intake.read_bytes(root, f"{folder}/{FOLDER}/{name}/{one}", MOST).data if one in names else None
            if data is not None:
                files[one] = data
        found.append(Lying(number, files, tuple(one for one in names if one not in EDITION_FILES)))
    return tuple(sorted(found, key=lambda one: one.number)), tuple(strange)


def _names(place: Path) -> list[str]:
    try:
        return sorted(one.name for one in place.iterdir() if not one.name.startswith("."))
    except OSError:
        return []


def read_editions(shared: Repository, folder: str, case: str, tags: KnownTags, again: Again | None = None) -> Editions:
    """The editions of a case and what is found of each. Raises nothing for what people wrote.

    `again`, where it is given, asks today's rules of the newest edition.
    """
    here, strange = lying(shared.root, folder)
    found = []
    for one in here:
        record, why = _record(one.files.get(EDITION_FILE))
        fact = EditionFact(
            one.number,
            record,
            _sha256(one.files.get(EDITION_FILE, b"")) if EDITION_FILE in one.files else "",
            why,
            tuple(_against(shared.root, folder, case, one, record)),
            tags.on_main.get(one.number),
            tags.of_edition.get(one.number, ()),
        )
        found.append(fact)
        strange += tuple(f"{one.number}/{name}" for name in one.odd)
    # Asked though nothing lies there: who takes away all editions must not go unseen.
    lost = {number: name for number, name in tags.named.items() if number not in {one.number for one in here}}
    otherwise: tuple[str, ...] = ()
    if again is not None and found and not found[-1].altered and found[-1].record is not None:
        frozen = _frozen(here[-1].files[DOSSIER_FILE], found[-1].record, shared, again)
        if frozen is not None:
            # What compares is loaded where an edition lies: most cases at the bench have none.
            from asfound.compare import in_words

            otherwise = tuple(in_words(one) for one in frozen.otherwise)
    return Editions(tuple(found), strange, tags.known, dict(sorted(lost.items())), otherwise)


def issued(shared: Repository, folder: str, again: Again) -> tuple[Issued, ...]:
    """Every edition that can be shown, oldest first, each with what today's rules say otherwise.

    One that was altered is not shown as an edition; the rules say what is wrong with it.
    """
    from asfound.compare import Issued

    found = []
    for one in lying(shared.root, folder)[0]:
        record, _ = _record(one.files.get(EDITION_FILE))
        if record is None or any(_against(shared.root, folder, record.case, one, record)):
            continue
        frozen = _frozen(one.files[DOSSIER_FILE], record, shared, again)
        if frozen is not None:
            found.append(Issued(record, frozen.dossier, _sha256(one.files[EDITION_FILE]), frozen.otherwise))
    return tuple(found)


def _frozen(data: bytes, record: EditionRecord, shared: Repository, again: Again) -> Frozen | None:
    """The dossier of an edition, read and asked about once for all who want it."""
    known = shared.frozen.get(record.dossier)
    if known is None:
        try:
            dossier = read_dossier(data.decode("utf-8"))
        except ValueError:
            return None
        known = shared.frozen[record.dossier] = Frozen(dossier, today(dossier, shared, again))
    return known


def today(dossier: Dossier, shared: Repository, again: Again) -> tuple[Difference, ...]:
    """What the rules, limits and arithmetic of today say otherwise of a frozen dossier.

    Reading is not done again: what the readers said then stands. Rules that rest on signatures or on git are left out.
    """
    from asfound.compare import Area, differences

    core = dossier.core
    asked = {rule.entry.name for rule in rules.discover()}
    read = [problem for problem in core.problems if problem.rule not in asked]
    then = structs.replace(
        shared, bench=structs.replace(shared.bench, instruments=core.instruments, settings=core.organisation)
    )
    now = again(dossier, then, Places({}, {}, core.places), read)
    told = (Area.VERDICT, Area.RESULT, Area.LIMIT, Area.PROBLEM)
    return tuple(one for one in differences(core, now) if one.area in told and one.beside not in _NOT_ASKED_AGAIN)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _record(data: bytes | None) -> tuple[EditionRecord | None, str]:
    if data is None:
        return None, f"{EDITION_FILE} is missing or cannot be read"
    try:
        return read_edition(data.decode("utf-8")), ""
    except ValueError as error:
        if b"\r\n" in data:
            return None, "its line ends were changed, as a checkout may do"
        return None, str(error) if not isinstance(error, UnicodeDecodeError) else "this is no edition"


def _against(root: Path, folder: str, case: str, one: Lying, record: EditionRecord | None) -> Iterable[str]:
    """What stands against an edition's being the one that was issued."""
    if record is None:
        return
    if (record.case, record.number) != (case, one.number):
        yield f"it says of itself that it is edition {record.number} of {record.case}"
    data = one.files.get(DOSSIER_FILE)
    if data is None:
        yield f"{DOSSIER_FILE} is missing or cannot be read"
        return
    if _sha256(data) != record.dossier:
        plain = _sha256(data.replace(b"\r\n", b"\n")) == record.dossier
        how = "line ends were changed, as a checkout may do" if plain else f"digest is {_sha256(data)[:12]}…"
        yield f"the frozen dossier was changed: its {how}"
        return
    core = _core(data)
    if core is None:
        yield "the frozen dossier cannot be read"
        return
    digests = core.get("digests", {})
    if (digests.get("case"), digests.get("limits")) != (record.case_digest, record.limits_digest):
        yield "the digests of case and limits are not those of the frozen dossier"
    if frozen_core_digest(core) != record.core_digest:
        yield "the digest of the core is not that of the frozen dossier"
    yield from _approvals(root, folder, record)


def _core(data: bytes) -> dict[str, Any] | None:
    try:
        core = json.loads(data)["core"]
        whole = isinstance(core["digests"], dict) and all(isinstance(one["rule"], str) for one in core["problems"])
        return core if whole else None
    except (ValueError, KeyError, TypeError, RecursionError):
        return None


def _approvals(root: Path, folder: str, record: EditionRecord) -> Iterable[str]:
    signed = set()
    for one in record.approvals:
        data = intake.read_bytes(root, f"{folder}/{one.path}", MOST).data
        if data is None:
            yield f"the approval {one.path}, on which it rests, is missing"
            continue
        if _sha256(data) != one.sha256:
            yield f"the approval {one.path}, on which it rests, was changed"
            continue
        try:
            statement = read_statement(data.decode("utf-8"))
        except ValueError:
            yield f"the approval {one.path}, on which it rests, cannot be read"
            continue
        if (statement.case, statement.case_digest) != (record.case, record.case_digest):
            yield f"the approval {one.path} speaks of another state of the case"
        if (statement.role, statement.signer) != (one.role, one.signer):
            yield f"the approval {one.path} is not by {one.signer} as {one.role}"
        signed.add(statement.core_digest)
    if record.approvals and record.core_digest not in signed:
        yield "no approval was given for the dossier it holds"
