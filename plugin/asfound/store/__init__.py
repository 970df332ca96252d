"""Floor 5: what was worked out before, kept under the content it was worked out from. Never a reason to fail.

An entry is believed only where it lies in a folder of the person's own, outside the repository, under the very key,
with its own digest right. It saves time and decides nothing: with it and without it every output has the same bytes.
"""

from asfound.store.entries import MOST, Store
from asfound.store.key import key
from asfound.store.place import NO_STORE, PlaceRefused, open_store

__all__ = ["MOST", "NO_STORE", "PlaceRefused", "Store", "key", "open_store"]
