"""A file that somebody wants to register, looked at before anything is written."""

from __future__ import annotations

import hashlib
import os
import stat
from pathlib import Path

from msgspec import Struct

from asfound.desk.names import no_evidence
from asfound.desk.refused import Refused
from asfound.intake.camera import MEDIA, Written, read_camera
from asfound.intake.sniff import LFS_POINTER, sniff
from asfound.intake.text import megabytes
from asfound.intake.words import shown
from asfound.model.files import EVIDENCE_BYTES, EVIDENCE_WARN
from asfound.model.testimony import EvidenceKind

_CHUNK = 1 << 20


class Source(Struct, frozen=True):
    """What a file is.

    place    where it lies
    name     its name, as it came
    size     in bytes
    sha256   of its bytes
    media    by its content
    written  what a camera wrote into it; None where that cannot be read
    """

    place: Path
    name: str
    size: int
    sha256: str
    media: str
    written: Written | None

    @property
    def shown(self) -> str:
        """The name, fit to be printed."""
        return shown(self.name.encode("utf-8", "replace").decode())

    @property
    def taken(self) -> str:
        """When the camera says it was taken, by its own clock; empty where it does not say."""
        return self.written.taken if self.written is not None else ""

    @property
    def kind(self) -> EvidenceKind | None:
        """What kind of evidence its content makes it; None where that is for a person to say."""
        if self.media.startswith("image/") and self.media != "image/svg+xml":
            return EvidenceKind.PHOTOGRAPH
        return EvidenceKind.VIDEO if self.media.startswith("video/") else None


def look(place: Path, elsewhere: bool = False) -> Source:
    """Look at a file. Raises Refused for what can be no evidence in a case.

    `elsewhere`: only its digest will be registered, so its size does not matter.
    """
    name = place.name
    said = shown(str(place).encode("utf-8", "replace").decode())
    try:
        state = os.lstat(place)
    except (OSError, ValueError) as error:
        why = (error.strerror or "").lower() if isinstance(error, OSError) else "no system could have such a name"
        raise Refused(f"{said} cannot be read ({why})") from None
    if stat.S_ISLNK(state.st_mode):
        raise Refused(f"{said} is a link to another place; name the file itself")
    if stat.S_ISDIR(state.st_mode):
        raise Refused(f"{said} is a folder; name the files in it")
    if not stat.S_ISREG(state.st_mode):
        raise Refused(f"{said} is no ordinary file")
    if why := no_evidence(name):
        raise Refused(f"{said} cannot be evidence: {why}")
    if not state.st_size:
        raise Refused(f"{said} is empty")
    if state.st_size > EVIDENCE_BYTES and not elsewhere:
        raise Refused(
            f"{said} has {megabytes(state.st_size)}; at most {megabytes(EVIDENCE_BYTES)} fits into a repository. "
            "Register it by its digest alone: --elsewhere, with --keeper and --place"
        )
    digest, size, head = hashlib.sha256(), 0, b""
    try:
        with place.open("rb") as file:
            while chunk := file.read(_CHUNK):
                head = head or chunk[:2048]
                size += len(chunk)
                digest.update(chunk)
    except OSError as error:
        raise Refused(f"{said} cannot be read ({(error.strerror or 'the system refused').lower()})") from None
    if head.startswith(LFS_POINTER) and size < 1024:
        raise Refused(f"{said} is a short text that stands for a file kept in Git LFS; fetch the file itself")
    media = sniff(head)
    written = read_camera(place) if media in MEDIA else None
    return Source(place, name, size, digest.hexdigest(), media, written)


def is_large(source: Source) -> bool:
    """Whether code hosts will warn of its size."""
    return source.size > EVIDENCE_WARN
