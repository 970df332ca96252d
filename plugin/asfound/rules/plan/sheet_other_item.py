"""A sheet is of the thing that its test was planned for.

Fails: output power planned for the generator I-1, and a sheet of it that says `item: I-9`, a handpiece.
Passes: `item: I-1`; and the handpiece under a planned use of its own, `output-power--handpiece`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="sheet-other-item",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A sheet of readings is of the thing that its test was planned for.",
    reason="Readings that stand at another thing are held against its values, and speak of the wrong one.",
    source="ISO/IEC 17025:2017, 7.8.2.1 g (identification of the item)",
    status="from memory",
    mend="Name the thing that was tested. A test of another thing is a planned use of its own, such as NAME--second.",
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, or a sheet that lies ready and names its item."""
    for name, sheet in (*facts.case.sheets.items(), *facts.case.prepared.items()):
        planned = facts.planned(str(sheet.test))
        if planned is not None and sheet.item is not None and sheet.item != planned.item:
            yield facts.problem(
                ENTRY, name, "item",
                found=f"the sheet {name} is of {sheet.item}, and {sheet.test} was planned for {planned.item}",
                needed="the thing of the planned test is needed",
            )  # fmt: skip
