"""The examiner did not maintain, set up, use, buy or sell the things examined, nor supervise their user.

Looked for in the declaration, in the service history of things in use, in their last maintenance, and among
those who gave a statement. In a shop of one or two people (`two_person_shop: yes` in the settings) a declared tie
warns: the report says that it is not independent. A tie that the declaration denies is refused everywhere.

Fails: `declaration: {maintained: yes, …}`; or a line of service.yml with `by_role: examiner`.
Passes: every question of the declaration answered no, and nobody else's record saying otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, role_called, short

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

_TIES = {
    "maintained": "maintained it",
    "set_up": "set it up",
    "used": "used it",
    "bought": "bought it",
    "sold": "sold it",
    "supervised_user": "supervised its user",
}


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for the declaration, one for each record that shows a tie the declaration does not name."""
    head, case = facts.case.head, facts.case
    examiner = head.examiner
    if examiner is None:
        return
    declared = head.declaration.ties if head.declaration is not None else ()
    if declared:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "declaration",
            declared[0],
            found=f"the examiner declares a tie to the things examined: {listed(_TIES[name] for name in declared)}",
            needed="an examiner without such ties is needed",
            level=Level.WARN if facts.settings.two_person_shop else None,
        )
    in_use = {ref for ref, item in case.items.items() if item.in_use_at_event}
    if "maintained" not in declared:
        for ref, event in case.service.items():
            if in_use.intersection(event.items) and (
                event.by_role == examiner or role_called(case, told(event.by), examiner)
            ):
                yield facts.problem(
                    ENTRY,
                    ref,
                    "by_role" if event.by_role == examiner else "by",
                    found=f"the examiner did the {short(event.kind, 30)} of {listed(event.items)}",
                    needed="an examiner who did not work on the things in use is needed",
                )
        for ref in sorted(in_use):
            note = case.items[ref].last_maintenance
            if note is not None and role_called(case, told(note.by), examiner):
                yield facts.problem(
                    ENTRY,
                    ref,
                    "last_maintenance",
                    "by",
                    found=f"the examiner did the last maintenance of {ref}",
                    needed="an examiner who did not work on the things in use is needed",
                )
    if "used" not in declared:
        for ref, statement in case.statements.items():
            if statement.by == examiner:
                yield facts.problem(
                    ENTRY,
                    ref,
                    "by",
                    found="the examiner gave a statement as a witness of the event",
                    needed="an examiner who had no part in the event is needed",
                )
