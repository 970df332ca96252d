"""Writing a file that the program made, whole or not at all. Files of a case are written by `desk`, never here."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(target: Path, data: bytes) -> None:
    """Put `data` at `target`: a temporary name in the same folder, then a rename, so that nobody reads half of it."""
    handle, name = tempfile.mkstemp(prefix=".asfound-", dir=target.resolve().parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
