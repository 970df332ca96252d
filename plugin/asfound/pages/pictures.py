"""Evidence pictures as the site shows them: re-encoded, upright, without metadata. The originals are never served."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator

from msgspec import Struct

from asfound.figures.photo import Derivative, Unshown, derivative
from asfound.model.dossier import Dossier

RASTER = {"image/jpeg": ".jpg", "image/png": ".png", "image/tiff": ".jpg", "image/webp": ".jpg"}
SUFFIX = {"image/jpeg": ".jpg", "image/png": ".png"}
Read = Callable[[str], bytes | None]
"""Path of a file below the case folder → its bytes; None where it cannot be read."""


Derive = Callable[[bytes, int], Derivative | Unshown]
"""The bytes of an original, and the longest side in pixels → what is shown of it, or why nothing is."""


class Picture(Struct, frozen=True):
    """A picture ready to be shown. `src` is an address from the page at hand, or a data address."""

    src: str
    width: int
    height: int


class Made(Struct, frozen=True):
    """A derivative and the place it is published at, relative to the site."""

    uri: str
    data: bytes
    width: int
    height: int
    media: str

    def inline(self) -> Picture:
        """The picture inside the page itself."""
        return Picture(
            f"data:{self.media};base64,{base64.b64encode(self.data).decode('ascii')}", self.width, self.height
        )


def pictures_of(
    dossier: Dossier, read: Read, longest: int = 1200, derive: Derive = derivative
) -> Iterator[tuple[str, Made]]:
    """Derivatives of every registered raster picture that can be shown, by evidence id.

    A picture whose bytes are no raster, or that cannot be decoded, is not shown; its file stays in the list of all
    files. Nothing is taken from a file's name.
    """
    case = dossier.core.case
    for ref, one in case.evidence.items():
        known = case.files.get(one.file) if one.file else None
        if known is None or known.media not in RASTER or known.sha256 != one.sha256.lower():
            continue
        data = read(known.path)
        if data is None:
            continue
        made = derive(data, longest)
        if isinstance(made, Derivative):
            uri = f"case/{case.id}/pictures/{ref}{SUFFIX[made.media_type]}"
            yield ref, Made(uri, made.data, made.width, made.height, made.media_type)
