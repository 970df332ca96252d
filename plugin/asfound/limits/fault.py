"""What can be wrong with a limit set or a protocol, and where."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from msgspec import Struct

from asfound.measure import units

UNITS_AT = "The page Formats of every site lists the quantities, each with its units."

Path = tuple[str | int, ...]


class BookFault(Struct, frozen=True):
    """One thing wrong in a file of limits or protocols.

    file    path of the file, as it was handed in
    path    from the top of the file to the value concerned
    rule    name of the rule that refuses it, an entry of `asfound.limits.ENTRIES`
    found   what stands there, a clause
    needed  what was needed, a clause
    mend    how to mend it, one sentence
    """

    file: str
    path: Path
    rule: str
    found: str
    needed: str
    mend: str

    @property
    def key(self) -> tuple[str, tuple[str, ...], str, str]:
        """Stable order: by file, place, rule."""
        return (self.file, tuple(str(part) for part in self.path), self.rule, self.found)


def nearest(word: str, known: Iterable[str]) -> str:
    """`Perhaps "touch-current" was meant.`, or nothing where no known word is near."""
    near = get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return f'Perhaps "{near[0]}" was meant.' if near else ""


def listed(words: Iterable[str]) -> str:
    """`a, b or c`, for a sentence that offers a choice."""
    all_of = [f'"{word}"' for word in words]
    return all_of[0] if len(all_of) == 1 else f"{', '.join(all_of[:-1])} or {all_of[-1]}"


def unit_meant(text: str, quantity: str = "") -> str:
    """What mends a unit that is not in the list: the one near it, those of the quantity, or where all of them stand."""
    near = units.nearest(text)
    if near:
        return f'Perhaps "{near}" was meant.'
    of = [one.symbol for one in units.UNITS if one.quantity == quantity]
    return f"Units of {quantity} are {listed(of)}." if of else UNITS_AT
