"""Real keys and real signatures for tests: made with OpenSSH, in a folder of the test, without an agent."""

from __future__ import annotations

import atexit
import shutil
import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from asfound.assess import assess_case, statement_for
from asfound.assess.repository import open_repository
from asfound.model.approval import NAMESPACE, ApprovalStatement
from asfound.model.bench import SignerRole
from tests.rules.support import CASE, ON, Copy, Edit

ROLES = "signers:\n  examiner-1: [examiner]\n  second: [reviewer]\n  both: [examiner, reviewer]\n"
NAMES = ("examiner-1", "second", "both", "nobody")


@cache
def keys() -> Path:
    """A folder with one key a name, made once a run and gone with it."""
    folder = Path(tempfile.mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    for name in NAMES:
        make_key(folder / name)
    return folder


def make_key(place: Path, kind: str = "ed25519", *more: str) -> Path:
    """A key without a passphrase; its file."""
    subprocess.run(
        ["ssh-keygen", "-q", "-t", kind, *more, "-N", "", "-C", "a test", "-f", str(place)], check=True, timeout=60
    )
    return place


def key(name: str) -> Path:
    """The private key file of a name."""
    return keys() / name


def public(name: str) -> str:
    """Kind and base64 of a name's key."""
    return " ".join(key(name).with_suffix(".pub").read_text().split()[:2])


def line(name: str, of: str = "", options: str = f'namespaces="{NAMESPACE}"') -> str:
    """A line of allowed_signers, of a name, with its own key or that of another."""
    return f"{name} {options} {public(of or name)}\n"


def signers(*lines: str) -> dict[str, str | bytes]:
    """The organisation's files: who may sign, in which role."""
    chosen = lines or tuple(line(name) for name in NAMES if name != "nobody")
    return {".asfound/allowed_signers": "".join(chosen), ".asfound/roles.yml": ROLES}


def sign(text: bytes, name: str, namespace: str = NAMESPACE) -> bytes:
    """OpenSSH's own signature, not by way of the program under test."""
    done = subprocess.run(
        ["ssh-keygen", "-Y", "sign", "-q", "-n", namespace, "-f", str(key(name))],
        input=text,
        capture_output=True,
        check=True,
        timeout=60,
    )
    return done.stdout


def statement(
    role: str, signer: str, edits: Sequence[Edit] = (), extra: Mapping[str, str | bytes] | None = None
) -> ApprovalStatement:
    """What a signer of the edited base case signs."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder), edits, extra)
        shared = open_repository(copy.root)
        dossier = assess_case(copy.root, copy.root / CASE, ON, shared).dossier
        assert dossier is not None
        return statement_for(dossier, SignerRole(role), signer)


def approval(
    role: str,
    signer: str,
    number: int = 1,
    edits: Sequence[Edit] = (),
    extra: Mapping[str, str | bytes] | None = None,
    by: str = "",
    namespace: str = NAMESPACE,
) -> dict[str, str | bytes]:
    """Both files of an approval of the edited base case, to be put into a copy of it; `by` whose key signs."""
    text = statement(role, signer, edits, extra).text().encode()
    name = f"approvals/{role}-{signer}-{number}.json"
    return {name: text, f"{name}.sig": sign(text, by or signer, namespace)}
