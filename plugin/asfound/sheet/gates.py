"""What has to come before a sheet and is not on record, in words. Read before anything is typed; it hinders nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.case import Case
from asfound.model.limits import Test
from asfound.model.things import ItemRole
from asfound.model.work import Gate, GateKind, PreparedSheet, Tier

_CONNECTS = {"analyser": "an analyser", "simulator": "a simulator", "person": "a person"}


def not_open(case: Case, sheet: PreparedSheet, test: Test | None) -> tuple[str, ...]:
    """Gates that the sheet's test waits for, as sentences, in the order of work; empty where all are on record."""
    return tuple(_said(case, sheet, test))


def _said(case: Case, sheet: PreparedSheet, test: Test | None) -> Iterator[str]:
    if case.plan is None:
        yield "There is no plan yet. What a reading is held against is chosen before it is taken."
    elif case.plan.sealed is None and not _of(case, GateKind.PLAN_SEALED, sheet.item):
        yield "The plan is not sealed yet. Seal it before the first reading, so that nobody can say it came after."
    if test is None:
        return
    if test.energised:
        subjects = [sheet.item, *(ref for ref in sheet.accessories if _was_there(case, ref))]
        bare = [ref for ref in subjects if not _of(case, GateKind.INSPECTED, ref)]
        if bare:
            yield f"{_listed(bare)} not inspected yet, as far as the record goes. Apply no power before that is done."
        for ref in subjects:
            gates = _of(case, GateKind.INSPECTED, ref)
            if gates and "significant" in (gates[-1].outcome or "").casefold():
                yield f"{ref} was found with significant damage. It is not energised before all parties can attend."
    if test.connects in _CONNECTS:
        gates = _of(case, GateKind.SAFE_TO_CONNECT, sheet.item)
        if not gates:
            yield (
                f"{sheet.item} is not on record as safe to connect. This test connects {_CONNECTS[test.connects]}: "
                "measure electrical safety first."
            )
        elif not re.match(r"yes\b", (gates[-1].outcome or "").strip(), re.IGNORECASE):
            said = gates[-1].outcome or "nothing"
            yield f"The last word on whether {sheet.item} is safe to connect is “{said}”. Connect nothing to it."
    if test.alters in (Tier.CHANGES, Tier.DESTROYS) and not (sheet.consents or sheet.order):
        yield "This test alters the evidence, and no consent and no order stands on the sheet. Ask in writing first."


def _was_there(case: Case, ref: str) -> bool:
    item = case.items.get(ref)
    return item is not None and item.role is not ItemRole.EXEMPLAR and item.in_use_at_event


def _of(case: Case, kind: GateKind, item: str) -> list[Gate]:
    found = [one for one in case.gates.gates.values() if one.gate is kind and (not one.items or item in one.items)]
    return sorted(found, key=lambda one: one.at.at)


def _listed(refs: list[str]) -> str:
    if len(refs) == 1:
        return f"{refs[0]} is"
    return f"{', '.join(refs[:-1])} and {refs[-1]} are"
