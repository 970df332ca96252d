"""What is said beside a verdict that the spread of the repeats made conditional.

The spread of all repeats belongs to the doubt of each (JCGM 100:2008, 4.2.2), also where one is far off: none is
left out. Where the verdict by the instrument's doubt alone would be another, the reader is told so, and whether a test
sets one of them apart, since a wild reading would else hide behind the very doubt that it makes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from asfound.measure.apart import farthest
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

    def said(self, one: Measured, U: float | None, outcome: Outcome, decide: Callable[[float, float], Outcome]) -> str:
        """The sentence, without a stop; empty where nothing is to be said.

        `U` is the doubt that was decided with, scaled as the value was; `decide` gives the outcome under another
        and its coverage factor.
        """
        if outcome not in _CONDITIONAL or not U or not one.U or one.y is None:
            return ""
        alike = self._of(one.key)
        chosen = range_for(one.y, self._ranges)
        if len(alike) < 2 or chosen is None:
            return ""
        by_itself = repeated_doubt(float(one.y), chosen)
        alone = decide(six(by_itself.U * U / one.U), six(by_itself.k))
        if alone is outcome:
            return ""
        found = farthest([float(each.y or 0) for each in alike])
        count, otherwise = len(alike), f"by the instrument's doubt alone this would be {alone}"
        if found is not None and found.level < 100:
            shown = _beside(found.g, found.one if found.level == 1 else found.five)
            test = f"Grubbs' test: G = {shown[0]}, beyond {shown[1]} at {found.level} %"
            apart = f"{alike[found.at].reading.id} stands apart among {count} repeats ({test})"
            return f"{apart} and widens the doubt of each; {otherwise}"
        if outcome is not Outcome.CONDITIONAL_FAIL:
            return ""
        test = "of two no test can tell which is off"
        if found is not None:
            shown = _beside(found.g, found.five)
            test = f"Grubbs' test sets none apart: G = {shown[0]}, {shown[1]} at 5 %"
        return f"the spread of {count} repeats widens the doubt of each ({test}); {otherwise}"

    def _of(self, key: tuple[str, ...]) -> list[Measured]:
        if self._by_key is None:
            self._by_key = {}
            for one in self._measured:
                if one.value.kind is ValueKind.NUMBER and one.y is not None:
                    self._by_key.setdefault(one.key, []).append(one)
        return self._by_key.get(key, [])


def _beside(g: float, limit: float) -> tuple[str, str]:
    """Both figures with the digits that part them: 1.15470 lies beyond 1.15466, and no 1.155 beyond 1.155."""
    for digits in range(4, 16):
        shown = short(g, digits), short(limit, digits)
        if shown[0] != shown[1]:
            break
    return shown


__all__ = ["Repeats"]
