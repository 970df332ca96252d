"""The range a sheet was read with states an accuracy, or its certificate a doubt.

Fails: a range of which nobody stated an accuracy, with a resolution of nought and no certificate: its readings would be
printed with a doubt of 0.
Passes: a count, which is exact; 2 % of the reading plus 0 mV, since a share is stated. A range with a resolution alone
is noted: what a record shows is known to its last digit, what a meter measures is not.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.bench._accuracy import bare

ENTRY = Entry(
    name="accuracy-not-stated",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An instrument's range states an accuracy, or its certificate a doubt.",
    reason="Nothing is measured without doubt; an accuracy that is not stated is one that nobody looked up.",
    source="JCGM 100:2008, F.2.2.1 and F.2.2.3 (resolution and calibration are parts of the doubt)",
    status="from memory",
    mend="Enter in .asfound/instruments.yml what its maker states for the range, or the doubt on its certificate.",
    rows=("R50",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a function that a sheet was read with; a note where the last digit alone makes the doubt."""
    for one in bare(facts):
        if not one.claimed:
            yield one.told(
                facts,
                ENTRY,
                f'{one.ref} states no accuracy for the range {one.spoken} of "{one.function}", so its readings have '
                f"{one.doubt}",
                "an accuracy, or a doubt on the certificate, is needed"
                if one.nought
                else "an accuracy is needed unless what is shown is itself what is asked, as on a device's display",
            )
