"""Approving a case: everything that stands against it, the statement, the signature, and both files or none."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

from msgspec import Struct

from asfound import intake, seal
from asfound.assess.approvals import FOLDER, statement_for
from asfound.assess.repository import SIGNERS, Repository, open_repository
from asfound.assess.run import assess_case
from asfound.model.approval import NAMESPACE, Approval, ApprovalStatement
from asfound.model.bench import SignerRole
from asfound.model.dossier import Dossier
from asfound.model.layout import BENCH
from asfound.problems import Level, Problem
from asfound.seal import ApprovalFile, PublicKey, Signer, SshFault

SETTLED_BY_SIGNING = frozenset(("approval-signer-unknown", "exception-unauthorised", "reviewer-signed-own-work"))
"""Rejects that another signature is the cure of; they do not stand in its way."""


class Approving(Struct, frozen=True):
    """An approval before it is signed.

    folder     the case folder, from the root
    reasons    everything that stands against it, a clause each; where there is one, nothing is signed
    statement  what would be signed; None where it is not known who signs, or the case cannot be read
    key        the file to sign with; None where none was found
    left       name of a statement that a stopped run did not come to write, whose signature lies there; else empty
    stands     path of an approval by the same signer in the same role that speaks of the case as it stands; else empty
    """

    folder: str
    reasons: tuple[str, ...]
    statement: ApprovalStatement | None = None
    key: Path | None = None
    stands: str = ""
    left: str = ""


class _Who(Struct, frozen=True):
    """Who signs, with which file; `against` says why nobody can."""

    line: Signer | None = None
    key: Path | None = None
    against: tuple[str, ...] = ()


def prepare_approval(
    root: Path,
    folder: Path,
    on: dt.date,
    role: SignerRole,
    key: Path | None = None,
    signer: str | None = None,
    keys: Path | None = None,
) -> Approving:
    """What would be signed, and every reason against it. Writes nothing and opens no private key.

    Without `key` the one public key of a signer who may sign in this role is looked for in the folder `keys`.
    """
    shared = open_repository(root)
    found = assess_case(shared.root, folder, on, shared)
    who = _who(shared, role, key, signer, keys)
    if found.dossier is None:
        return Approving(found.folder, (*_rejects((*shared.problems, *found.problems)), *who.against))
    name = who.line.name if who.line else signer
    statement = statement_for(found.dossier, role, name) if name else None
    left = _left_behind(shared, found.folder, statement) if statement is not None else ""
    completed = f"{found.folder}/{FOLDER}/{left}"
    problems = (one for one in found.problems if not left or one.span.path != completed)
    against: list[str] = [*_rejects((*shared.problems, *problems)), *who.against]
    if found.dossier.core.case.open:
        against.append("the case is open; set its stage to in review in case.yml once it is ready")
    stands = ""
    if who.line is not None:
        against += _against_signer(shared, who.line, role, on)
        against += _against_both(found.dossier, who.line, role)
        mine = [one for one in _current(found.dossier, role) if one.signer == name]
        stands = mine[-1].path if mine else ""
    return Approving(found.folder, tuple(dict.fromkeys(against)), statement, who.key, stands, left)


def sign_approval(root: Path, prepared: Approving) -> tuple[str, str]:
    """Sign a prepared approval and write it; the paths of statement and signature, from the root.

    A signature that an earlier run left behind without its statement is used where it is of this very statement. What
    was made is checked as a reader will check it before it is written. Raises ValueError where something stands
    against it, SshFault where it cannot be signed, OSError where it cannot be written; then nothing new stands there.
    """
    statement = prepared.statement
    if prepared.reasons or statement is None or prepared.key is None:
        raise ValueError("an approval with reasons against it is never signed")
    shared = open_repository(root)
    place = shared.root / prepared.folder / FOLDER
    text = statement.text().encode("utf-8")
    if prepared.left:
        seal.write_approval(place, prepared.left, text, (place / f"{prepared.left}.sig").read_bytes())
        return _paths(prepared.folder, prepared.left)
    name = seal.name_of(statement, seal.next_number(_names(place)))
    signature = seal.sign(text, prepared.key, NAMESPACE)
    why = _fault(shared, statement, name, text, signature)
    if why:
        raise SshFault(f"the signature that was made would not be accepted: {why}")
    seal.write_approval(place, name, text, signature)
    return _paths(prepared.folder, name)


def _names(place: Path) -> list[str]:
    return sorted(one.name for one in place.iterdir()) if place.is_dir() else []


def _left_behind(shared: Repository, folder: str, statement: ApprovalStatement) -> str:
    """The name under which a signature of this very statement lies without it; empty where there is none."""
    place = shared.root / folder / FOLDER
    text = statement.text().encode("utf-8")
    names = _names(place)
    for found in names:
        name = found.removesuffix(".sig")
        if found == name or name in names or name != seal.name_of(statement, seal.number_of(name)):
            continue
        signature = intake.read_bytes(shared.root, f"{folder}/{FOLDER}/{found}").data
        if signature is not None and not _fault(shared, statement, name, text, signature):
            return name
    return ""


def _fault(shared: Repository, statement: ApprovalStatement, name: str, text: bytes, signature: bytes) -> str:
    roles = {signer: [str(role) for role in given] for signer, given in shared.bench.roles.signers.items()}
    file = ApprovalFile(f"{FOLDER}/{name}", text, signature)
    return seal.read_approval(file, shared.signers, roles, statement.case, statement.on).why


def _paths(folder: str, name: str) -> tuple[str, str]:
    return f"{folder}/{FOLDER}/{name}", f"{folder}/{FOLDER}/{name}.sig"


def _rejects(problems: Iterable[Problem]) -> Iterator[str]:
    return (
        problem.headline().rstrip(".")
        for problem in problems
        if problem.level is Level.REJECT and problem.rule not in SETTLED_BY_SIGNING
    )


def _current(dossier: Dossier, role: SignerRole) -> list[Approval]:
    return [one for one in dossier.core.approvals if one.verified and one.current and one.role == role.value]


def _against_signer(shared: Repository, line: Signer, role: SignerRole, on: dt.date) -> Iterator[str]:
    if not line.counts(on):
        yield f'{line.span}: the key of "{line.name}" does not count on {on}'
    if role not in shared.bench.roles.signers.get(line.name, ()):
        yield (
            f'"{line.name}" may not sign as {role}; '
            f"{BENCH}/roles.yml says under signers who may, such as {line.name}: [{role}]"
        )


def _against_both(dossier: Dossier, line: Signer, role: SignerRole) -> Iterator[str]:
    """Nobody reviews their own work, but where there is nobody else: then the report says so."""
    if dossier.core.organisation.two_person_shop:
        return
    other = SignerRole.EXAMINER if role is SignerRole.REVIEWER else SignerRole.REVIEWER
    for one in _current(dossier, other):
        if one.signer == line.name:
            yield f'"{line.name}" has signed this case as {other} ({one.path}); somebody else has to sign as {role}'


def _who(shared: Repository, role: SignerRole, key: Path | None, signer: str | None, keys: Path | None) -> _Who:
    if not shared.signers.kept:
        said = 'a line in it reads: examiner-1 namespaces="approval@asfound" and the first two words of a .pub file'
        return _Who(against=(f"there is no {SIGNERS}, so that nobody may sign; {said}",))
    if signer is not None and not shared.signers.of(signer):
        return _Who(against=(f'no key of "{signer}" is listed in {SIGNERS}',))
    if key is not None:
        return _with_key(shared, key, signer)
    lines = [
        line
        for line in shared.signers.lines
        if line.name == signer or (signer is None and role in shared.bench.roles.signers.get(line.name, ()))
    ]
    held = seal.public_keys(keys) if keys is not None else ()
    found = [(line, place) for place, known in held for line in lines if line.key == known]
    if len(found) == 1:
        return _Who(*found[0])
    if found:
        names = ", ".join(place.name for _, place in found)
        return _Who(against=(f"more than one of your keys could sign ({names}); name one with --key",))
    wanted = f'"{signer}"' if signer else f"a signer who may sign as {role}"
    line = lines[0] if signer and len(lines) == 1 else None
    return _Who(line, None, (f"no key of {wanted} was found among yours; name its file with --key",))


def _with_key(shared: Repository, key: Path, signer: str | None) -> _Who:
    try:
        known: PublicKey = seal.public_key(key)
    except SshFault as error:
        return _Who(against=(str(error),))
    line = shared.signers.owner(known)
    if line is None:
        return _Who(against=(f"the key {known.fingerprint} is not listed in {SIGNERS}",))
    if signer is not None and line.name != signer:
        return _Who(against=(f'the key is that of "{line.name}", not of "{signer}"',))
    return _Who(line, key)
