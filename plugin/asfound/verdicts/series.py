"""Verdicts on a whole series: output that must not rise when the setting is lowered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise

from asfound.measure.units import OtherQuantityError, Unit, convert
from asfound.model.limits import Limit
from asfound.model.verdict import LimitRef, Outcome, Verdict
from asfound.verdicts.context import typed_amount
from asfound.verdicts.measured import Measured, SheetWork, is_open, others

_At = tuple[Decimal, Measured]


def monotonic(
    work: SheetWork, mine: Sequence[Measured], ref: LimitRef, limit: Limit, planned: str
) -> Iterator[Verdict]:
    """One verdict per series: the smallest rise from one setting to the next higher must not be negative.

    Decided by simple acceptance whatever the plan says: both readings come from one instrument, so most of their
    doubt is common and drops out of the difference; what remains is not known well enough for a guard band.

    A step of which a reading is open (`<5`, no output) has no mean. What falls from one of the other steps to another
    falls all the same; where nothing does, the series is not assessable.
    """
    over = limit.series_over or "setting"
    groups: dict[tuple[str, ...], list[_At]] = {}
    base: Unit | None = None
    for one in mine:
        typed = typed_amount(work.setting.spoken(one.reading, over) or "")
        if typed is None or (one.y is None and not is_open(one)):
            continue
        number, of = typed
        base = base or of
        try:
            step = number if of is None or base is None else convert(number, of, base)
        except OtherQuantityError:
            continue
        groups.setdefault(others(one, over), []).append((step, one))
    for group in groups.values():
        ordered = sorted(group, key=lambda pair: pair[0])
        verdict = _verdict(work, ordered, ref, planned, over, "" if base is None else base.symbol)
        if verdict is not None:
            yield verdict


def _verdict(
    work: SheetWork, ordered: Sequence[_At], ref: LimitRef, planned: str, over: str, symbol: str
) -> Verdict | None:
    """The verdict on one series; None for a series of one step."""
    members = tuple(one.reading.id for _, one in ordered)
    if len({step for step, _ in ordered}) < 2:
        return None
    unsure = [(step, one) for step, one in ordered if is_open(one)]
    gone = {step for step, _ in unsure}
    known = [(step, one) for step, one in ordered if step not in gone]
    steps = sorted({step for step, _ in known})
    means = {step: _mean([one.y for at, one in known if at == step and one.y is not None]) for step in steps}
    rises = [(means[high] - means[low], low, high) for low, high in pairwise(steps)]
    if unsure and not any(rise < 0 for rise, _, _ in rises):
        first = unsure[0][1].reading
        why = f'{first.id} reads "{first.value.text}", which is no number to compare with those of the other steps'
        return Verdict(
            first.id, members, planned, work.sheet.item, ref, Outcome.NOT_ASSESSABLE, None, work.to.symbol, None, None,
            None, None, False, None, None, "simple acceptance", why,
        )  # fmt: skip
    smallest, low, high = min(rises)
    subject = next(one for step, one in known if step == high)
    outcome = Outcome.PASS if smallest >= 0 else Outcome.FAIL
    smallest = _told(smallest, [one.y for _, one in known if one.y is not None])
    unit = f" {symbol}" if symbol else ""
    return Verdict(
        subject.reading.id, members, planned, work.sheet.item, ref, outcome, smallest, work.to.symbol, None, None,
        Decimal(0), None, False, None, smallest, "simple acceptance", "",
        (f"smallest change from one {over} to the next, from {low:f}{unit} to {high:f}{unit}",),
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
