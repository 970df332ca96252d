"""The verifier that needs nothing of ours: standard library only, and one file once `bundle` has put it together."""

from asfound.pack.alone.archive import (
    BAGIT,
    CENTRAL,
    DAY,
    DOCUMENT,
    END,
    FAILED,
    HASHES,
    LOCAL,
    MANIFESTS,
    MODE,
    MOST_BYTES,
    MOST_FILES,
    MOST_JSON,
    MOST_TEXT,
    NOT_DONE,
    PASSED,
    SUMS,
    TAG_FILES,
    TAG_MANIFESTS,
    Bag,
    FolderBag,
    Refused,
    ZipBag,
    as_bytes,
    local_header,
    names_faults,
    shown,
)
from asfound.pack.alone.bundle import verifier
from asfound.pack.alone.chain import APART, SAID_AFTERWARDS, core_digest
from asfound.pack.alone.lists import Digests, Info, LineEnds, counts_faults, kept_raw
from asfound.pack.alone.steps import NOTHING_HELD, Examined, Step, closing, examine, not_done, refused, step, told

__all__ = [
    "APART", "BAGIT", "CENTRAL", "DAY", "DOCUMENT", "END", "FAILED", "HASHES", "LOCAL", "MANIFESTS", "MODE",
    "MOST_BYTES", "MOST_FILES", "MOST_JSON", "MOST_TEXT", "NOTHING_HELD", "NOT_DONE", "PASSED", "SAID_AFTERWARDS",
    "SUMS", "TAG_FILES", "TAG_MANIFESTS", "Bag", "Digests", "Examined", "FolderBag", "Info", "LineEnds", "Refused",
    "Step", "ZipBag", "as_bytes", "closing", "core_digest", "counts_faults", "examine", "kept_raw", "local_header",
    "names_faults", "not_done", "refused", "shown", "step", "told", "verifier",
]  # fmt: skip
