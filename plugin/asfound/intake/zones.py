"""Time zones by name, from the zone data the program was installed with and never from the machine's own.

Two machines that hold different zone data would place the same event at different times.
"""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from functools import lru_cache
from importlib import resources

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_+-]*(?:/[A-Za-z][A-Za-z0-9_+-]*){0,2}", re.ASCII)


@lru_cache(maxsize=64)
def zone_of(name: str) -> dt.tzinfo | None:
    """The zone of a name such as `America/Chicago`; None for one the zone data does not hold."""
    if not _NAME.fullmatch(name):
        return None
    file = resources.files("tzdata") / "zoneinfo"
    for part in name.split("/"):
        file = file / part
    try:
        with file.open("rb") as data:
            return zoneinfo.ZoneInfo.from_file(data, key=name)
    except (OSError, ValueError):
        return None
