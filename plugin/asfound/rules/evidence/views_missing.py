"""Each main device that was impounded is photographed overall, from a middle distance, and close.

Fails: a main device with an overall view only.
Passes: photographs with `view: overall`, `middle` and `close` that name it under `items`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import View
from asfound.model.things import ItemRole
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.evidence._pictures import photographs, unread

ENTRY = Entry(
    name="views-missing",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Each main device that was impounded is photographed overall, from a middle distance, and close.",
    reason="A close-up alone does not show where it belongs, and an overall view does not show what is wrong.",
    source="ASTM E1020-13e1, 5.1.2",
    status="confirmed",
    mend="Add what was taken to evidence.yml with its view and items; if it was not taken, the gap is printed.",
    rows=("R27",),
)

_WANTED = (View.OVERALL, View.MIDDLE, View.CLOSE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a device."""
    case = facts.case
    if unread(facts) or (not case.evidence and any(path.startswith("evidence/") for path in case.files)):
        return  # files that nobody registered yet may be just these; another rule asks for the register
    for ref, item in case.items.items():
        if item.role is not ItemRole.MAIN_DEVICE or not item.impounded:
            continue
        views = {evidence.view for _, evidence in photographs(facts, ref)}
        missing = [view for view in _WANTED if view not in views]
        if missing:
            yield facts.problem(
                ENTRY,
                ref,
                found=f"no photograph of {ref} is registered with the view {listed(missing)}",
                needed="an overall, a middle and a close view are needed",
            )
