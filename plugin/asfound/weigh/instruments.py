"""Whether anybody vouches for what a sheet was read with, at the time it was read."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.bench import Instrument
from asfound.model.weighing import Link
from asfound.model.work import Sheet
from asfound.weigh.chain import link
from asfound.weigh.ground import Ground


def of_instrument(ground: Ground, name: str, sheet: Sheet) -> Iterator[Link]:
    """What is wrong with the instrument a sheet was read with, and with the bench it stood on."""
    ref = sheet.instrument
    instrument = ground.facts.instruments.get(ref)
    if instrument is None or sheet.function not in instrument.functions or not instrument.calibrations:
        yield link("instrument-unfit", (ref, name), f"Nobody vouches for {ref}, with which {name} was read.")
        return
    failed = [check.what for check in sheet.checks if not check.ok]
    if failed:
        yield link("instrument-unfit", (ref, name), f"A check of the bench at {name} failed: {failed[0]}.")
    state = in_date(instrument, sheet)
    if state is None:
        yield link("instrument-unfit", (ref, name), f"{ref} was out of date when {name} was read.")
    elif not state:
        text = f"{ref} was out of date when {name} was read, and found in tolerance later."
        yield link("instrument-indicative", (ref, name), text)
    else:
        later = instrument.next_check(sheet.to.at.date())
        if later is not None and not later.in_tolerance:
            text = f"{ref} was found out of tolerance on {later.on}, after {name} was read with it."
            yield link("instrument-unfit", (ref, name), text)


def in_date(instrument: Instrument, sheet: Sheet) -> bool | None:
    """Whether an instrument was within its calibration; False: not, but found in tolerance later; None: not at all."""
    first, last = sheet.from_.at.date(), sheet.to.at.date()
    if any(one.on <= first and last <= one.due for one in instrument.calibrations):
        return True
    later = instrument.next_check(last)
    return False if later is not None and later.in_tolerance else None


def vouched(ground: Ground, name: str) -> bool:
    """Whether nothing at all is wrong with the instrument of a sheet, nor with its bench."""
    return not any(of_instrument(ground, name, ground.case.sheets[name]))
