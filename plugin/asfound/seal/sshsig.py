r"""SSH signatures and public keys, read from their bytes (OpenSSH, PROTOCOL.sshsig; RFC 4253, 6.6; RFC 5656; RFC 8709).

Nothing here decides whether a signature holds: `ssh.verify` asks OpenSSH that. This reader says what a signature
claims (which key, for which use), so that a refusal can be put into words and a key can be named.

The blob of a signature: `SSHSIG`, the number 1, then five strings: public key, namespace, reserved, hash, signature.
A string is its length in four bytes, most significant first, and its bytes.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re

from msgspec import Struct

MAGIC = b"SSHSIG"
VERSION = 1
BEGIN = "-----BEGIN SSH SIGNATURE-----"
END = "-----END SSH SIGNATURE-----"
HASHES = ("sha256", "sha512")
LONGEST = 64 * 1024
"""No signature of a person's key is longer; an RSA key of 16384 bits makes one of about 6 kB."""

LEAST_RSA_BITS = 2048

_KEYS: dict[str, tuple[str, ...]] = {
    "ssh-ed25519": ("ssh-ed25519",),
    "ssh-rsa": ("rsa-sha2-256", "rsa-sha2-512"),
    "ecdsa-sha2-nistp256": ("ecdsa-sha2-nistp256",),
    "ecdsa-sha2-nistp384": ("ecdsa-sha2-nistp384",),
    "ecdsa-sha2-nistp521": ("ecdsa-sha2-nistp521",),
    "sk-ssh-ed25519@openssh.com": ("sk-ssh-ed25519@openssh.com",),
    "sk-ecdsa-sha2-nistp256@openssh.com": ("sk-ecdsa-sha2-nistp256@openssh.com",),
}
"""Kind of key → kinds of signature it may make. RSA signs with SHA-2 only (PROTOCOL.sshsig)."""

KEY_KINDS = tuple(_KEYS)
_STRINGS = {  # strings in a key's blob after its kind
    "ssh-ed25519": 1, "ssh-rsa": 2, "ecdsa-sha2-nistp256": 2, "ecdsa-sha2-nistp384": 2, "ecdsa-sha2-nistp521": 2,
    "sk-ssh-ed25519@openssh.com": 2, "sk-ecdsa-sha2-nistp256@openssh.com": 3,
}  # fmt: skip


class Malformed(ValueError):
    """Bytes that are not what they should be. The text is a clause that says why."""


class PublicKey(Struct, frozen=True):
    """A public key: its kind, and its blob as it stands in signatures."""

    kind: str
    blob: bytes

    @property
    def fingerprint(self) -> str:
        """As OpenSSH prints it: `SHA256:` and the digest of the blob in base64 without padding."""
        return "SHA256:" + base64.b64encode(hashlib.sha256(self.blob).digest()).decode().rstrip("=")

    @property
    def text(self) -> str:
        """As it stands in a file of keys: its kind and its blob in base64."""
        return f"{self.kind} {base64.b64encode(self.blob).decode()}"


class Claim(Struct, frozen=True):
    """What a signature claims.

    key        who: the public key that is said to have signed
    namespace  what for
    hash       `sha256` or `sha512`
    kind       kind of the inner signature
    """

    key: PublicKey
    namespace: str
    hash: str
    kind: str


def read_signature(data: bytes) -> Claim:
    """What a signature claims. Raises Malformed for what is no signature, or one of a kind OpenSSH refuses."""
    if len(data) > LONGEST:
        raise Malformed(f"the signature has {len(data)} bytes, more than any key makes")
    try:
        lines = [line.strip() for line in data.decode("ascii").strip().splitlines()]
    except UnicodeDecodeError:
        raise Malformed("the signature is not text in ASCII") from None
    if not lines or lines[0] != BEGIN:
        raise Malformed(f'the signature does not begin with "{BEGIN}"')
    if lines[-1] != END or len(lines) < 3:
        raise Malformed(f'the signature does not end with "{END}"')
    fields = _Fields(_base64("".join(lines[1:-1]), "the signature"), "the signature")
    if fields.take(len(MAGIC)) != MAGIC:
        raise Malformed("the signature is not one of SSH: SSHSIG does not stand at its beginning")
    version = int.from_bytes(fields.take(4), "big")
    if version != VERSION:
        raise Malformed(f"the signature has version {version}, and only version {VERSION} is known")
    key = read_blob(fields.string())
    namespace = _word(fields.string(), "namespace")
    fields.string()  # reserved: OpenSSH passes over it too
    digest = _word(fields.string(), "hash")
    inner = _Fields(fields.string(), "the signature")
    fields.end()
    if not namespace:
        raise Malformed("the signature says of no namespace that it was made for it")
    if digest not in HASHES:
        raise Malformed(f'the signature is of a digest by "{digest[:20]}", and only sha256 and sha512 are known')
    kind = _word(inner.string(), "kind")
    if kind not in _KEYS[key.kind]:
        raise Malformed(f'the signature is of the kind "{kind[:40]}", which a key of the kind {key.kind} must not make')
    return Claim(key, namespace, digest, kind)


def read_key(kind: str, text: str) -> PublicKey:
    """A public key as it stands in a file: its kind and base64. Raises Malformed."""
    if kind not in _KEYS:
        raise Malformed(_kind_refused(kind))
    key = read_blob(_base64(text, "the key"))
    if key.kind != kind:
        raise Malformed(f"the key says of itself that it is {key.kind}, and {kind} stands before it")
    return key


def read_blob(blob: bytes) -> PublicKey:
    """A public key from its blob. Raises Malformed for a kind that is not taken, a cut blob, or a short RSA key."""
    fields = _Fields(blob, "the key")
    kind = _word(fields.string(), "kind")
    if kind not in _KEYS:
        raise Malformed(_kind_refused(kind))
    parts = [fields.string() for _ in range(_STRINGS[kind])]
    fields.end()
    if kind == "ssh-ed25519" and len(parts[0]) != 32:
        raise Malformed("the key is cut short")
    if kind == "ssh-rsa":
        bits = int.from_bytes(parts[1], "big").bit_length()
        if bits < LEAST_RSA_BITS:
            raise Malformed(f"the RSA key has {bits} bits, fewer than {LEAST_RSA_BITS}")
    return PublicKey(kind, blob)


def _kind_refused(kind: str) -> str:
    shown = kind if kind.isprintable() else "?"
    if "-cert-" in kind:
        return "this is a certificate, and only a person's own key is taken"
    if kind == "ssh-dss":
        return "keys of the kind ssh-dss are too weak to be taken"
    return f'"{shown[:40]}" is no kind of key that is taken'


class _Fields:
    """Reads a blob from its beginning; nothing may be missing and nothing may be left over."""

    def __init__(self, data: bytes, what: str) -> None:
        self._data = data
        self._at = 0
        self._what = what

    def take(self, length: int) -> bytes:
        if self._at + length > len(self._data):
            raise Malformed(f"{self._what} is cut short")
        self._at += length
        return self._data[self._at - length : self._at]

    def string(self) -> bytes:
        return self.take(int.from_bytes(self.take(4), "big"))

    def end(self) -> None:
        if self._at != len(self._data):
            raise Malformed(f"something stands behind the end of {self._what}")


_BASE64 = re.compile(r"[A-Za-z0-9+/]+={0,2}")


def _base64(text: str, what: str) -> bytes:
    try:
        if not _BASE64.fullmatch(text):
            raise binascii.Error
        data = base64.b64decode(text, validate=True)
        # Python passes over filling and bits that stand for nothing; OpenSSH does not.
        if base64.b64encode(data).decode("ascii") != text:
            raise binascii.Error
        return data
    except binascii.Error:
        raise Malformed(f"{what} is not whole: its base64 cannot be read") from None


def _word(data: bytes, what: str) -> str:
    try:
        word = data.decode("ascii")
    except UnicodeDecodeError:
        word = "\x00"
    if word and not word.isprintable():
        raise Malformed(f"the {what} in it is not plain text")
    return word
