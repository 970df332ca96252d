"""Step 7: who signed, held against keys that did not come with the pack."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator

from asfound.model.approval import NAMESPACE, Approval, ApprovalStatement, read_statement
from asfound.model.edition import EDITION_FILE, read_edition
from asfound.pack import alone
from asfound.pack.alone import FAILED, NOT_DONE, PASSED, Bag, Info, Step
from asfound.seal import (
    ApprovalFile,
    Claim,
    Malformed,
    Signers,
    SshFault,
    read_approval,
    read_signature,
    read_signers,
    verify,
)
from asfound.seal.ssh import PROGRAM

_BOTH = ("examiner", "reviewer")
_SIGNED = (
    "signed are the files of the case, the limits and what was computed; report.html, history.json and the words of "
    "edition.json are not, and can only be held against a digest of the pack noted elsewhere"
)
_ANY = dt.date(2000, 1, 1)
"""Taken while the day of a statement is not yet known; nothing is held against it."""


def signatures(bag: Bag, info: Info, signers: Signers | None) -> Step:
    """The approvals that the editions in the pack rest on; of a draft, all that lie in it."""
    files = list(_files(bag, info))
    if not files:
        return Step(7, NOT_DONE, ("nobody signed what is in this pack",))
    if shutil.which(PROGRAM) is None:
        return Step(7, NOT_DONE, (f"{PROGRAM} of OpenSSH is not on this machine", *_claims(files)))
    if signers is None:
        return _bare(files)
    found = _held(files, info, signers)
    return found._replace(said=(*found.said, *_same_list(bag, signers)))


def _same_list(bag: Bag, signers: Signers) -> Iterator[str]:
    """A word where the list might have come with the pack. Whoever got it another way has the very same bytes."""
    name = "data/asfound/allowed_signers"
    if name not in bag.sizes:
        return
    held = read_signers(bag.read(name, alone.MOST_TEXT), name)
    if {(one.name, one.key.blob) for one in held.lines} == {(one.name, one.key.blob) for one in signers.lines}:
        yield "your list of keys has those of the list in the pack; be sure that it came another way"


def _files(bag: Bag, info: Info) -> Iterator[ApprovalFile]:
    """Each approval once: those of editions in their order, or all of a draft's by name."""
    names = [name for name in bag.names if name.startswith("data/approvals/") and name.endswith(".json")]
    if info.edition:
        names = []
        for number in range(1, info.edition + 1):
            record = read_edition(bag.read(f"data/editions/{number}/{EDITION_FILE}", alone.MOST_JSON).decode())
            names += [f"data/{one.path}" for one in record.approvals]
    for name in dict.fromkeys(names):
        signed = f"{name}.sig"
        signature = bag.read(signed, alone.MOST_TEXT) if signed in bag.sizes else None
        yield ApprovalFile(name.removeprefix("data/"), bag.read(name, alone.MOST_JSON), signature)


def _held(files: list[ApprovalFile], info: Info, signers: Signers) -> Step:
    said: list[str] = []
    outcome = PASSED
    for refused in signers.problems:
        said.append(f"a line of the list of signers was not taken: {refused.headline().rstrip('.')}")
    for file in files:
        one = _read(file, info, signers)
        if one.verified:
            assert one.statement is not None
            said.append(f"{file.path} is signed by {one.signer}, whose key is in your list ({one.key})")
        else:
            outcome = FAILED
            said.append(f"{file.path}: {one.why}")
    if outcome == PASSED:
        said.append("in which role each may sign is what the statements say; your list of keys does not tell")
        said.append(_SIGNED)
    return Step(7, outcome, tuple(said))


def _read(file: ApprovalFile, info: Info, signers: Signers) -> Approval:
    """An approval, checked for the day it was given. Roles stand in no list of keys: the statement's own is taken."""
    bare = Signers(kept=True)
    first = read_approval(file, bare, {}, info.case, _ANY)
    if first.statement is None:
        return first
    statement = first.statement
    return read_approval(file, signers, {statement.signer: _BOTH}, info.case, statement.on)


def _bare(files: list[ApprovalFile]) -> Step:
    """Without a list of keys: whether each signature is of its statement, by the key it names itself."""
    broken: list[str] = []
    for file in files:
        said = _own(file)
        if said:
            broken.append(f"{file.path}: {said}")
    if broken:
        return Step(7, FAILED, tuple(broken))
    told = (
        "each signature is of its statement, by the key it names; whose key that is cannot be known without a list of "
        "signers from outside the pack (--signers)"
    )
    return Step(7, NOT_DONE, (told, *_claims(files)))


def _own(file: ApprovalFile) -> str:
    try:
        statement, claim = _statement(file), _claim(file)
        assert file.statement is not None and file.signature is not None
        return verify(file.statement, file.signature, statement.signer, claim.key, NAMESPACE)
    except (ValueError, SshFault) as error:
        return str(error)


def _statement(file: ApprovalFile) -> ApprovalStatement:
    return read_statement((file.statement or b"").decode())


def _claim(file: ApprovalFile) -> Claim:
    if file.signature is None:
        raise Malformed("no signature lies beside it")
    return read_signature(file.signature)


def _claims(files: list[ApprovalFile]) -> Iterator[str]:
    for file in files:
        try:
            statement, claim = _statement(file), _claim(file)
        except ValueError as error:
            yield f"{file.path}: {error}"
            continue
        who = f"{statement.signer} as {statement.role}"
        yield f"{file.path} claims to be by {who}, with the key {claim.key.fingerprint}"
