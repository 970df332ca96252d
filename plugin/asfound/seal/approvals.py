"""Approvals as files: reading and checking one, and writing one so that it is there whole or not at all.

An approval is two files in `approvals/` of a case: the statement, `<role>-<signer>-<n>.json`, and OpenSSH's detached
signature of its bytes, the same name and `.sig`. It signs content, not commits, so it outlives a squash or a rebase.
Anybody can check one with OpenSSH alone::

    ssh-keygen -Y verify -f .asfound/allowed_signers -I examiner-1 -n approval@asfound \
        -s approvals/examiner-examiner-1-1.json.sig < approvals/examiner-examiner-1-1.json

A signature carries no time that anybody vouches for: `on` in the statement is what the signer says.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from msgspec import Struct

from asfound.model.approval import NAMESPACE, Approval, ApprovalFault, ApprovalStatement, read_statement
from asfound.seal.signers import Signers
from asfound.seal.ssh import SshFault, verify
from asfound.seal.sshsig import Claim, Malformed, read_signature

FOLDER = "approvals"
LONGEST = 32 * 1024 * 1024
"""Bytes a statement may have: one for 100 000 readings has about 10 MB."""

_NAME = re.compile(r"(examiner|reviewer)-(.+)-([1-9][0-9]{0,5})\.json")


class ApprovalFile(Struct, frozen=True):
    """A statement and its signature as they lie in the case; None for what is not there.

    path  the statement's, below the case folder
    """

    path: str
    statement: bytes | None
    signature: bytes | None


def number_of(path: str) -> int:
    """The number in an approval's name; 0 for a name that is none. Numbers run through all roles of a case."""
    found = _NAME.fullmatch(path.rpartition("/")[2])
    return int(found.group(3)) if found else 0


def name_of(statement: ApprovalStatement, number: int) -> str:
    """The name of an approval's statement."""
    return f"{statement.role}-{statement.signer}-{number}.json"


def read_approval(
    file: ApprovalFile, signers: Signers, roles: Mapping[str, Collection[str]], case: str, on: dt.date
) -> Approval:
    """Read and check one approval, in the order of the numbers below. Never raises; `current` is for others to find.

    1 it is a statement, of this case, under its own name; 2 a signature is there and can be read; 3 it was made for
    approvals; 4 it is of these bytes; 5 the key is one of the signer's; 6 it counts on the day; 7 the signer may sign
    in this role.
    """
    found = Approval(
        file.path,
        None,
        _sha256(file.statement),
        "",
        verified=False,
        current=False,
        signature_sha256=_sha256(file.signature),
    )
    try:
        statement = _statement(file, case)  # 1
        found = replace(found, statement=statement)
        claim = _claim(file.signature)  # 2
        found = replace(found, key=claim.key.fingerprint)
        _same_use(claim)  # 3
        assert file.statement is not None and file.signature is not None
        try:
            said = verify(file.statement, file.signature, statement.signer, claim.key, NAMESPACE)  # 4
        except SshFault as error:
            raise _Bad(f"the signature could not be checked, since {error}") from None
        if said:
            raise _Bad(said)
    except _Bad as bad:
        return replace(found, why=str(bad), fault=ApprovalFault.UNVERIFIED)
    why = _signer_fault(statement, claim, signers, roles, on)  # 5, 6, 7
    if why:
        return replace(found, why=why, fault=ApprovalFault.SIGNER)
    return replace(found, verified=True)


class _Bad(Exception):
    """What stands against an approval, as a clause."""


def _statement(file: ApprovalFile, case: str) -> ApprovalStatement:
    named = _NAME.fullmatch(file.path.removeprefix(f"{FOLDER}/"))
    if named is None:
        raise _Bad("its name is not that of a statement, such as examiner-<signer>-1.json")
    if file.statement is None:
        raise _Bad("a signature lies here without a statement that can be read")
    try:
        statement = read_statement(file.statement.decode("utf-8"))
    except UnicodeDecodeError:
        raise _Bad("the statement is not text in UTF-8") from None
    except ValueError as error:
        if b"\r\n" in file.statement:
            raise _Bad(
                "the line ends of the statement were changed on its way; approvals/ has to travel as -text"
            ) from None
        raise _Bad(str(error)) from None
    if statement.case != case:
        raise _Bad(f'the statement is about the case "{statement.case}"')
    if named.group(1) != statement.role or named.group(2) != statement.signer:
        raise _Bad(f"the statement is by {statement.signer} as {statement.role}, and its file is named otherwise")
    return statement


def _claim(signature: bytes | None) -> Claim:
    if signature is None:
        raise _Bad("no signature lies beside it")
    try:
        return read_signature(signature)
    except Malformed as error:
        raise _Bad(str(error)) from None


def _same_use(claim: Claim) -> None:
    if claim.namespace != NAMESPACE:
        raise _Bad(f'the signature was made for "{claim.namespace[:40]}", not for an approval')


def _signer_fault(
    statement: ApprovalStatement, claim: Claim, signers: Signers, roles: Mapping[str, Collection[str]], on: dt.date
) -> str:
    if not signers.kept:
        return "the repository does not say whose keys count"
    line = signers.owner(claim.key)
    name = statement.signer
    if line is None:
        return f'the key that signed is not listed for "{name}", nor for anybody'
    if line.name != name:
        return f'the key that signed is that of "{line.name}", and the statement is by "{name}"'
    if not line.counts(on):
        bound = f"until {line.before}" if line.before is not None and line.before < on else f"from {line.after}"
        return f'the key of "{name}" counts {bound}, and this is assessed on {on}'
    if statement.role not in roles.get(name, ()):
        return f'"{name}" may not sign as {statement.role}'
    return ""


def _sha256(data: bytes | None) -> str:
    return "" if data is None else hashlib.sha256(data).hexdigest()


# Writing


class Written(Struct, frozen=True):
    """Where an approval came to lie."""

    statement: Path
    signature: Path


def next_number(names: Iterable[str]) -> int:
    """The number after the highest in use, whether by a statement or by a signature alone."""
    return 1 + max((number_of(name.removesuffix(".sig")) for name in names), default=0)


def write_approval(folder: Path, name: str, statement: bytes, signature: bytes) -> Written:
    """Write both files below `folder`, each under a temporary name first, flushed to disk, then renamed.

    The signature is renamed before the statement: a statement that stands is signed, and a run that was stopped in
    between leaves at most a signature, which a second run completes. Raises FileExistsError where the statement stands
    already, and OSError where it cannot be written; what was there stays as it was.
    """
    folder.mkdir(exist_ok=True)
    if folder.is_symlink():
        raise FileExistsError(f"{folder.name} is a link to another place")
    final, signed = folder / name, folder / f"{name}.sig"
    if os.path.lexists(final):
        raise FileExistsError(f"{name} stands there already")
    alone = os.path.lexists(signed)
    halves = [(_temporary(signed), signed, signature), (_temporary(final), final, statement)]
    try:
        for temporary, _, data in halves:
            _write(temporary, data)
        for temporary, place, _ in halves:
            temporary.replace(place)
        _flush(folder)
    finally:
        for temporary, _, _ in halves:
            temporary.unlink(missing_ok=True)
        if not alone and not os.path.lexists(final):
            signed.unlink(missing_ok=True)
    return Written(final, signed)


def _temporary(place: Path) -> Path:
    # Readers of a case pass over names that begin so, should a stop leave one behind.
    return place.with_name(f".~lock-{place.name}")


def _write(place: Path, data: bytes) -> None:
    place.unlink(missing_ok=True)
    with place.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _flush(folder: Path) -> None:
    """Flush the names themselves, where the system can."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
