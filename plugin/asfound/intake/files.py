"""The files of a case: which there are, whether they can travel, and their bytes.

A case must open unchanged on every system and in every archive years later, so names are held to what all of them
can carry. Nothing is followed out of the folder and nothing is written.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from pathlib import Path

from msgspec import Struct

from asfound.intake.sniff import LFS_POINTER, media_words, sniff
from asfound.intake.text import lfs_pointer, megabytes, too_large
from asfound.intake.words import char_name, crop, refuse, shown
from asfound.model.files import EVIDENCE_BYTES, EVIDENCE_WARN, is_litter
from asfound.problems import Problem

__all__ = ["CaseFile", "CaseFiles", "FileBytes", "bound", "media_words", "read_bytes", "sniff", "walk_case"]

YAML_BYTES = 8 * 1_048_576
CSV_BYTES = 64 * 1_048_576
NAME_BYTES = 120
PATH_CHARS = 200

# Names and characters that one common system or another cannot hold ("Naming Files, Paths, and Namespaces", Win32
# documentation; the digits with a raised 1, 2, 3 count as digits there).
_RESERVED = re.compile(r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])(?:\..*)?", re.IGNORECASE | re.DOTALL)
_UNFIT = re.compile(r'[<>:"|?*\\]')
_UNSEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufffd]")


class CaseFile(Struct, frozen=True, order=True):
    """One file: `path` within the case folder, with `/`, and its `size` in bytes."""

    path: str
    size: int


class CaseFiles(Struct, frozen=True):
    """The readable files of a case, sorted by path, and what was refused.

    folder   the case folder relative to the root, with `/` (empty when it is the root)
    files    every file that may be read; a refused file is not among them
    problems what was refused or passed over, sorted
    """

    folder: str
    files: tuple[CaseFile, ...]
    problems: tuple[Problem, ...]

    @property
    def paths(self) -> tuple[str, ...]:
        """The paths alone."""
        return tuple(file.path for file in self.files)

    def at(self, path: str) -> str:
        """`path` of this case as a path from the root, as problems print it."""
        return f"{self.folder}/{path}" if self.folder else path


class FileBytes(Struct, frozen=True):
    """The bytes of a file, or None with the reason."""

    data: bytes | None
    problems: tuple[Problem, ...] = ()


def bound(path: str) -> int:
    """The most bytes a file of this name may have: 8 MiB of YAML, 64 MiB of CSV, 100 MiB of anything else."""
    low = path.lower()
    if low.endswith((".yml", ".yaml")):
        return YAML_BYTES
    return CSV_BYTES if low.endswith(".csv") else EVIDENCE_BYTES


def is_reserved(name: str) -> bool:
    """Whether the name is that of a device on Windows."""
    return _RESERVED.fullmatch(name) is not None


def walk_case(root: Path, folder: Path) -> CaseFiles:
    """List the files below `folder`, which lies in `root`; links are refused, not followed.

    Raises nothing for any tree.
    """
    base = Path(os.path.realpath(root))
    start = Path(os.path.abspath(folder if folder.is_absolute() else root / folder))  # noqa: PTH100 (resolve() follows links)
    relative = _within(Path(os.path.abspath(root)), start)  # noqa: PTH100
    if relative is None:
        relative = _within(base, start)
    if relative is None:
        name = shown(folder.as_posix() if not folder.is_absolute() else folder.name)
        outside = refuse(
            "file-outside", name, (0, 0), "the case folder lies outside the repository", "a folder inside it is needed"
        )
        return CaseFiles(name, (), (outside,))
    walk = _Walk(relative)
    here = base / relative if relative else base
    if os.path.realpath(here) != str(here):
        walk.add("file-link", "", "the case folder, or a folder above it, is a link", "a real folder is needed")
    elif not here.is_dir():
        walk.add("case-folder-missing", "", "there is no such folder", "the folder of a case is needed")
    else:
        walk.folder(str(here), "")
    return CaseFiles(relative, tuple(sorted(walk.files)), tuple(sorted(walk.problems, key=lambda problem: problem.key)))


def read_bytes(root: Path, path: str, limit: int | None = None) -> FileBytes:
    """The bytes of the file at `path` (from `root`, with `/`), at most `limit` or else what its kind may have.

    A link is not followed, and never more than `limit` + 1 bytes are read, whatever the file claims its size to be.
    """
    most = bound(path) if limit is None else limit
    place = root.joinpath(*path.split("/"))
    try:
        if os.path.realpath(place) != str(Path(os.path.realpath(root), *path.split("/"))):
            return FileBytes(
                None, (_file_problem("file-link", path, "the path leads through a link", "a real file is needed"),)
            )
        flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        descriptor = os.open(place, flags)
        try:
            state = os.fstat(descriptor)
            if not stat.S_ISREG(state.st_mode):
                return FileBytes(None, (_not_regular(path, state.st_mode),))
            with open(descriptor, "rb", closefd=False) as file:
                data = file.read(most + 1)
        finally:
            os.close(descriptor)
    except (OSError, ValueError) as error:
        return FileBytes(None, (_unreadable(path, error),))
    if len(data) > most:
        return FileBytes(None, (too_large(shown(path), max(state.st_size, len(data)), most),))
    return FileBytes(data)


class _Walk:
    """Collects files and problems; paths in it are relative to the case folder."""

    def __init__(self, folder: str) -> None:
        self._prefix = f"{folder}/" if folder else ""
        self._name = folder
        self.files: list[CaseFile] = []
        self.problems: list[Problem] = []

    def add(self, rule: str, path: str, found: str, needed: str) -> None:
        where = shown(self._prefix + path if path else self._name) or "."
        self.problems.append(_file_problem(rule, where, found, needed))

    def folder(self, place: str, path: str) -> None:
        """Everything directly in one folder, then its folders."""
        try:
            with os.scandir(place) as entries:
                found = sorted(entries, key=lambda entry: os.fsencode(entry.name))
        except OSError as error:
            self.problems.append(_unreadable(shown((self._prefix + path).rstrip("/")) or ".", error))
            return
        self._twins(path, [entry.name for entry in found])
        for entry in found:
            if is_litter(entry.name):
                self.add(
                    "file-ignored",
                    path + entry.name,
                    "this file is left behind by a program and is passed over",
                    "nothing is needed",
                )
            else:
                self._entry(entry, path)

    def _entry(self, entry: os.DirEntry[str], path: str) -> None:
        name = path + entry.name
        sound = self._name_is_sound(entry.name, path)
        try:
            state = entry.stat(follow_symlinks=False)
        except OSError as error:
            self.problems.append(_unreadable(shown(self._prefix + name), error))
            return
        if stat.S_ISLNK(state.st_mode):
            self.add("file-link", name, "this is a link to another place", "the file itself is needed")
        elif stat.S_ISDIR(state.st_mode):
            self._subfolder(entry, name, sound)
        elif not stat.S_ISREG(state.st_mode):
            self.problems.append(_not_regular(shown(self._prefix + name), state.st_mode))
        elif entry.name == ".git":
            self.add(
                "file-nested-repository",
                name,
                "a file named “.git” makes this folder a repository of its own",
                "plain files are needed",
            )
        elif (
            sound and self._size_is_sound(name, state.st_size) and not self._stands_in(entry.path, name, state.st_size)
        ):
            self.files.append(CaseFile(name, state.st_size))

    def _subfolder(self, entry: os.DirEntry[str], name: str, sound: bool) -> None:
        if entry.name == ".git":
            self.add(
                "file-nested-repository", name, "there is a repository inside the case", "plain folders are needed"
            )
        elif os.path.realpath(entry.path) != entry.path:
            # A junction or mount point of another system, which lstat does not call a link.
            self.add("file-outside", name, "this folder leads to another place", "a real folder is needed")
        elif sound:
            self.folder(entry.path, f"{name}/")
        else:
            # Its own name is reported; what lies in it can be judged only under a name that can travel.
            return

    def _twins(self, path: str, names: list[str]) -> None:
        first: dict[str, str] = {}
        for name in names:
            folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
            if folded in first:
                self.add(
                    "file-name-twins",
                    path + name,
                    f"on some systems this is the same name as “{shown(first[folded])}” beside it",
                    "names that differ by more than capitals or accents' spelling are needed",
                )
            else:
                first[folded] = name

    def _name_is_sound(self, name: str, path: str) -> bool:
        before = len(self.problems)
        full = path + name
        try:
            size = len(name.encode("utf-8"))
        except UnicodeEncodeError:
            self.add(
                "file-name-not-utf8",
                _escaped(full),
                "the name holds bytes that are not UTF-8",
                "a name in plain letters is needed",
            )
            return False
        if hit := _UNSEEN.search(name):
            self.add(
                "file-name-characters",
                full,
                f"the name holds {char_name(hit[0])}",
                "a name whose every character can be seen is needed",
            )
        if hit := _UNFIT.search(name):
            self.add(
                "file-name-characters", full, f"the name holds “{hit[0]}”", 'a name without < > : " | ? * \\ is needed'
            )
        if is_reserved(name):
            self.add(
                "file-name-reserved", full, f"“{crop(name)}” is a device name on Windows", "another name is needed"
            )
        if name[-1] in ". " or name[0] == " ":
            self.add(
                "file-name-ending",
                full,
                "the name begins or ends with a space, or ends with a full stop",
                "a name without them is needed",
            )
        if unicodedata.normalize("NFC", name) != name:
            self.add(
                "file-name-not-composed",
                full,
                "an accented letter is spelt in two parts",
                "composed letters (Unicode form NFC) are needed",
            )
        if size > NAME_BYTES:
            self.add("file-name-too-long", full, f"the name has {size} bytes", f"at most {NAME_BYTES} are allowed")
        elif len(self._prefix + full) > PATH_CHARS:
            self.add(
                "file-name-too-long",
                full,
                f"the path has {len(self._prefix + full)} characters",
                f"at most {PATH_CHARS} are allowed",
            )
        return len(self.problems) == before

    def _size_is_sound(self, path: str, size: int) -> bool:
        most = bound(path)
        if size > most:
            self.problems.append(too_large(self._prefix + path, size, most))
            return False
        if size > EVIDENCE_WARN and most == EVIDENCE_BYTES:
            self.add(
                "file-large",
                path,
                f"the file has {megabytes(size)}",
                f"files of at most {megabytes(EVIDENCE_WARN)} travel without trouble",
            )
        return True

    def _stands_in(self, place: str, path: str, size: int) -> bool:
        """Whether the file is only a Git LFS pointer; such texts have under 1024 bytes (its specification)."""
        if not len(LFS_POINTER) <= size < 1024:
            return False
        try:
            with open(place, "rb") as file:  # noqa: PTH123
                head = file.read(len(LFS_POINTER))
        except OSError as error:
            self.problems.append(_unreadable(self._prefix + path, error))
            return True
        if head != LFS_POINTER:
            return False
        self.problems.append(lfs_pointer(self._prefix + path))
        return True


def _within(root: Path, place: Path) -> str | None:
    try:
        relative = place.relative_to(root).as_posix()
    except ValueError:
        return None
    return "" if relative == "." else relative


def _escaped(name: str) -> str:
    return name.encode("utf-8", "backslashreplace").decode("utf-8")


def _file_problem(rule: str, path: str, found: str, needed: str) -> Problem:
    return refuse(rule, _escaped(path), (0, 0), found, needed)


def _not_regular(path: str, mode: int) -> Problem:
    kind = (
        "a pipe"
        if stat.S_ISFIFO(mode)
        else "a socket"
        if stat.S_ISSOCK(mode)
        else "a folder"
        if stat.S_ISDIR(mode)
        else "a device"
    )
    return _file_problem("file-not-regular", path, f"this is {kind}, not a file", "an ordinary file is needed")


def _unreadable(path: str, error: OSError | ValueError) -> Problem:
    why = (
        (error.strerror or "the system refused").lower()
        if isinstance(error, OSError)
        else "the path cannot be used on this system"
    )
    return _file_problem(
        "file-unreadable", shown(_escaped(path)), f"it cannot be read ({why})", "a file that can be read is needed"
    )
