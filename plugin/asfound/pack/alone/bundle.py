"""verify.py: the modules of this folder as one file, so that what verifies here is what verifies everywhere."""

from __future__ import annotations

from functools import cache
from importlib import resources

MODULES = ("archive", "lists", "chain", "steps")
MARK = "# From here on this is part of the verifier that every pack carries.\n"

_HEAD = '''\
#!/usr/bin/env python3
"""Verify a pack with nothing but Python (3.8 or newer): no network, no other program, nothing written.

    python3 verify.py              in an unpacked pack
    python3 verify.py PACK.zip     a pack as it was handed over; nothing of it is unpacked

Steps 1 to 5 are done here: layout, names, counts, digests, chain of editions. Steps 6 to 8 (verdicts computed again,
signatures, tag) need the program asfound, and are listed as not done. Whoever may have altered a pack may have altered
the copy of this file in it too: run a copy that came another way, or read this one first. The exit code is 0 where
nothing failed, 1 where something did, 2 where there was nothing to look at.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import stat
import struct
import sys
import unicodedata
import zlib
from typing import TYPE_CHECKING, Any, BinaryIO, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

'''
_TAIL = """

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], __doc__))
"""


@cache
def verifier() -> bytes:
    """The bytes of verify.py, read once: the list of digests and the file are never of two versions of the program."""
    home = resources.files("asfound.pack.alone")
    texts = [(home / f"{name}.py").read_text("utf-8").partition(MARK)[2].strip("\n") for name in MODULES]
    return (_HEAD + "\n\n\n".join(texts) + "\n" + _TAIL).encode()
