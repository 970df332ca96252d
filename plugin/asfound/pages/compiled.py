"""Templates compiled once, kept beside their sources as Python keeps what it compiles of the program's modules.

What was kept counts for the very text it was made of and no other.
"""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.metadata import version
from io import BytesIO
from pathlib import Path

from jinja2.bccache import Bucket, BytecodeCache

from asfound import beside

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
        kept = beside.take(HOME / bucket.key, "jinja")
        if kept is None:
            return
        try:
            bucket.load_bytecode(BytesIO(kept))
        except Exception:
            # A file cut short can fail in any way; the template is at hand.
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it, whole or not at all."""
        made = BytesIO()
        bucket.write_bytecode(made)
        beside.keep(HOME / bucket.key, "jinja", made.getvalue())


@cache
def _way() -> str:
    return f"{version('jinja2')} {hashlib.sha256(HOME.with_name('render.py').read_bytes()).hexdigest()}"
