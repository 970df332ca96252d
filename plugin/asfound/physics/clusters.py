"""Activations of a generator in clusters: how long it was on, and how much heating a contact was given.

What cools between two activations is not known, so a cluster is a convention: activations belong to one while the
output was off for no longer than a stated pause. Other pauses are tried beside it, and the result is given over all
of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

PAUSES = (10.0, 20.0, 30.0, 60.0, 120.0, 300.0)
"""Pauses in s that are tried beside the stated one. The choice is ours: from breathing space to minutes of cooling."""


class Cluster(Struct, frozen=True):
    """Activations that follow one another with short pauses.

    first, last  places of the first and last activation, from 0      start, span  s: when, and from start to end
    on           s with the output on                                factor  sum of current squared times time, A2s
    """

    first: int
    last: int
    start: float
    span: float
    on: float
    factor: float

    @property
    def count(self) -> int:
        """How many activations."""
        return self.last - self.first + 1


def clusters(
    start: Sequence[float], on: Sequence[float], current: Sequence[float] | None, pause: float
) -> tuple[Cluster, ...]:
    """Activations in clusters that end where the output was off for longer than `pause` s.

    start    s, rising                on  s, of each activation
    current  A r.m.s. of each; without it the factors are 0

    The heating factor of a cluster is the sum of I2 t, nothing having cooled: an upper view within it. Raises
    ValueError for activations out of order or one within another, and for times or currents below 0.
    """
    if not len(start):
        raise ValueError("there is no activation")
    if not pause >= 0.0:
        raise ValueError("the pause must not be below 0")
    amperes = [0.0] * len(start) if current is None else [float(one) for one in current]
    begins, lengths = [float(one) for one in start], [float(one) for one in on]
    for i, (length, ampere) in enumerate(zip(lengths, amperes, strict=True), start=1):
        if not (length >= 0.0 and ampere >= 0.0):
            raise ValueError(f"activation {i} has a time or a current below 0")
    groups: list[list[int]] = [[0]]
    for i in range(1, len(begins)):
        off = begins[i] - begins[i - 1] - lengths[i - 1]
        # A log in whole seconds may end an activation in the second in which the next begins.
        if begins[i] < begins[i - 1] or off < -1.0:
            raise ValueError(f"activation {i + 1} begins before the one above it has ended")
        if off > pause:
            groups.append([])
        groups[-1].append(i)
    return tuple(
        Cluster(
            group[0],
            group[-1],
            begins[group[0]],
            begins[group[-1]] + lengths[group[-1]] - begins[group[0]],
            math.fsum(lengths[i] for i in group),
            math.fsum(amperes[i] ** 2 * lengths[i] for i in group),
        )
        for group in groups
    )


def largest(found: Sequence[Cluster], by_time: bool = False) -> Cluster:
    """The cluster with the largest heating factor, or the longest time on; the earlier of two equal ones."""
    return max(found, key=lambda one: one.on if by_time else one.factor)
