"""Floor 6: the pack, which can be checked offline, years later, by somebody who trusts neither us nor this program."""

from asfound.pack.contents import OPINION_FILES, Packing, contents_of, dossier_bytes
from asfound.pack.redacted import Shown, redacted_contents
from asfound.pack.verify import Asked, Verified, verify
from asfound.pack.write import Contents, Part, Unpackable, write_pack

__all__ = [
    "OPINION_FILES",
    "Asked",
    "Contents",
    "Packing",
    "Part",
    "Shown",
    "Unpackable",
    "Verified",
    "contents_of",
    "dossier_bytes",
    "redacted_contents",
    "verify",
    "write_pack",
]  # fmt: skip
