"""SSH signatures read from their bytes, against OpenSSH's own and against the written protocol."""

from __future__ import annotations

import base64
import struct
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.seal import Malformed, public_key, read_key, read_signature, sign, verify
from asfound.seal.ssh import SshFault
from tests.rules.signing import make_key

NAMESPACE = "approval@asfound"
KINDS = {"ed25519": (), "rsa": ("-b", "2048"), "ecdsa": ("-b", "256")}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("keys")
    for kind, more in KINDS.items():
        make_key(folder / kind, kind, *more)
    return folder


def made(home: Path, kind: str = "ed25519", namespace: str = NAMESPACE, text: bytes = b"text\n") -> bytes:
    """OpenSSH's own signature."""
    done = subprocess.run(
        ["ssh-keygen", "-Y", "sign", "-q", "-n", namespace, "-f", str(home / kind)],
        input=text,
        capture_output=True,
        check=True,
        timeout=60,
    )
    return done.stdout


def string(data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + data


def armour(blob: bytes) -> bytes:
    body = base64.b64encode(blob).decode()
    lines = "\n".join(body[at : at + 70] for at in range(0, len(body), 70))
    return f"-----BEGIN SSH SIGNATURE-----\n{lines}\n-----END SSH SIGNATURE-----\n".encode()


KEY = string(b"ssh-ed25519") + string(b"k" * 32)
INNER = string(b"ssh-ed25519") + string(b"s" * 64)


def blob(
    magic: bytes = b"SSHSIG",
    version: int = 1,
    key: bytes = KEY,
    namespace: bytes = NAMESPACE.encode(),
    digest: bytes = b"sha512",
    inner: bytes = INNER,
    after: bytes = b"",
) -> bytes:
    parts = string(key) + string(namespace) + string(b"") + string(digest) + string(inner)
    return magic + struct.pack(">I", version) + parts + after


def test_the_beginning_of_a_signature_is_the_published_one(home: Path) -> None:
    # OpenSSH, PROTOCOL.sshsig (confirmed): "SSHSIG", then the number 1 in four bytes; in base64 U1NIU0lHAAAAAQ.
    begin = base64.b64decode("U1NIU0lHAAAAAQ==")
    assert begin == b"SSHSIG\x00\x00\x00\x01"
    assert made(home).splitlines()[1].startswith(b"U1NIU0lHAAAA")
    assert blob().startswith(begin)


@pytest.mark.parametrize("kind", KINDS)
def test_what_openssh_signs_is_read_with_its_key_and_use(home: Path, kind: str) -> None:
    claim = read_signature(made(home, kind))
    assert (claim.namespace, claim.hash) == (NAMESPACE, "sha512")
    assert claim.key == public_key(home / kind) == public_key(home / f"{kind}.pub")
    # ssh-keygen -l is OpenSSH's own word on the fingerprint.
    said = subprocess.run(["ssh-keygen", "-l", "-f", str(home / f"{kind}.pub")], capture_output=True, check=True)
    assert claim.key.fingerprint == said.stdout.decode().split()[1]


@pytest.mark.parametrize("kind", KINDS)
def test_openssh_and_this_program_verify_each_other_s_signatures(home: Path, tmp_path: Path, kind: str) -> None:
    key = public_key(home / kind)
    assert verify(b"text\n", made(home, kind), "one", key, NAMESPACE) == ""
    ours = sign(b"other\n", home / kind, NAMESPACE)
    (tmp_path / "sig").write_bytes(ours)
    (tmp_path / "allowed").write_text(f'one namespaces="{NAMESPACE}" {key.text}\n')
    command = ["ssh-keygen", "-Y", "verify", "-f", str(tmp_path / "allowed"), "-I", "one", "-n", NAMESPACE]
    subprocess.run([*command, "-s", str(tmp_path / "sig")], input=b"other\n", capture_output=True, check=True)


def test_another_text_key_or_use_does_not_verify(home: Path) -> None:
    mine, other = public_key(home / "ed25519"), public_key(home / "ecdsa")
    signature = made(home)
    assert verify(b"text\n", signature, "one", mine, NAMESPACE) == ""
    for said in (
        verify(b"text", signature, "one", mine, NAMESPACE),
        verify(b"text\n", signature, "one", other, NAMESPACE),
        verify(b"text\n", signature, "one", mine, "git"),
        verify(b"text\n", made(home, namespace="git"), "one", mine, NAMESPACE),
        verify(b"text\n", b"rubbish", "one", mine, NAMESPACE),
    ):
        assert said.startswith("the signature is not of this statement (ssh-keygen says: ")
        assert "/" not in said


def test_verifying_asks_neither_the_home_folder_nor_the_agent(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path / "nowhere"))
    monkeypatch.setenv("SSH_AUTH_SOCK", str(tmp_path / "no-agent"))
    monkeypatch.setenv("SSH_ASKPASS", "/bin/false")
    assert verify(b"text\n", made(home), "one", public_key(home / "ed25519"), NAMESPACE) == ""


def test_without_openssh_nothing_is_verified(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    signature = made(home)
    monkeypatch.setenv("PATH", "")
    with pytest.raises(SshFault, match="not on this machine"):
        verify(b"text\n", signature, "one", public_key(home / "ed25519"), NAMESPACE)


def test_a_private_key_alone_is_not_opened_to_learn_whose_it_is(home: Path, tmp_path: Path) -> None:
    (tmp_path / "alone").write_bytes((home / "ed25519").read_bytes())
    with pytest.raises(SshFault, match=r"there is no alone\.pub"):
        public_key(tmp_path / "alone")
    with pytest.raises(SshFault, match="there is no key none"):
        public_key(tmp_path / "none")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (blob(namespace=b""), "of no namespace"),
        (blob(version=2), "version 2"),
        (blob(magic=b"SSHSIX"), "SSHSIG does not stand"),
        (blob(digest=b"md5"), "sha256 and sha512"),
        (blob(inner=string(b"ssh-rsa") + string(b"s")), "must not make"),
        (blob(key=string(b"ssh-dss") + string(b"k")), "too weak"),
        (blob(key=string(b"ssh-ed25519-cert-v01@openssh.com") + string(b"k")), "certificate"),
        (blob(key=string(b"ssh-ed25519") + string(b"k" * 31)), "cut short"),
        (blob(key=KEY + b"x"), "behind the end of the key"),
        (blob(after=b"x"), "behind the end of the signature"),
        (blob(namespace=b"a\nb"), "not plain text"),
        (blob()[:-1], "cut short"),
        (blob(key=string(b"ssh-rsa") + string(b"\x03") + string(b"\x7f" * 128)), "1023 bits"),
    ],
)
def test_what_the_protocol_forbids_is_refused_in_words(data: bytes, says: str) -> None:
    # OpenSSH, PROTOCOL.sshsig (confirmed): namespace not empty, version 1, sha256 or sha512, RSA by SHA-2 only.
    with pytest.raises(Malformed, match=says):
        read_signature(armour(data))


def test_the_made_up_blob_itself_is_well_formed() -> None:
    assert read_signature(armour(blob())).namespace == NAMESPACE


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff", b"-----BEGIN SSH SIGNATURE-----\n", armour(b""), armour(blob()).replace(b"END", b"EMD"),
     b"x" * 70_000, armour(blob()).replace(b"U1NI", b"U1*I"),
     b"-----BEGIN SSH SIGNATURE-----\n-----END SSH SIGNATURE-----\n"],
)  # fmt: skip
def test_what_is_no_signature_is_refused(data: bytes) -> None:
    with pytest.raises(Malformed):
        read_signature(data)


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=200), st.integers(0, 190))
def test_no_bytes_bring_anything_but_a_refusal_in_one_line(noise: bytes, at: int) -> None:
    whole = blob()
    for data in (armour(whole[:at] + noise + whole[at + len(noise) :]), noise):
        try:
            read_signature(data)
        except Malformed as error:
            assert str(error).isprintable()


def test_a_key_that_is_called_otherwise_than_it_is_is_refused() -> None:
    text = base64.b64encode(KEY).decode()
    assert read_key("ssh-ed25519", text).kind == "ssh-ed25519"
    with pytest.raises(Malformed, match="says of itself"):
        read_key("ssh-rsa", text)
    with pytest.raises(Malformed, match="base64"):
        read_key("ssh-ed25519", text[:-3] + "*==")
