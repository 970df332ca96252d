"""The function a sheet was read with measures what its test measures, and so do its ranges and their doubt.

Fails: a sheet of output power read with a function for electric current, or with one whose ranges are in ampere: then
nothing of the instrument speaks of its readings, neither range nor doubt.
Passes: output power read with a function for power whose ranges are in watt.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.measure.units import OtherQuantityError, Quantity, Unit, convert_difference, unit
from asfound.model.base import Amount
from asfound.model.bench import Function, Instrument
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean, of_mark

ENTRY = Entry(
    name="function-other-quantity",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The function used measures what the test measures.",
    reason="Range and doubt of another quantity say nothing of a reading, and a verdict would rest on none.",
    source="ISO/IEC 17025:2017, 6.4.5",
    status="from memory",
    mend="Name the function that was used; or correct its quantity or ranges in .asfound/instruments.yml.",
    rows=("R48",),
)
YES_OR_NO = "yes or no"
_KNOWN = (*(str(one) for one in Quantity), YES_OR_NO)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, or a sheet that lies ready and names its function: the quantity, else the ranges."""
    for name, sheet in (*facts.case.sheets.items(), *facts.case.prepared.items()):
        instrument, test = facts.instruments.get(str(sheet.instrument)), facts.protocol_test(str(sheet.test))
        function = None if instrument is None else instrument.functions.get(str(sheet.function))
        if instrument is None or function is None or test is None:
            continue
        used = f'the function "{sheet.function}" of {sheet.instrument}'
        if of_mark(test) and function.quantity == YES_OR_NO:
            continue  # the eye, which reads any mark
        if function.quantity != test.quantity:
            yield facts.problem(
                ENTRY, name, "function",
                found=f"the sheet {name} uses {used}, which measures {_spoken(function)}",
                needed=f'what measures {test.quantity}, as the test "{test.title}" does, is needed',
                mend=_fitting(str(sheet.instrument), instrument, test.quantity),
            )  # fmt: skip
        elif other := _other(function):
            yield facts.problem(
                ENTRY, name, "function",
                found=f"{used} has {other}",
                needed=f"ranges, resolution, accuracy and doubt of {function.quantity} are needed",
            )  # fmt: skip


def _spoken(function: Function) -> str:
    if function.quantity in _KNOWN:
        return function.quantity
    return f'"{function.quantity}"{did_you_mean(function.quantity, _KNOWN)}, no quantity known here'


def _other(function: Function) -> str:
    """What of a function measures something else; empty where nothing does. The reader tells what no unit is."""
    for one in function.ranges:
        spoken, of = f"the range {one.from_.text} to {one.to.text}", unit(one.to.unit)
        if of is None:
            continue
        if str(of.quantity) != function.quantity:
            return spoken
        wide = {"resolution": one.resolution, "accuracy": one.accuracy.plus, "doubt": function.certificate_doubt}
        for what, amount in wide.items():
            if amount is not None and not _fits(amount, of):
                return f"the {what} {amount.text}, beside {spoken}"
    return ""


def _fits(amount: Amount, of: Unit) -> bool:
    """Whether a width can be told in a unit; what no unit is, is told elsewhere."""
    typed = unit(amount.unit)
    try:
        return typed is None or convert_difference(amount.value, typed, of) is not None
    except OtherQuantityError:
        return False


def _fitting(ref: str, instrument: Instrument, quantity: str) -> str:
    """What the instrument has for the quantity; empty where it has nothing."""
    names = [f'"{name}"' for name, one in instrument.functions.items() if one.quantity == quantity]
    if not names:
        return ""
    return f"Of {ref} {' or '.join(names)} measures {quantity}: name it if it was used; or correct the register."
