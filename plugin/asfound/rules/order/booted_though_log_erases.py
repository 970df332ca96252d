"""A device whose start would erase its log is not started before the log is read, or its maker was asked.

`start_erases: yes` under `volatile_data` in scene.yml says so; `asked` cites the notice to its maker.

Fails: `start_erases: yes`, energised at 13:20, *logs read* at 15:00, and nobody asked.
Passes: *logs read* at 12:50; or a notice that was answered before; or `start_erases: no`. Silence is no answer, and an
objection none that lets one go on.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.model.work import GateKind, Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, was
from asfound.rules.order._gates import broken_gates, gates_for, lets_go_on, sheets_with_tests, subjects

ENTRY = Entry(
    name="booted-though-log-erases",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A device whose start erases its log is not started before the log is read, or its maker was asked.",
    reason="The log may be the only witness, and it is gone in the second the power comes on.",
    source="NIST SP 800-86 (volatile data first, from memory)",
    status="from memory",
    mend="If the log was read earlier, record that gate with its true time; else say in scene.yml what was lost.",
    rows=("ST8", "R32"),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem, at the first sheet that energised."""
    scene = facts.case.scene
    volatile = scene.volatile_data if scene else None
    if volatile is None or volatile.start_erases != "yes" or broken_gates(facts):
        return
    holding = set(volatile.items) or {
        ref for ref, item in facts.case.items.items() if item.role is ItemRole.MAIN_DEVICE
    }
    notices = [facts.case.notices[ref] for ref in volatile.asked if ref in facts.case.notices]
    sheets = sorted(sheets_with_tests(facts), key=lambda one: (one[1].from_.at, one[0]))
    for ref, sheet, test in sheets:
        if not test.energised or any(lets_go_on(notice, sheet.from_) for notice in notices):
            continue
        lost = [item for item in subjects(facts, sheet) if item in holding and not _read(facts, item, sheet)]
        if lost:
            yield facts.problem(
                ENTRY,
                ref,
                "from",
                found=f"{ids(lost)} {was(lost)} started at {sheet.from_.text}, "
                "which erases the log, and the log had not been read",
                needed="the log read out, or an answer of the maker, is needed before",
            )
            return


def _read(facts: Facts, item: str, sheet: Sheet) -> bool:
    return any(gate.at <= sheet.from_ for _, gate in gates_for(facts, GateKind.LOGS_READ, item))
