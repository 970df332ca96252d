"""From what a camera wrote to a moment in a case, and the error of its clock from a photograph of another clock."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from decimal import Decimal

from msgspec import Struct
from pydantic_core import PydanticCustomError

from asfound.desk.refused import Refused
from asfound.model.base import Moment

_OFFSET = re.compile(r"[+-](?:0\d|1[0-4]):[0-5]\d")


def read_moment(text: str, what: str) -> Moment:
    """A moment as people type it. Raises Refused in plain words."""
    try:
        return Moment.read(text)
    except PydanticCustomError as error:
        told = error.context or {}
        raise Refused(f"{what}: {told.get('found')}; {told.get('needed')}. {told.get('mend')}".rstrip(". ")) from None


def offset_of(text: str) -> str:
    """An offset from UTC. Raises Refused."""
    if not _OFFSET.fullmatch(text):
        raise Refused(f"“{text}” is no offset from UTC; write it as -05:00")
    return text


def placed(taken: str, offset: str, zone: str = "") -> str | None:
    """`2026-03-09 15:12:40` with its offset, or with that which a time zone had then; None where neither settles it.

    An hour that a change of the clocks brings twice, or skips, is settled by neither.
    """
    if offset:
        return f"{taken} {offset}"
    if _OFFSET.fullmatch(zone):
        return f"{taken} {zone}"
    if not zone:
        return None
    try:
        here = dt.datetime.fromisoformat(taken).replace(tzinfo=zoneinfo.ZoneInfo(zone))
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        return None
    shift = here.utcoffset()
    if shift is None or shift != here.replace(fold=1).utcoffset() or shift.total_seconds() % 60:
        return None
    return f"{taken} {_shift(shift)}"


def offset_text(moment: Moment) -> str:
    """The offset of a moment from UTC, as `-05:00`."""
    return _shift(moment.at.utcoffset() or dt.timedelta())


def _shift(shift: dt.timedelta) -> str:
    minutes = int(shift.total_seconds()) // 60
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02}:{abs(minutes) % 60:02}"


class ClockError(Struct, frozen=True):
    """Camera clock minus reference clock, and its doubt, as lengths of time are written."""

    offset: str
    doubt: str


def clock_error(camera: str, shows: Moment) -> ClockError:
    """The error of a camera's clock from its photograph of a reference.

    `camera` is the time the camera wrote, with an offset; `shows` what the reference shows in the picture. Both clocks
    show whole seconds that have begun, so their difference is known to a second; a reference without seconds is
    taken in the middle of its minute, and known to half a minute and that second.
    """
    apart = Moment.read(camera).at - shows.at
    seconds = Decimal(apart.days * 86400 + apart.seconds) + Decimal(apart.microseconds) / 1_000_000
    if re.search(r"\d:\d\d:\d\d", shows.text.split(" ")[1] if " " in shows.text else shows.text):
        return ClockError(length(seconds), "1 s")
    return ClockError(length(seconds - 30), "31 s")


def length(seconds: Decimal) -> str:
    """A length of time with its units.

    >>> length(Decimal(-380)), length(Decimal(0)), length(Decimal(90061))
    ('-6 min 20 s', '0 s', '1 d 1 h 1 min 1 s')
    """
    left = abs(seconds)
    parts = []
    for size, unit in ((86400, "d"), (3600, "h"), (60, "min")):
        count, left = divmod(left, size)
        if count:
            parts.append(f"{int(count)} {unit}")
    if left or not parts:
        parts.append(f"{left.normalize():f} s" if left else "0 s")
    return ("-" if seconds < 0 else "") + " ".join(parts)
