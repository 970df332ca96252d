"""Where the store lies, and which places are refused.

By default a folder for caches of whoever runs the program, as the system names it: the XDG Base Directory
Specification on Linux (`XDG_CACHE_HOME`, else `~/.cache`), `~/Library/Caches`, `%LOCALAPPDATA%`. Never below the
repository: what lies there can come with anybody's commit, and a verdict that came with one must not be believed.
"""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

from asfound.store.entries import Store

NO_STORE = "off"
"""What the variable ASFOUND_CACHE holds where nothing is to be kept."""
VARIABLE = "ASFOUND_CACHE"


class PlaceRefused(ValueError):
    """A place that was asked for and that must not be used. The text is a sentence."""


def open_store(root: Path, wanted: bool = True) -> Store | None:
    """The store for a repository at `root`; None where none is wanted or no place for it can be had.

    `ASFOUND_CACHE` names another folder, or is `off`. Raises PlaceRefused where the folder it names lies in the
    repository, belongs to somebody else, or can be written by others; a usual place like that is passed over.
    """
    asked = os.environ.get(VARIABLE, "")
    if not wanted or asked.lower() == NO_STORE:
        return None
    if asked:
        place = Path(asked)
        if not place.is_absolute():
            raise PlaceRefused(f'{VARIABLE} holds "{asked}"; a whole path is needed, or {NO_STORE}.')
        why = _against(place, root)
        if why:
            raise PlaceRefused(f'{VARIABLE} holds "{asked}": {why}. Name another folder, or {NO_STORE}.')
        return Store(place)
    usual = _usual()
    return None if usual is None or _against(usual, root) else Store(usual)


def _usual() -> Path | None:
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        place = (Path(local) if local else home / "AppData" / "Local") / "asfound" / "cache"
    elif sys.platform == "darwin":
        place = home / "Library" / "Caches" / "asfound"
    else:
        said = os.environ.get("XDG_CACHE_HOME", "")
        # The specification: a path that is not absolute is to be ignored.
        place = (Path(said) if Path(said).is_absolute() else home / ".cache") / "asfound"
    return place if place.is_absolute() else None


def _against(place: Path, root: Path) -> str:
    """What stands against a folder, a clause; makes it where it is missing. Empty where nothing does."""
    lies, home = Path(os.path.realpath(place)), Path(os.path.realpath(root))
    # Where it seems to lie counts too: a link in the repository could lead anywhere.
    if lies.is_relative_to(home) or Path(os.path.abspath(place)).is_relative_to(os.path.abspath(root)):  # noqa: PTH100
        return "it lies in the repository, where anybody's commit could put something"
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        state = lies.stat()
    except OSError as error:
        return f"it cannot be used ({(error.strerror or 'the system refused').lower()})"
    if not stat.S_ISDIR(state.st_mode):
        return "it is no folder"
    if hasattr(os, "geteuid"):
        if state.st_uid != os.geteuid():
            return "it belongs to somebody else"
        if state.st_mode & 0o022:
            return "others can write there"
    return ""
