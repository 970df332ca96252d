"""A time with its doubt kept apart by where it comes from.

Two events read off one clock share the doubt of its offset; two clocks set beside one reference share the doubt of
that. So a doubt is not one number here but a standard uncertainty for each independent source, with its sign. What two
times share falls out of their difference by itself (JCGM 100:2008, 5.2, in the form of JCGM 102: each input appears
once). Seconds throughout.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct, field

K = 2.0
"""Coverage factor: about 95 % for what is near enough normal."""
DAY = 86_400.0


class Estimate(Struct, frozen=True):
    """value: seconds. parts: source -> standard uncertainty with its sign. unknown: offsets nothing is known of."""

    value: float
    parts: dict[str, float] = field(default_factory=dict)
    unknown: frozenset[str] = frozenset()

    @property
    def doubt(self) -> float:
        """Half-length of about 95 %, in seconds; what is not known at all is not in it."""
        return K * math.sqrt(math.fsum(part * part for part in self.parts.values()))

    def plus(self, other: Estimate, factor: float = 1.0) -> Estimate:
        """This, and so many times the other. What is not known of either stays unknown."""
        parts = dict(self.parts)
        for source, part in other.parts.items():
            parts[source] = parts.get(source, 0.0) + factor * part
        return Estimate(self.value + factor * other.value, parts, self.unknown ^ other.unknown)

    def with_part(self, source: str, standard: float) -> Estimate:
        """This with one more source of doubt."""
        return Estimate(self.value, self.parts | {source: self.parts.get(source, 0.0) + standard}, self.unknown)


def weighted(terms: Iterable[tuple[float, Estimate]]) -> Estimate:
    """The sum of estimates, each times its factor. The factors of what shares an unknown offset add up to 1."""
    total = Estimate(0.0)
    unknown: frozenset[str] = frozenset()
    for factor, one in terms:
        total = total.plus(Estimate(one.value, one.parts), factor)
        unknown |= one.unknown
    return Estimate(total.value, total.parts, unknown)


def settled(one: Estimate, other: Estimate) -> bool:
    """Whether the order of two times is known beyond doubt: their difference is larger than its own doubt.

    Transitive, since the doubt of a difference is a length in the space of sources and lengths obey the triangle
    inequality; and never gained by more doubt. Equal times without any doubt have no order.
    """
    if one.unknown != other.unknown:
        return False
    gap = other.plus(one, -1.0)
    return abs(gap.value) > gap.doubt
