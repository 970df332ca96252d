"""What a count of trials leaves room for: the exact binomial bounds of the chance in one trial.

*Not seen in 59 trials* is a number, not an absence. It speaks of trials like these, on this item, at the bench.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.agreement import interval, lower_bound, upper_bound
from asfound.measure.show import show_percent
from asfound.model.number import ValueKind
from asfound.model.verdict import Result
from asfound.verdicts.measured import SheetWork

KIND = "trials"
_METHOD = "95 %, exact binomial (Clopper and Pearson)"


def of_trials(work: SheetWork) -> Iterator[Result]:
    """One result for each reading of the form `3 of 10`. None seen has an upper bound, all seen a lower one.

    The value, in per cent, is the bound of a one-sided statement; an interval of two sides has its text alone.
    """
    counts = [one.reading for one in work.measured if one.value.kind is ValueKind.COUNT]
    stem = f"Y-{work.name.removeprefix('S-')}-{KIND}"
    for number, reading in enumerate(counts, start=1):
        seen, trials = int(reading.value.number or 0), int(reading.value.of or 0)
        if not 0 <= seen <= trials or trials < 1:
            continue
        value, said = _bounds(seen, trials)
        ident = stem if len(counts) == 1 else f"{stem}-{number}"
        text = (
            f"Seen in {seen} of {trials} trials: the chance in one such trial is {said} ({_METHOD}). "
            "It speaks of trials like these, at the bench, and is no rate in use."
        )
        yield Result(
            ident, KIND, work.name, f"What {seen} of {trials} leaves room for", value, "%", None, (reading.id,), text,
            None, (("chance in one trial", said),),
        )  # fmt: skip


def _bounds(seen: int, trials: int) -> tuple[Decimal | None, str]:
    if seen == 0:
        bound = upper_bound(seen, trials)
        return _percent(bound), f"below {_shown(bound)}"
    if seen == trials:
        bound = lower_bound(seen, trials)
        return _percent(bound), f"above {_shown(bound)}"
    low, high = interval(seen, trials)
    return None, f"between {_shown(low)} and {_shown(high)}"


def _percent(share: float) -> Decimal:
    return Decimal(f"{share * 100:.{_places(share, 2)}f}")


def _shown(share: float) -> str:
    return show_percent(share * 100, _places(share, 2 if share < 0.1 else 1))


def _places(share: float, usual: int) -> int:
    """Places for two digits of what parts a bound from 0 or 100 %: no count shows that a thing is impossible."""
    rest = 100.0 * min(share, 1.0 - share)
    return max(usual, 1 - math.floor(math.log10(rest))) if rest > 0.0 else usual
