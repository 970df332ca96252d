"""Floor 5: what was worked out before, kept under the content it was worked out from. Never a reason to fail.

An entry is believed only where it lies in a folder of the person's own, outside the repository, under the very key,
with its own digest right. It saves time and decides nothing: with it and without it every output has the same bytes.
"""

from asfound.store.entries import MOST, Store
from asfound.store.key import key
from asfound.store.place import NO_STORE, PlaceRefused, open_store
from asfound.store.program import program_digest, unchanged
from asfound.store.trees import TreeFile, put_tree, take_tree, tree_digest

__all__ = [
    "MOST",
    "NO_STORE",
    "PlaceRefused",
    "Store",
    "TreeFile",
    "key",
    "open_store",
    "program_digest",
    "put_tree",
    "take_tree",
    "tree_digest",
    "unchanged",
]
