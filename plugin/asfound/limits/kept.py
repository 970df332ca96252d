"""What was read of the packaged files, kept as records beside their reader: to read them anew takes 50 ms of a check.

It is taken for the very bytes of these files, of the modules that say what their records are, and the very versions of
what reads them; anything else is read anew. A limit decides a verdict, so its own digest is held against it too.
"""

from __future__ import annotations

import hashlib
import pickle
from importlib import resources
from pathlib import Path
from typing import TypeAlias

import msgspec
import pydantic
import pydantic_core
import yaml

from asfound import beside
from asfound.model.limits import Caution, LimitSet, Protocol
from asfound.model.reporting import CodeList, ReportingSet
from asfound.model.starters import StarterList
from asfound.model.words import WordList

Files: TypeAlias = tuple[tuple[str, bytes], ...]
Records: TypeAlias = tuple[
    dict[str, LimitSet],
    dict[str, Protocol],
    dict[str, Caution],
    dict[str, ReportingSet],
    CodeList,
    dict[str, WordList],
    dict[str, StarterList],
]

READER = Path(__file__).with_name("packaged.py")
_KIND = "records"
_SIZE = hashlib.sha256().digest_size


def take(files: Files) -> Records | None:
    """The records of these files; None where they were not kept, or as something else."""
    kept = beside.take(READER, _KIND)
    if kept is None or kept[:_SIZE] != _digest(files, kept[_SIZE:]):
        return None
    records: Records = pickle.loads(kept[_SIZE:])
    return records


def keep(files: Files, records: Records) -> None:
    """Keep the records of these files for the next start."""
    data = pickle.dumps(records, pickle.HIGHEST_PROTOCOL)
    beside.keep(READER, _KIND, _digest(files, data) + data)


def _digest(files: Files, data: bytes) -> bytes:
    """Over what the records were made of, and what was made."""
    libraries = (pydantic.VERSION, pydantic_core.__version__, msgspec.__version__, yaml.__version__)
    whole = hashlib.sha256(f"{libraries}\n".encode())
    for path, read in (*files, *_makers()):
        whole.update(f"{path} {len(read)}\n".encode())
        whole.update(read)
    whole.update(data)
    return whole.digest()


def _makers() -> Files:
    """The modules that say what a record is: the whole floor, so that none is forgotten; and the reader."""
    home = resources.files("asfound.model")
    found = [(one.name, one.read_bytes()) for one in home.iterdir() if one.name.endswith(".py")]
    return (*sorted(found), (READER.name, resources.files("asfound.limits").joinpath(READER.name).read_bytes()))
