"""The instrument of a sheet stands in the register, with the function used and a certificate.

Fails: a sheet read with M-9, which the register does not hold; or with a function that M-2 does not list.
Passes: M-2 with its function `resistance` and a calibration with certificate, date and due date; two readers with their
function `seen`, a yes or no: it has no accuracy that a certificate could speak to (6.4.6, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import did_you_mean

ENTRY = Entry(
    name="instrument-unknown",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Every instrument used stands in the register with the function used and a certificate.",
    reason="A number is worth what the instrument behind it is worth, and that is what the certificate says.",
    source="ISO/IEC 17025:2017, 6.4.13 a, b and e",
    status="confirmed",
    mend="Enter the instrument, its function and its calibration in .asfound/instruments.yml.",
    rows=("R47",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet: the instrument, else its function, else its certificate.

    A sheet that lies ready is asked the same of what it names already.
    """
    prepared = [(name, sheet) for name, sheet in facts.case.prepared.items() if sheet.instrument is not None]
    for name, sheet in (*facts.case.sheets.items(), *prepared):
        ref = str(sheet.instrument)
        instrument = facts.instruments.get(ref)
        if instrument is None:
            if not facts.case.exists(ref) and not facts.unread_instrument(ref):
                yield facts.problem(
                    ENTRY,
                    name,
                    "instrument",
                    found=f'the sheet {name} names "{ref}", which is not in the register',
                    needed="an instrument of the register is needed",
                )
            continue
        if sheet.function is not None and sheet.function not in instrument.functions:
            hint = did_you_mean(sheet.function, instrument.functions)
            yield facts.problem(
                ENTRY,
                name,
                "function",
                found=f'the sheet {name} uses the function "{sheet.function}" of {ref}{hint}',
                needed="a function that the register lists for the instrument is needed",
            )
        used = instrument.functions.get(str(sheet.function))
        if not instrument.calibrations and (used is None or used.quantity != "yes or no"):
            yield facts.problem(
                ENTRY,
                name,
                "instrument",
                found=f"the register holds no calibration certificate for {ref}, the instrument of {name}",
                needed="a certificate with its number, date and due date is needed",
            )
