r"""SHA-256 (FIPS 180-4) of a case and of its limits, so described that a stranger can compute them again.

The case digest, version 1
--------------------------
1. Take every file of the case folder except those below `approvals/` and `editions/`.
2. Take its bytes as they are; but in YAML and CSV files outside `evidence/` (names that end in `.yml`, `.yaml` or
   `.csv`, in capitals or not) replace each CR LF by LF.
3. Write one line a file: the SHA-256 in small hexadecimal digits, two spaces, the path below the case folder with `/`
   between its parts, a line feed.
4. Sort the lines by path, comparing UTF-8 bytes.
5. Put the line `asfound case digest 1` before them. The SHA-256 of the whole is the digest.

With the core utilities, in the case folder, for a case without CR LF line ends (the usual state in a repository)::

    { echo 'asfound case digest 1'
      find . -type f ! -path './approvals/*' ! -path './editions/*' -printf '%P\0' |
        LC_ALL=C sort -z | xargs -0 sha256sum
    } | sha256sum

Files that programs leave behind (`.DS_Store`, `Thumbs.db`, `desktop.ini`, `.gitkeep`, names that begin with `~$` or
`.~lock`) are no part of a case and have to be deleted first. Names with a line feed or a backslash, which `sha256sum`
would print in another form, are refused in a case.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path
from typing import TypeAlias

from asfound.model.case import FileFact
from asfound.model.layout import canonical, part_of_case

CASE_DIGEST = "asfound case digest 1"
LIMITS_DIGEST = "asfound limits digest 1"

Entry: TypeAlias = "FileFact | tuple[str, bytes | str]"

_HEX = frozenset("0123456789abcdef")
_CHUNK = 1 << 20


def case_digest(files: Iterable[Entry]) -> str:
    """The case digest, version 1: 64 small hexadecimal digits. See the module for the algorithm.

    Each entry is a `FileFact`, whose digest is that of the canonical bytes already; or a path with the file's bytes as
    they are; or a path with the SHA-256 of its canonical bytes. Files that are no part of the case may be among them.
    Raises ValueError for a path that stands twice, is not portable, or a digest that is none.
    """
    return hashlib.sha256(case_list(files).encode("utf-8")).hexdigest()


def case_list(files: Iterable[Entry]) -> str:
    """The text that the case digest is taken of: its name and version, then a line a file."""
    lines: dict[str, str] = {}
    for entry in files:
        path, content = (entry.path, entry.sha256) if isinstance(entry, FileFact) else entry
        _check(path)
        if not part_of_case(path):
            continue
        if path in lines:
            raise ValueError(f"the path {path!r} stands twice")
        lines[path] = _digest(path, content)
    ordered = sorted(lines, key=lambda path: path.encode("utf-8"))
    return f"{CASE_DIGEST}\n" + "".join(f"{lines[path]}  {path}\n" for path in ordered)


def limits_digest(text: str) -> str:
    """Digest of the limits and protocols a case was held against, given as their JSON text.

    SHA-256 of the line `asfound limits digest 1` followed by the text in UTF-8.
    """
    return hashlib.sha256(f"{LIMITS_DIGEST}\n{text}".encode()).hexdigest()


def sha256_file(place: Path) -> str:
    """SHA-256 of a file's bytes as they are, read in pieces. Raises OSError where it cannot be read."""
    digest = hashlib.sha256()
    with place.open("rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def _check(path: str) -> None:
    parts = path.split("/")
    if not path or "\\" in path or "\n" in path or "\r" in path or any(part in ("", ".", "..") for part in parts):
        raise ValueError(f"the path {path!r} is not one below a case folder, with / between its parts")


def _digest(path: str, content: bytes | str) -> str:
    if isinstance(content, bytes):
        return hashlib.sha256(canonical(path, content)).hexdigest()
    if len(content) != 64 or not _HEX.issuperset(content):
        raise ValueError(f"{content!r}, given for {path!r}, is not a SHA-256 in small hexadecimal digits")
    return content
