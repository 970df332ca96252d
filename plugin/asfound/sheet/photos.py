"""A photograph from the tablet: into the case by the desk, as any other evidence, with its digest."""

from __future__ import annotations

import datetime as dt
import hashlib
import tempfile
from pathlib import Path

from msgspec import Struct

from asfound import desk
from asfound.desk import Refused, Wanted
from asfound.intake import sniff
from asfound.model.testimony import EvidenceKind, View
from asfound.sheet.serve import PHOTO_BYTES
from asfound.sheet.writing import NotWritten, Writer

_ENDINGS = {
    "image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/heic": ".heic", "image/heif": ".heif",
    "image/avif": ".avif", "image/tiff": ".tif",
}  # fmt: skip


class Shown(Struct, frozen=True):
    """What somebody says of a photograph.

    offset  of the camera's clock from UTC, for a camera that does not write its own
    row     the row of the sheet it belongs to, which then names it in its note; empty for none
    """

    name: str
    shows: str
    by: str
    items: tuple[str, ...] = ()
    view: str = ""
    faces: bool | None = None
    offset: str = ""
    row: str = ""


def add_photo(writer: Writer, sheet: str, data: bytes, said: Shown) -> tuple[str, tuple[str, ...]]:
    """Register a photograph; its id, and what was noticed on the way.

    The very bytes that are registered already are not registered again: a page that never heard the answer may ask
    twice. Raises NotWritten, Refused, OSError.
    """
    if len(data) > PHOTO_BYTES:
        raise NotWritten(f"The picture has more than {PHOTO_BYTES // 1_048_576} MB.", 413)
    ending = _ENDINGS.get(sniff(data))
    if ending is None:
        raise NotWritten("By its content this is no photograph; register it with asfound evidence add.", 415)
    digest = hashlib.sha256(data).hexdigest()
    with writer.alone() as lying:
        writer.role(lying, said.by)
        if sheet not in lying.sheets:
            raise NotWritten("There is no such sheet.", 404)
        there = next((ref for ref, one in lying.case.evidence.items() if one.sha256 == digest), None)
        notes: tuple[str, ...] = ()
        if there is None:
            there, notes = _registered(writer, data, ending, said)
    if said.row:
        _named(writer, sheet, said, there)
    return there, notes


def _registered(writer: Writer, data: bytes, ending: str, said: Shown) -> tuple[str, tuple[str, ...]]:
    stem = Path(said.name.replace("\\", "/").rpartition("/")[2]).stem.strip(". ") or "photograph"
    view = View(said.view) if said.view in set(map(str, View)) else None
    with tempfile.TemporaryDirectory(prefix="asfound-") as folder:
        place = Path(folder) / f"{stem.encode()[:80].decode('utf-8', 'ignore')}{ending}".replace("\0", "")
        try:
            place.write_bytes(data)
        except (OSError, ValueError):
            place = Path(folder) / f"photograph{ending}"
            place.write_bytes(data)
        source = desk.look(place)
        at = desk.open_desk(writer.bench.root, writer.bench.folder)
        wanted = Wanted(
            source, said.shows, said.by, EvidenceKind.PHOTOGRAPH, view, said.items, faces=said.faces
        )  # fmt: skip
        plan = desk.plan_evidence(at, [wanted], offset=said.offset)
        ((_, _, ref),) = desk.write_evidence(at, plan, writer.step)
        return ref, plan.notes


def _named(writer: Writer, sheet: str, said: Shown, ref: str) -> None:
    """Name the photograph on its row. It is registered by then, so a row that cannot take it hinders nothing."""
    try:
        writer.remark(sheet, said.row, f"photograph {ref}", said.by)
    except (NotWritten, Refused):
        return


def offset_text(now: dt.datetime) -> str:
    """The offset of this computer's clock, as `-05:00`."""
    return now.isoformat()[-6:]
