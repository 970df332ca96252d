"""Which cases a commit touches: those its files lie in; every case where it touches what all are held against."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from msgspec import Struct

from asfound.folders import BENCH, CASES, HEAD, find_cases

# The organisation's folder holds some things that no case is held against.
_BESIDE = f"{BENCH}/schemas/"


class Touched(Struct, frozen=True):
    """Folders of cases, with `/`, sorted; and whether they are all because the organisation's own files changed."""

    folders: tuple[str, ...]
    every: bool = False


def touched_cases(root: Path, paths: Iterable[str]) -> Touched:
    """The cases that files lie in. `paths` are from the root, with `/`; files that are gone may be among them.

    A second case of the same identity comes with the first, since a check of one alone would not see it.
    """
    paths = tuple(paths)
    if any(path.startswith(f"{BENCH}/") and not path.startswith(_BESIDE) for path in paths):
        return Touched(tuple(sorted(_all(root))), True)
    found = {folder for path in paths if (folder := _folder(root, path))}
    names = {_identity(root, folder) for folder in found} - {""}
    if names:
        found |= {folder for folder in _all(root) if _identity(root, folder) in names}
    return Touched(tuple(sorted(found)))


def _folder(root: Path, path: str) -> str:
    """The case a file lies in; empty where it lies in none. A case never lies within another's evidence."""
    parts = PurePosixPath(path).parts
    if not parts or parts[0] != CASES:
        return ""
    inside = parts.index("evidence") if "evidence" in parts else len(parts)
    for end in range(min(inside, len(parts) - 1), 0, -1):
        folder = "/".join(parts[:end])
        if (root / folder / HEAD).is_file():
            return folder
    return ""


def _all(root: Path) -> Iterator[str]:
    return (folder.relative_to(root).as_posix() for folder in find_cases(root))


def _identity(root: Path, folder: str) -> str:
    """The identity as the head of the case begins to say it; empty where that cannot be read so."""
    try:
        with (root / folder / HEAD).open(encoding="utf-8-sig", errors="replace") as file:
            for line in file:
                if line.startswith("case:"):
                    return line.partition(":")[2].split("#")[0].strip().strip("\"'")
    except OSError:
        pass
    return ""
