"""The examiner did not maintain, set up, use, buy or sell the things examined, nor supervise their user.

Looked for in the declaration, in the service history of things in use, in their last maintenance and ownership, and
among those who gave a statement. In a shop of one or two people (`two_person_shop: yes` in the settings) a declared tie
warns: the report says that it is not independent. A tie that the declaration denies is refused everywhere.

Fails: `declaration: {maintained: yes, …}`; or a line of service.yml with `by_role: examiner`.
Passes: every question of the declaration answered no, and nobody else's record saying otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import ties_of
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="examiner-with-ties",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The examiner did not maintain, set up, use, buy or sell the things examined, or supervise their user.",
    reason="Whoever looked after a thing would be judging their own work, and will be asked about it first.",
    source="ISO/IEC 17025:2017, 4.1; ISO/IEC 17020:2012, 4.1 and annex A",
    status="from memory",
    mend="Let somebody without ties examine, or have an outside reviewer sign and say so under mitigation.",
    rows=("R1",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for the declaration, one for each record that shows a tie the declaration does not name."""
    ties = ties_of(facts.case)
    declared = [one for one in ties if one.declared]
    if declared:
        yield facts.problem(
            ENTRY,
            *declared[0].where,
            found=f"the examiner declares a tie to the things examined: {listed(one.found for one in declared)}",
            needed="an examiner without such ties is needed",
            level=Level.WARN if facts.settings.two_person_shop else None,
        )
    for one in ties:
        if not one.declared:
            yield facts.problem(ENTRY, *one.where, found=f"the examiner {one.found}", needed=_NEEDED[one.question])


_NEEDED = {
    "maintained": "an examiner who did not work on the things in use is needed",
    "bought": "an examiner who does not own the things in use is needed",
    "used": "an examiner who had no part in the event is needed",
}
