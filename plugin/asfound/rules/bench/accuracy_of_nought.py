"""The range a sheet was read with does not claim to be without error.

Fails: `accuracy: {plus: 0 mV}` with a resolution of nought and no certificate: that a meter never errs, and so a doubt
of 0.
Passes: `{percent: "2", plus: 0 mV}`, whose share is the accuracy; a count; a mark, or what a device has recorded. With
a resolution it is noted: a nought may be meant for what a display shows, which is known to its last digit.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.bench._accuracy import bare

ENTRY = Entry(
    name="accuracy-of-nought",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="No instrument is entered as one that never errs.",
    reason="An accuracy of nought says that nothing measured could be wrong, which nobody can show.",
    source="JCGM 100:2008, F.2.2.1 and F.2.2.3 (resolution and calibration are parts of the doubt)",
    status="from memory",
    mend="Enter in .asfound/instruments.yml what its maker states for the range, or the doubt on its certificate; "
    "where nobody knows it, leave the nought out.",
    rows=("R50",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a function that a sheet was read with; a note where the last digit alone makes the doubt."""
    for one in bare(facts):
        if one.claimed:
            yield one.told(
                facts,
                ENTRY,
                f'{one.ref} states an accuracy of nought for the range {one.spoken} of "{one.function}", and its '
                f"readings have {one.doubt}",
                "the accuracy its maker states, or a doubt on the certificate, is needed"
                if one.nought
                else "more than nought is needed unless what is shown is itself what is asked, as on a display",
            )
