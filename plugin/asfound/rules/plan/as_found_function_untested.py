"""The main device's function was tested at the settings and with the accessories it was found with.

Fails: output was measured at full power only; no sheet says `as_found_settings: yes`.
Passes: a sheet at the 90 W found on the dial, with the pencil and pad of the event, marked `as_found_settings: yes`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import tested_as_found

ENTRY = Entry(
    name="as-found-function-untested",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The main device's function is tested at its as-found settings with its as-found accessories.",
    reason="A test at other settings tells how the device can behave, not how it behaved.",
    source="common practice, no source; taught in hospital accident-investigation training (2007)",
    status="common practice",
    mend="Test at the as-found settings and mark the sheet as_found_settings: yes, or say why it could not be had.",
    rows=("R45",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a main device; a reason on record makes it a warning. Silent without a plan."""
    plan = facts.case.plan
    if plan is None or facts.case.some_unread("S"):
        return
    tested = tested_as_found(facts)
    for ref, item in facts.case.items.items():
        if item.role is not ItemRole.MAIN_DEVICE or ref in tested:
            continue
        why = _why(facts, ref)
        yield facts.problem(
            ENTRY,
            ref,
            found=f"no test of function was done on {ref} at its as-found settings" + (f" ({why})" if why else ""),
            needed="a test at the settings and with the accessories of the event is needed",
            level=Level.WARN if why else None,
        )


def _why(facts: Facts, ref: str) -> str:
    """The reason on record why as-found function could not be tested; empty where there is none."""
    plan, scene = facts.case.plan, facts.case.scene
    if not any(item.impounded for name, item in facts.case.items.items() if name == ref):
        return f"it was not impounded: {told(facts.case.items[ref].why_not_impounded)}"
    if scene is not None and scene.settings_not_obtainable is not None and not scene.settings:
        return told(scene.settings_not_obtainable)
    functional = [
        planned
        for name, planned in (plan.tests.items() if plan is not None else ())
        if planned.item == ref and (test := facts.protocol_test(name)) is not None and test.functional
    ]
    reasons = [told(planned.not_done) for planned in functional if planned.not_done is not None]
    return reasons[0] if reasons and len(reasons) == len(functional) else ""
