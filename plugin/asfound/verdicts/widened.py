"""What is said beside a verdict of the spread of its repeats.

The spread of all repeats belongs to the doubt of each (JCGM 100:2008, 4.2.2), also where one is far off: none is
left out. Where the verdict by the instrument's doubt alone would be another, the reader is told so, and whether a test
sets one of them apart, since a wild reading would else hide behind the very doubt that it makes. A reading that stands
apart farther than the instrument's own doubt reaches is told of where it stands even where no verdict hangs on it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from asfound.measure.apart import LEAST, Apart, farthest, off_the_rest
from asfound.measure.show import short
from asfound.model.number import ValueKind
from asfound.model.outcome import Outcome
from asfound.verdicts.doubts import RangeInUnit, range_for, repeated_doubt
from asfound.verdicts.measured import Measured, six

_CONDITIONAL = {Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL}


class Repeats:
    """The readings of a sheet under equal conditions, put together when first asked for."""

    def __init__(self, measured: Sequence[Measured], ranges: Sequence[RangeInUnit]) -> None:
        self._measured, self._ranges = measured, ranges
        self._by_key: dict[tuple[str, ...], list[Measured]] | None = None
        self._apart: dict[tuple[str, ...], Apart | None] = {}

    def said(self, one: Measured, U: float | None, outcome: Outcome, decide: Callable[[float, float], Outcome]) -> str:
        """The sentence, without a stop; empty where nothing is to be said.

        `U` is the doubt that was decided with, scaled as the value was; `decide` gives the outcome under another
        and its coverage factor.
        """
        if not U or not one.U or one.y is None:
            return ""
        alike, found = self._of(one.key)
        chosen = range_for(one.y, self._ranges) if len(alike) > 1 else None
        if chosen is None:
            return ""
        by_itself = repeated_doubt(float(one.y), chosen)
        alone = decide(six(by_itself.U * U / one.U), six(by_itself.k)) if outcome in _CONDITIONAL else outcome
        if found is not None and found.level < 100:
            apart = f"{alike[found.at].reading.id} stands apart among {len(alike)} repeats ({beyond(found)})"
            if alone is not outcome:
                return f"{apart} and widens the doubt of each; by the instrument's doubt alone this would be {alone}"
            numbers = [float(each.y or 0) for each in alike]
            # By size, since a limit may ask that alone. Equal readings share what is said.
            if abs(numbers[found.at]) == abs(float(one.y)) and off_the_rest(numbers, found.at) > by_itself.U:
                return f"{apart} and widens the doubt of each; its cause is to be looked for"
            return ""
        if alone is outcome or outcome is not Outcome.CONDITIONAL_FAIL:
            return ""
        return (
            f"the spread of {len(alike)} repeats widens the doubt of each ({_none_apart(len(alike), found)}); by the "
            f"instrument's doubt alone this would be {alone}"
        )

    def _of(self, key: tuple[str, ...]) -> tuple[list[Measured], Apart | None]:
        """The readings under equal conditions, and that which lies farthest from the others."""
        if self._by_key is None:
            self._by_key = {}
            for one in self._measured:
                if one.value.kind is ValueKind.NUMBER and one.y is not None:
                    self._by_key.setdefault(one.key, []).append(one)
        alike = self._by_key.get(key, [])
        if key not in self._apart:
            chosen = range_for(alike[0].y, self._ranges) if alike and alike[0].y is not None else None
            step = 0.0 if chosen is None else chosen.known.resolution
            self._apart[key] = farthest([float(each.y or 0) for each in alike], step)
        return alike, self._apart[key]


def beyond(found: Apart) -> str:
    """What Grubbs' test says of a value that stands apart."""
    g, limit = _beside(found.g, found.one if found.level == 1 else found.five)
    return f"Grubbs' test: G = {g}, beyond {limit} at {found.level} %"


def _none_apart(count: int, found: Apart | None) -> str:
    if count < LEAST:
        return "of two no test can tell which is off"
    if found is None:
        return "they lie within one step of the display"
    g, limit = _beside(found.g, found.five)
    return f"Grubbs' test sets none apart: G = {g}, {limit} at 5 %"


def _beside(g: float, limit: float) -> tuple[str, str]:
    """Both figures with the digits that part them: 1.15470 lies beyond 1.15466, and no 1.155 beyond 1.155."""
    for digits in range(4, 16):
        shown = short(g, digits), short(limit, digits)
        if shown[0] != shown[1]:
            break
    return shown


__all__ = ["Repeats", "beyond"]
