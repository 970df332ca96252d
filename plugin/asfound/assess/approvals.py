"""Approvals of a case: what is signed, and what a signature still says of the case as it stands today."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property

from msgspec import Struct

from asfound import intake, seal
from asfound.assess.record_digests import SETTINGS, bench_digests, record_digests
from asfound.assess.repository import Repository
from asfound.model.approval import (
    Approval,
    ApprovalStatement,
    LiftedRule,
    Signing,
)
from asfound.model.bench import Instrument, Settings, SignerRole
from asfound.model.case import Case
from asfound.model.dossier import Digests, Dossier, core_digest
from asfound.model.walk import walk_case
from asfound.problems import Span

FOLDER = "approvals"


class Standing(Struct, frozen=True, dict=True):
    """The case as it stands, in digests; what a signed statement is held against.

    places       where each record stands
    instruments  those that were used
    """

    case: Case
    places: Mapping[str, Span]
    digests: Digests
    instruments: Mapping[str, Instrument]
    settings: Settings

    @cached_property
    def records(self) -> dict[str, str]:
        """Id → digest of every record. Asked for only where the files differ from those that were signed."""
        return record_digests(self.case, self.instruments, self.settings)

    @cached_property
    def bench(self) -> dict[str, str]:
        """The same of what the organisation brings."""
        return bench_digests(self.instruments, self.settings)

    @property
    def files(self) -> dict[str, str]:
        """Path → digest of every file of the case."""
        return {path: fact.sha256 for path, fact in sorted(self.case.files.items())}

    @property
    def exceptions(self) -> tuple[LiftedRule, ...]:
        """Every exception on record, as a signer authorises it."""
        return tuple(
            LiftedRule(ref, exception.rule, exception.subject or "")
            for ref, exception in sorted(self.case.exceptions.items())
        )


def read_approvals(shared: Repository, case: Case, on: dt.date) -> tuple[Approval, ...]:
    """Every approval in the case, checked, in the order in which they were made; how old they are is not yet known."""
    walked = intake.walk_case(shared.root, shared.root / case.folder / FOLDER)
    statements = sorted(
        {path.removesuffix(".sig") for path in walked.paths}, key=lambda path: (seal.number_of(path), path)
    )
    roles = {name: [str(role) for role in given] for name, given in shared.bench.roles.signers.items()}

    def data(path: str) -> bytes | None:
        if path not in walked.paths:
            return None
        return intake.read_bytes(shared.root, walked.at(path), seal.LONGEST).data

    files = (seal.ApprovalFile(f"{FOLDER}/{path}", data(path), data(f"{path}.sig")) for path in statements)
    return tuple(seal.read_approval(file, shared.signers, roles, case.id, on) for file in files)


def signing_of(found: Iterable[Approval], kept: bool, standing: Standing) -> Signing:
    """What the rules are told: which approvals still speak of the case, and which exceptions somebody authorised."""
    approvals = tuple(found)
    aged = tuple(_aged(one, approvals, standing) for one in approvals)
    authorised: dict[str, str] = {}
    refused: dict[str, str] = {}
    for lifted in standing.exceptions:
        for one in reversed(aged):
            if one.statement is None or not one.verified or not _may_authorise(one.statement, standing.settings):
                continue
            why = _no_longer(lifted, one, standing)
            if not why:
                authorised[lifted.exception] = one.statement.role
                break
            refused.setdefault(lifted.exception, why)
    return Signing(kept, aged, authorised, {ref: why for ref, why in refused.items() if ref not in authorised})


def slim(approvals: Iterable[Approval]) -> tuple[Approval, ...]:
    """Approvals as a dossier holds them: the long lists of digests stand in the signed files, which are named."""
    return tuple(
        replace(one, statement=replace(one.statement, files={}, records={}) if one.statement else None)
        for one in approvals
    )


def statement_for(dossier: Dossier, role: SignerRole, signer: str) -> ApprovalStatement:
    """What somebody signs who approves the case as it stands in this dossier."""
    core = dossier.core
    standing = Standing(core.case, core.places, core.digests, core.instruments, core.organisation)
    authorises = role is SignerRole.REVIEWER or core.organisation.two_person_shop
    return ApprovalStatement(
        case=core.case.id,
        role=role.value,
        signer=signer,
        on=core.on,
        case_digest=core.digests.case,
        limits_digest=core.digests.limits,
        core_digest=core_digest(core),
        files=standing.files,
        records=standing.records,
        exceptions=standing.exceptions if authorises else (),
        made_with=f"asfound {dossier.made_with.asfound}",
    )


def _may_authorise(statement: ApprovalStatement, settings: Settings) -> bool:
    return statement.role == SignerRole.REVIEWER.value or settings.two_person_shop


def _aged(one: Approval, among: tuple[Approval, ...], standing: Standing) -> Approval:
    """An approval with what changed since it was signed."""
    number = seal.number_of(one.path)
    later = any(
        other.verified and other.role == one.role and seal.number_of(other.path) > number
        for other in among
        if other is not one
    )
    one = replace(one, superseded=later)
    statement = one.statement
    if statement is None or not one.verified:
        return one
    signed = {ref: digest for ref, digest in statement.records.items() if _of_bench(ref)}
    changed = list(_differing(signed, standing.bench))
    limits = statement.limits_digest != standing.digests.limits
    if statement.case_digest == standing.digests.case:
        if not changed and not limits:
            return replace(one, current=True)
        files: tuple[str, ...] = ()
    else:
        files = tuple(_differing(statement.files, standing.files))
        changed += [
            ref
            for ref in _differing(statement.records, standing.records)
            if not _of_bench(ref) and (ref not in standing.records or _file_of(ref, standing) in files)
        ]
    if files:
        # Which limits and protocols it is held against hangs on the case too, down to whether a file of it can be read.
        more = ", and so did the limits or protocols it is held against"
        why = f"the case changed since{more if limits else ''}"
    elif limits:
        why = "the limits or protocols it is held against changed since"
    else:
        why = "the organisation's instruments or settings changed since"
    return replace(one, why=why, changed=tuple(sorted(changed)), files=files)


def _of_bench(ref: str) -> bool:
    return ref == SETTINGS or ref.startswith("M-")


def _file_of(ref: str, standing: Standing) -> str:
    """The file of the case a record stands in. A record of an unchanged file is unchanged, whichever version looks."""
    span = standing.places.get(ref)
    return ref if span is None else span.path.removeprefix(f"{standing.case.folder}/")


def _differing(signed: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """What was signed and is otherwise now, or gone, or new; sorted."""
    return (name for name in sorted({*signed, *now}) if signed.get(name) != now.get(name))


def _no_longer(lifted: LiftedRule, one: Approval, standing: Standing) -> str:
    """Why an approval does not authorise an exception as it stands; empty where it does.

    An exception is lifted for the case that the signer saw. Nothing that was signed may have changed or gone. What was
    added since may stand only where it does not name the record that the exception is about: a later line of custody
    for another item needs no new signature, one for this item does.
    """
    statement = one.statement
    assert statement is not None
    if lifted not in statement.exceptions:
        return f"{one.path} does not authorise it in these terms"
    if statement.case_digest == standing.digests.case:
        return ""
    records = standing.records
    if statement.records.get(lifted.exception) != records.get(lifted.exception):
        return f"the exception was reworded after {one.path} was signed"
    if not lifted.subject:
        return f"{one.path} lifts it for the case as a whole, which changed since"
    new = {ref for ref in records if ref not in statement.records}
    otherwise = [ref for ref in one.changed if ref not in new and not _of_bench(ref)]
    if otherwise:
        return f"what {one.path} signed changed since: {_few(otherwise)}"
    naming = sorted(
        {spot.where for spot in walk_case(standing.case) if spot.where in new and spot.value == lifted.subject}
    )
    if naming:
        return f"added after {one.path} was signed, and about {lifted.subject}: {_few(naming)}"
    return ""


def _few(refs: list[str]) -> str:
    return ", ".join(refs[:4]) + (f" and {len(refs) - 4} more" if len(refs) > 4 else "")
