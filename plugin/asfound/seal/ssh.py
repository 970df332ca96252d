"""OpenSSH's `ssh-keygen`, the one program that signs and verifies; nobody else calls it.

A person's secret never passes through here: `ssh-keygen` reads the key file itself, or asks the agent, and asks for a
passphrase at the terminal. Verifying needs neither network nor home folder: it is given the one line that counts, the
statement and the signature, in an environment from which everything of the person is taken.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

from asfound.seal.sshsig import Malformed, PublicKey, read_key

PROGRAM = "ssh-keygen"
SECONDS = 30
"""Verifying takes milliseconds; a program that hangs is ended."""


class SshFault(Exception):
    """`ssh-keygen` could not do what it was asked. The text is a clause, with its own words where it said any."""


def verify(statement: bytes, signature: bytes, principal: str, key: PublicKey, namespace: str) -> str:
    """Whether the signature holds: empty where it does, else the reason as a clause.

    The signature must be of these very bytes, made with this key, for this namespace. Times of validity are not asked
    of `ssh-keygen`, which would look at a clock; whoever calls has compared them with the date of assessment.
    Raises SshFault where it cannot be found out.
    """
    with tempfile.TemporaryDirectory(prefix="asfound-") as folder:
        home = Path(folder)
        allowed, sig = home / "allowed", home / "sig"
        allowed.write_text(f'{principal} namespaces="{namespace}" {key.text}\n', encoding="ascii")
        sig.write_bytes(signature)
        done = _run(
            ["-Y", "verify", "-f", str(allowed), "-I", principal, "-n", namespace, "-s", str(sig)],
            statement, _bare(os.environ, home), SECONDS,
        )  # fmt: skip
    if done.returncode == 0:
        return ""
    return "the signature is not of this statement" + _said(done.stderr + done.stdout, folder)


def sign(statement: bytes, key: Path, namespace: str) -> bytes:
    """The signature of a statement with a person's key, or with the agent's where `key` is a public key.

    `ssh-keygen` may ask for a passphrase at the terminal, or for a touch of a token. Raises SshFault.
    """
    # What it asks for, a passphrase or a touch, has to reach the person; so its messages are not caught.
    arguments = ["-Y", "sign", "-q", "-n", namespace, "-f", str(key)]
    done = _run(arguments, statement, {**os.environ, "LC_ALL": "C"}, None, stderr=None)
    if done.returncode != 0 or not done.stdout:
        raise SshFault(f"{PROGRAM} made no signature with {key.name}")
    return bytes(done.stdout)


def public_key(place: Path) -> PublicKey:
    """The public key of a key file: of the file itself where it is public, else of the file of its name and `.pub`.

    A private key is not opened. Raises SshFault.
    """
    for candidate in (place, place.with_name(f"{place.name}.pub")):
        try:
            text = candidate.read_bytes()[: 64 * 1024].decode("ascii")
        except (OSError, UnicodeDecodeError):
            continue
        words = text.split()
        if len(words) >= 2 and "PRIVATE KEY" not in text:
            try:
                return read_key(words[0], words[1])
            except Malformed as error:
                raise SshFault(f"{candidate.name} holds no key that can sign here: {error}") from error
    if not place.exists():
        raise SshFault(f"there is no key {place.name}")
    raise SshFault(f"beside {place.name} there is no {place.name}.pub that says which key it is")


def public_keys(folder: Path) -> tuple[tuple[Path, PublicKey], ...]:
    """The public keys (`*.pub`) in a folder that could sign, each with its file; others are passed over."""
    found = []
    for place in sorted(folder.glob("*.pub")) if folder.is_dir() else ():
        try:
            found.append((place, public_key(place)))
        except SshFault:
            continue
    return tuple(found)


def _bare(environment: Mapping[str, str], home: Path) -> dict[str, str]:
    """The environment for verifying: where programs are, an empty home, nothing of SSH, nothing of the language."""
    kept = {name: environment[name] for name in ("PATH", "SYSTEMROOT", "SystemRoot") if name in environment}
    return {**kept, "HOME": str(home), "USERPROFILE": str(home), "LC_ALL": "C"}


def program_mark() -> str:
    """Which `ssh-keygen` would be asked: its place, size and time of change; empty where there is none.

    Nothing that is shown: another program may come to another answer, so what it said before does not count then.
    """
    program = shutil.which(PROGRAM)
    if program is None:
        return ""
    try:
        state = Path(program).stat()
    except OSError:
        return ""
    return f"{program} {state.st_size} {state.st_mtime_ns}"


def _run(
    arguments: list[str],
    data: bytes,
    environment: Mapping[str, str],
    seconds: int | None,
    stderr: int | None = subprocess.PIPE,
) -> subprocess.CompletedProcess[bytes]:
    program = shutil.which(PROGRAM)
    if program is None:
        raise SshFault(f"{PROGRAM} of OpenSSH is not on this machine")
    try:
        return subprocess.run(
            [program, *arguments], input=data, stdout=subprocess.PIPE, stderr=stderr, env=environment,
            timeout=seconds, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise SshFault(f"{PROGRAM} did not answer within {seconds} s") from None
    except OSError as error:
        raise SshFault(f"{PROGRAM} could not be started: {error.strerror}") from error


def _said(data: bytes, folder: str) -> str:
    """What `ssh-keygen` said, in one line, without a place of this machine."""
    text = data.decode("utf-8", errors="replace")
    if folder:
        text = text.replace(folder, "")
    said = "; ".join(line.strip().rstrip(".") for line in text.splitlines() if line.strip())
    said = "".join(char if char.isprintable() else "?" for char in said)[:160]
    return f" ({PROGRAM} says: {said})" if said else ""
