"""Where a device's power was changed before its log was saved, the scene says what that did to the log.

The power changes at `first_power_change_at` in scene.yml or at the first sheet that energises the device. The log is
saved when it was taken, or at the gate *logs read*, whichever is first.

Fails: power changed at 11:40, the log taken on the next day, and no word of the effect.
Passes: `why` or `start_erases` under `volatile_data` in scene.yml; or a log from before the change.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.model.testimony import EvidenceKind
from asfound.model.things import ItemRole
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="power-cycled-before-log",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Where power was changed before the log was saved, the scene says what that did to the log.",
    reason="A start can overwrite the oldest entries, close an open one, or set the clock of the log back.",
    source="NIST SP 800-86 (volatile data first)",
    status="from memory",
    mend="Say under volatile_data in scene.yml whether a start erases anything (start_erases) and what was lost (why).",
    rows=("R32",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a device, at its earliest log."""
    case = facts.case
    volatile = case.scene.volatile_data if case.scene is not None else None
    if "scene.yml" in case.broken or any(ref[:2] in {"G-", "S-"} for ref in case.broken):
        return
    if volatile is not None and (volatile.why is not None or volatile.start_erases is not None):
        return
    for item, thing in case.items.items():
        if thing.role is not ItemRole.MAIN_DEVICE or not thing.in_use_at_event:
            continue
        logs = sorted(
            (evidence.taken_at.at, ref, evidence.taken_at)
            for ref, evidence in case.evidence.items()
            if evidence.kind is EvidenceKind.LOG and item in evidence.items and evidence.taken_at is not None
        )
        if not logs:
            continue
        read = [
            gate.at
            for gate in case.gates.gates.values()
            if gate.gate is GateKind.LOGS_READ and (not gate.items or item in gate.items)
        ]
        saved = min([logs[0][2], *read], key=lambda moment: moment.at)
        power = _power_change(facts, item)
        if power is not None and power[0] < saved:
            yield facts.problem(
                ENTRY,
                logs[0][1],
                "taken_at",
                found=f"the log of {item} was saved at {saved.text}, after {power[1]} at {power[0].text}",
                needed="a word on what the change of power did to the log is needed",
            )


def _power_change(facts: Facts, item: str) -> tuple[Moment, str] | None:
    scene = facts.case.scene
    found: list[tuple[Moment, str]] = []
    if scene is not None and scene.first_power_change_at is not None:
        found.append((scene.first_power_change_at, "the first change of power"))
    for ref, sheet in facts.case.sheets.items():
        test = facts.protocol_test(sheet.test)
        if sheet.item == item and test is not None and test.energised:
            found.append((sheet.from_, f"{ref} energised it"))
    return min(found, key=lambda one: (one[0].at, one[1]), default=None)
