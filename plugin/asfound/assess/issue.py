"""Issuing an edition: every reason against it, the frozen dossier, and the folder that appears whole or not at all."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from msgspec import Struct

from asfound import intake
from asfound.assess.committed import not_committed
from asfound.assess.editions import issued
from asfound.assess.repository import Repository, open_repository
from asfound.assess.run import again, assess, assess_case, made_with
from asfound.compare import Issued, differences, in_words
from asfound.model.approval import Approval
from asfound.model.case import Case
from asfound.model.dossier import Core, Dossier, core_digest, dossier_json
from asfound.model.edition import (
    DOSSIER_FILE,
    EDITION_FILE,
    EDITION_RULES,
    FOLDER,
    PRESERVATION,
    REPORT,
    ApprovalRef,
    EditionRecord,
)
from asfound.problems import Level, Problem


class Prepared(Struct, frozen=True):
    """An edition before it is written.

    reasons  everything that stands against it, a clause each; where there is one, nothing is written
    folder   the case folder, from the root
    """

    folder: str
    reasons: tuple[str, ...]
    record: EditionRecord | None = None
    dossier: str = ""

    @property
    def place(self) -> str:
        """The folder of the edition, from the root."""
        assert self.record is not None
        return f"{self.folder}/{FOLDER}/{self.record.number}"


def prepare_edition(root: Path, folder: Path, on: dt.date, reason: str = "", preservation: bool = False) -> Prepared:
    """What an edition issued on that day would be, and every reason against it. Writes nothing.

    A report is frozen as of the date its approvals were given for, so that what is issued is what was signed.
    """
    shared = open_repository(root)
    first = assess_case(shared.root, folder, on, shared)
    if first.dossier is None:
        return Prepared(first.folder, tuple(_rejects(first.problems)))
    before = editions_of(shared, first.folder)
    approvals: tuple[Approval, ...] = ()
    if preservation:
        dossier = preserved(shared, folder.resolve(), on)
        against = tuple(_against_preservation(dossier.core.case, before))
    else:
        approvals, against = _approvals(first.dossier.core)
        signed = max((one.statement.on for one in approvals if one.statement), default=on)
        then = first if signed == on else assess_case(shared.root, folder, signed, shared)
        assert then.dossier is not None
        dossier = then.dossier
        if approvals and core_digest(dossier.core) not in {
            one.statement.core_digest for one in approvals if one.statement
        }:
            against += ("what is computed now is not what was approved; approve the case again",)
        if dossier.core.case.open:
            against += ("the case is open; set its stage to in review in case.yml once it is ready",)
    frozen = Dossier(_settled(dossier.core), made_with=made_with())
    record, text = _edition(frozen, on, reason, preservation, before, approvals)
    # Who may review rests on who wrote, and that stands in the history; it is asked here, and frozen nowhere.
    proved = assess_case(shared.root, folder, on, shared, history=True).problems if not preservation else ()
    reasons = (
        *_rejects((*shared.problems, *shared.signers.expired(on), *dossier.core.problems, *proved)),
        *against,
        *_against_amendment(record, before),
        *not_committed(shared, first.folder),
    )
    return Prepared(first.folder, tuple(dict.fromkeys(reasons)), record, text)


def editions_of(shared: Repository, folder: str) -> tuple[Issued, ...]:
    """Every edition of the case at `folder` (from the root), oldest first, from its frozen dossier."""
    return issued(shared, folder, again)


def _rejects(problems: Iterable[Problem]) -> Iterator[str]:
    return (problem.headline().rstrip(".") for problem in problems if problem.level is Level.REJECT)


def _approvals(core: Core) -> tuple[tuple[Approval, ...], tuple[str, ...]]:
    """The approvals an edition may rest on, and what is wrong with those it lacks."""
    found: list[Approval] = []
    against: list[str] = []
    for role in ("examiner", "reviewer"):
        mine = [one for one in core.approvals if one.role == role]
        good = [one for one in mine if one.verified and one.current]
        if good:
            found.append(good[-1])
        elif role == "reviewer" and core.organisation.two_person_shop and not mine:
            # The edition is then marked as not reviewed.
            continue
        elif mine:
            last = mine[-1]
            # A file that is one record bears its name twice.
            changed = ", ".join(dict.fromkeys((*last.changed, *last.files))) if last.verified else ""
            why = last.why or "it no longer speaks of the case as it stands"
            what = f" ({changed})" if changed else ""
            against.append(f"the {role}'s approval {last.path} does not hold: {why}{what}")
        else:
            against.append(
                f"no {role} has approved the case as it stands (asfound approve {core.case.id} --role {role})"
            )
    keys = [one.key for one in found]
    if len(set(keys)) < len(keys):
        against.append("examiner and reviewer signed with one key")
    return tuple(found), tuple(against)


def _against_preservation(case: Case, before: tuple[Issued, ...]) -> Iterator[str]:
    if not case.open:
        yield f"the case is {case.head.stage}; a preservation edition is made while it is open"
    reports = [one.record.number for one in before if one.record.kind == REPORT]
    if reports:
        yield f"edition {reports[0]} is a report already; a preservation edition comes before any"


def _against_amendment(record: EditionRecord, before: tuple[Issued, ...]) -> Iterator[str]:
    if not before:
        return
    if not record.reason:
        yield f"edition {record.number} follows another and needs a reason (--reason)"
    if not record.changes:
        yield f"nothing has changed since edition {before[-1].record.number}"


def preserved(shared: Repository, folder: Path, on: dt.date) -> Dossier:
    """The dossier without anybody's opinion: no findings, no explanations, no conclusion, no summary."""
    reading = intake.read_case(shared.root, folder, shared.bench, shared.known)
    assert reading.case is not None
    opinions = {f"{reading.case.folder}/{name}.yml" for name in ("findings", "explanations", "conclusion")}
    read = [problem for problem in reading.problems if problem.span.path not in opinions]
    return assess(without_opinion(reading.case), reading.places, shared, on, read)


def without_opinion(case: Case) -> Case:
    """A case without findings, explanations, conclusion and summary; its files keep their digests."""
    head = case.head.model_copy(update={"summary": None})
    return replace(case, head=head, findings={}, explanations={}, conclusion=None)


def _settled(core: Core) -> Core:
    """The core without what rules say of editions: that comes after an edition and is no part of it."""
    return replace(core, problems=tuple(one for one in core.problems if one.rule not in EDITION_RULES))


def _edition(
    frozen: Dossier,
    on: dt.date,
    reason: str,
    preservation: bool,
    before: tuple[Issued, ...],
    approvals: tuple[Approval, ...],
) -> tuple[EditionRecord, str]:
    text = dossier_json(frozen)
    last = before[-1] if before else None
    changes = tuple(in_words(one) for one in differences(last.dossier.core, frozen.core)) if last else ()
    refs = tuple(
        ApprovalRef(one.path, one.sha256, one.statement.signer, one.statement.role)
        for one in approvals
        if one.statement
    )
    core = frozen.core
    record = EditionRecord(
        case=core.case.id,
        number=last.record.number + 1 if last else 1,
        kind=PRESERVATION if preservation else REPORT,
        issued_on=on,
        previous=last.record.number if last else 0,
        previous_digest=last.digest if last else "",
        reason=reason.strip(),
        changes=changes,
        approvals=refs,
        case_digest=core.digests.case,
        limits_digest=core.digests.limits,
        core_digest=core_digest(core),
        dossier=hashlib.sha256(text.encode()).hexdigest(),
        made_with=f"asfound {frozen.made_with.asfound}",
    )
    return record, text


def write_edition(root: Path, prepared: Prepared) -> tuple[str, ...]:
    """Write a prepared edition; the paths of its files, from the root.

    Both files are written to a folder under another name and brought to the disk; then the folder takes its name in
    one step. A stop at any moment leaves the edition there whole; or not at all, and then a folder whose name begins
    with a full stop, which no reader looks at and the next issue takes away. Raises ValueError where something stands
    against it, FileExistsError where the number was taken meanwhile, OSError where the disk refuses.
    """
    if prepared.reasons or prepared.record is None:
        raise ValueError("an edition with reasons against it is never written")
    number = prepared.record.number
    home = root / prepared.folder / FOLDER
    home.mkdir(exist_ok=True)
    if home.is_symlink():
        raise NotADirectoryError(f"{prepared.folder}/{FOLDER} is a link")
    place, aside = home / str(number), home / f".{number}.partial"
    if place.exists():
        raise FileExistsError(f"{prepared.place} stands already")
    if aside.exists():
        shutil.rmtree(aside)
    aside.mkdir()
    for name, text in ((DOSSIER_FILE, prepared.dossier), (EDITION_FILE, prepared.record.text())):
        with (aside / name).open("xb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
    _to_disk(aside)
    aside.rename(place)
    _to_disk(home)
    return tuple(f"{prepared.place}/{name}" for name in (DOSSIER_FILE, EDITION_FILE))


def _to_disk(folder: Path) -> None:
    """Bring the names in a folder to the disk, where the system can be asked for that."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
