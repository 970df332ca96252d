"""What is made once of a file of the program, kept where and as Python keeps what it compiles of the program's modules.

It lies in `__pycache__` beside its source (or below `PYTHONPYCACHEPREFIX`), nothing is written where Python writes none
(`PYTHONDONTWRITEBYTECODE`, a folder closed to the user), and another version of Python looks for it under another name.
Nothing of a case is in it. Whoever can write there can change the program itself, so it is believed as modules are.
Whoever takes it holds what it was made of against what lies there now.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path


def take(source: Path, kind: str) -> bytes | None:
    """What was kept of a source under a word that says what it is; None where nothing was, or it cannot be read."""
    try:
        return _place(source, kind).read_bytes()
    except (OSError, NotImplementedError):
        return None


def keep(source: Path, kind: str, data: bytes) -> None:
    """Keep something, whole or not at all. Where that cannot be, nothing is kept and nothing is said."""
    if sys.dont_write_bytecode:
        return
    # Loaded where something is written, which is once.
    from tempfile import NamedTemporaryFile

    with suppress(OSError, NotImplementedError):
        place = _place(source, kind)
        place.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=place.parent, delete=False) as new:
            made = Path(new.name)
        try:
            made.write_bytes(data)
            # Read by whoever may read the source.
            made.chmod(source.stat().st_mode & 0o666)
            made.replace(place)
        except OSError:
            made.unlink(missing_ok=True)


def _place(source: Path, kind: str) -> Path:
    return Path(cache_from_source(f"{source}.py", optimization=kind))
