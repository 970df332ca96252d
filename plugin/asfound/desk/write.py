"""Putting bytes on disk so that a power cut at any moment leaves the old file or the new one, whole.

What is new is written under a temporary name in the same folder, brought to the disk, and only then given its name
(POSIX.1-2017, rename(): the name refers to the old file or the new one throughout). A run that is killed can leave a
temporary file; its name begins as those that readers of a case pass over, so it is never taken for evidence.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from asfound.desk.refused import Refused

TEMPORARY = ".~lock.asfound-"
"""How the names of temporary files begin."""

_CHUNK = 1 << 20
_READ = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_MAKE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)

Step = Callable[[str], None]
"""Told the name of each step just before it is taken; the tests kill a run there."""


def _silent(_step: str) -> None:
    return None


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Be the only one that writes into a case, as far as this program goes; the system lets go if the run is killed.

    Raises Refused where another run has it. Where the system has no such locks, nothing is held: each file is then
    still compared with what was read just before it is replaced.
    """
    try:
        import fcntl
    except ImportError:  # pragma: no cover (another system)
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Refused("another run of asfound is writing into this case; wait for it to end") from None
        except OSError:  # a file system without locks
            pass
        yield
    finally:
        os.close(handle)


def real_folder(root: Path, path: str, make: bool = False) -> Path:
    """The folder `path` (with `/`, below `root`), made where it is missing and `make` is true; never through a link.

    Raises Refused where a link, or something that is no folder, stands on the way.
    """
    place = Path(os.path.realpath(root))
    for part in (one for one in path.split("/") if one):
        if part in (".", ".."):
            raise Refused(f"“{path}” leads out of the case")
        place = place / part
        try:
            mode = os.lstat(place).st_mode
        except FileNotFoundError:
            if not make:
                raise Refused(f"there is no folder “{path}”") from None
            place.mkdir()
            _settle(place.parent)
            continue
        if not stat.S_ISDIR(mode) or os.path.realpath(place) != str(place):
            raise Refused(f"“{path}” leads through a link or through what is no folder")
    return place


def read_whole(place: Path) -> bytes | None:
    """The bytes of an ordinary file; None where nothing stands there. Raises Refused for a link and the like."""
    try:
        handle = os.open(place, _READ)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise Refused(f"{place.name} cannot be opened as an ordinary file ({_why(error)})") from None
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode) or place.is_symlink():
            raise Refused(f"{place.name} is no ordinary file")
        return file.read()


def replace_file(place: Path, old: bytes | None, new: bytes, step: Step = _silent) -> None:
    """Give `place` the bytes `new`, keeping its permissions; `old` is what it held when it was read (None: nothing).

    Raises Refused, with nothing changed, where it holds something else by now, is a link, or may not be written.
    """
    step("look")
    if read_whole(place) != old:
        raise Refused(f"{place.name} was changed by somebody else in the meantime; run again")
    mode = None if old is None else stat.S_IMODE(os.lstat(place).st_mode)
    if mode is not None and not os.access(place, os.W_OK):
        raise Refused(f"{place.name} is not to be written to (its permissions say so)")
    temporary = _fill(place.parent, lambda file: file.write(new), mode, step)
    try:
        step("compare")
        if read_whole(place) != old:
            raise Refused(f"{place.name} was changed by somebody else in the meantime; run again")
        step("rename")
        if old is None:
            _name_new(temporary, place)
        else:
            temporary.replace(place)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    step("settle")
    _settle(place.parent)


def copy_file(source: Path, place: Path, sha256: str, step: Step = _silent) -> None:
    """Copy an ordinary file to a name nothing has yet, and read the copy back.

    `sha256` is the digest of the source when it was looked at. Raises Refused, with nothing left behind, where source
    or copy has another by now, or where the name is taken.
    """
    taken = hashlib.sha256()

    def pour(file: BinaryIO) -> None:
        handle = os.open(source, _READ)
        with os.fdopen(handle, "rb") as origin:
            while chunk := origin.read(_CHUNK):
                taken.update(chunk)
                file.write(chunk)

    step("copy")
    temporary = _fill(place.parent, pour, None, step)
    try:
        step("compare")
        if taken.hexdigest() != sha256:
            raise Refused(f"{source.name} changed while it was copied")
        if digest_of(temporary) != sha256:
            raise Refused(f"the copy of {source.name} does not read as what was written; look at the disk")
        step("rename")
        _name_new(temporary, place)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    step("settle")
    _settle(place.parent)


def digest_of(place: Path) -> str:
    """SHA-256 of an ordinary file, read in pieces; a link is not followed. Raises OSError where it cannot be read."""
    digest = hashlib.sha256()
    with os.fdopen(os.open(place, _READ), "rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def _fill(folder: Path, pour: Callable[[BinaryIO], object], mode: int | None, step: Step) -> Path:
    """A temporary file that has reached the disk. `mode` None: what the system gives new files."""
    temporary = folder / f"{TEMPORARY}{secrets.token_hex(8)}"
    step("begin")
    try:
        handle = os.open(temporary, _MAKE, 0o666)
        with os.fdopen(handle, "wb") as file:
            step("write")
            pour(file)
            file.flush()
            step("sync")
            os.fsync(handle)
            if mode is not None and hasattr(os, "fchmod"):
                os.fchmod(handle, mode)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _name_new(temporary: Path, place: Path) -> None:
    """Give a temporary file a name that nothing has: a plain rename would put it over what stands there."""
    try:
        os.link(temporary, place)
    except FileExistsError:
        raise Refused(f"a file {place.name} stands there by now; run again") from None
    except OSError:  # a file system without hard links
        if os.path.lexists(place):
            raise Refused(f"a file {place.name} stands there by now; run again") from None
        temporary.rename(place)
        return
    temporary.unlink()


def _settle(folder: Path) -> None:
    """Bring the names of a folder to the disk, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:  # pragma: no cover (another system)
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _why(error: OSError) -> str:
    return (error.strerror or "the system refused").lower()
