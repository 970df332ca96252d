"""Verdicts on a whole series: output that must not rise when the setting is lowered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from asfound.measure.units import OtherQuantityError, Unit, convert
from asfound.model.limits import Limit
from asfound.model.verdict import LimitRef, Outcome, Verdict
from asfound.verdicts.context import typed_amount

if TYPE_CHECKING:
    from asfound.verdicts.measured import Measured, SheetWork


def monotonic(
    work: SheetWork, mine: Sequence[Measured], ref: LimitRef, limit: Limit, planned: str
) -> Iterator[Verdict]:
    """One verdict per series: the smallest rise from one setting to the next higher must not be negative.

    Decided by simple acceptance whatever the plan says: both readings come from one instrument, so most of their
    doubt is common and drops out of the difference; what remains is not known well enough for a guard band.
    """
    over = limit.series_over or "setting"
    groups: dict[tuple[str, ...], list[tuple[Decimal, Measured]]] = {}
    base: Unit | None = None
    for one in mine:
        typed = typed_amount(work.setting.spoken(one.reading, over) or "")
        if typed is None or one.y is None:
            continue
        number, of = typed
        base = base or of
        try:
            step = number if of is None or base is None else convert(number, of, base)
        except OtherQuantityError:
            continue
        key = tuple(text for name, text in one.reading.conditions.items() if name != over)
        groups.setdefault(key, []).append((step, one))
    for group in groups.values():
        ordered = sorted(group, key=lambda pair: pair[0])
        steps = sorted({step for step, _ in ordered})
        if len(steps) < 2:
            continue
        means = {step: _mean([one.y for at, one in ordered if at == step and one.y is not None]) for step in steps}
        rises = [(means[high] - means[low], low, high) for low, high in pairwise(steps)]
        smallest, low, high = min(rises)
        subject = next(one for step, one in ordered if step == high)
        outcome = Outcome.PASS if smallest >= 0 else Outcome.FAIL
        smallest = _told(smallest, [one.y for _, one in ordered if one.y is not None])
        yield Verdict(
            subject.reading.id, tuple(one.reading.id for _, one in ordered), planned, work.sheet.item, ref, outcome,
            smallest, work.to.symbol, None, None, Decimal(0), None, False, None, smallest, "simple acceptance",
            "", (f"smallest change from one {over} to the next, from {low} to {high}",),
        )  # fmt: skip


def _mean(values: Sequence[Decimal]) -> Decimal:
    return sum(values, Decimal(0)) / len(values)


def _told(found: Decimal, readings: Sequence[Decimal]) -> Decimal:
    """What was decided with, to one place more than the readings have: a mean of three has no end of digits.

    What is not nothing keeps two digits, however small, so that it is not told as nothing.
    """
    place = min(_place(one) for one in readings) - 1
    if found:
        place = min(place, found.adjusted() - 1)
    return found if _place(found) >= place else found.quantize(Decimal((0, (1,), place)))


def _place(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0
