"""Templates compiled once, kept where and as Python keeps what it compiles of the program's modules.

They lie in `__pycache__` beside the templates (or below `PYTHONPYCACHEPREFIX`), nothing is written where Python writes
none (`PYTHONDONTWRITEBYTECODE`, a folder closed to the user), and what was kept counts for the very text it was made
of and no other. Nothing of a case is in them. Whoever can write there can change the program itself.
"""

from __future__ import annotations

import hashlib
import sys
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from importlib.util import cache_from_source
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile

from jinja2.bccache import Bucket, BytecodeCache

HOME = Path(__file__).parent / "templates"


class Beside(BytecodeCache):
    """Compiled templates beside their sources."""

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        """The name of a template: it is its file's."""
        return name

    def get_source_checksum(self, source: str) -> str:
        """A digest of the text, of what compiles it, and of the module that says how."""
        return hashlib.sha256(f"{_way()}\n{source}".encode()).hexdigest()

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take what was kept; what is damaged, or of another text, is compiled again."""
        try:
            bucket.load_bytecode(BytesIO(_place(bucket.key).read_bytes()))
        except Exception:
            # A file cut short can fail in any way; the template is at hand.
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it, whole or not at all."""
        if sys.dont_write_bytecode:
            return
        with suppress(OSError, NotImplementedError):
            place = _place(bucket.key)
            place.parent.mkdir(parents=True, exist_ok=True)
            with NamedTemporaryFile(dir=place.parent, delete=False) as new:
                bucket.write_bytecode(new)
            made = Path(new.name)
            try:
                # Read by whoever may read the template.
                made.chmod(HOME.joinpath(bucket.key).stat().st_mode & 0o666)
                made.replace(place)
            except OSError:
                made.unlink(missing_ok=True)


@cache
def _way() -> str:
    return f"{version('jinja2')} {hashlib.sha256(HOME.with_name('render.py').read_bytes()).hexdigest()}"


def _place(name: str) -> Path:
    return Path(cache_from_source(str(HOME / f"{name}.py"), optimization="jinja"))
