"""Where a file that a command writes comes to lie."""

from __future__ import annotations

from pathlib import Path

import click


def place_of(out: str | None, name: str, what: str, folder: Path, home: Path) -> Path:
    """Where to write `name`: as asked (a file or a folder), else in this folder. Never within the case, which it would
    change; raises UsageError.

    what  the thing as words, for the message: `a pack`
    """
    place = Path(out).expanduser() if out else Path.cwd() / name
    if place.is_dir():
        place = place / name
    place = place.parent.resolve() / place.name
    if not place.parent.is_dir():
        raise click.UsageError(f"there is no folder {place.parent}")
    if place.is_relative_to(folder) or place.is_relative_to(home / ".asfound"):
        raise click.UsageError(f"{what} within the case would be a file of the case; name another place with --out")
    return place
