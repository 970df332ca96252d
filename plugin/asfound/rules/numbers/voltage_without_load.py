"""A voltage read without load is no evidence of a shock, unless what flows through a load was read as well.

Asked where somebody was shocked, of voltages of an energised test that support an explanation or the mechanism. A load
is on record where a current on the same supply names its measuring device, its network or its load; or where the
voltage itself was read across no more than 10 kΩ.

Fails: 60 V on a meter of 10 MΩ, on which the mechanism rests, and no current through 1 kΩ beside it.
Passes: the same with 1.2 mA through 1 kΩ, read on the same supply.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from asfound.measure.units import Quantity, unit
from asfound.model.base import told
from asfound.model.event import EventKind
from asfound.model.facts import Facts
from asfound.model.reasoning import Status
from asfound.model.work import Reading
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import Work, answered, conditions, function_of, in_unit, quantity, works

ENTRY = Entry(
    name="voltage-without-load",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A voltage read without load stands as evidence of a shock only beside a current through a load.",
    reason="A floating case shows half the supply on a meter of many megohms, and may drive nothing through a hand.",
    source="IEC 60601-1 (the measuring device stands for a body of about 1 kΩ); table of effects in OSHA 3075",
    status="from memory",
    mend="Read the current through 1 kΩ at the same place and supply, and rest the explanation on that.",
    rows=("R56",),
)

_BODY = Decimal(10)
"""Up to how many kilohms an input counts as a load (ours; a body is about one)."""
_LOADS = ("load", "network", "device")
_METHOD = re.compile(r"\bnetwork\b|\d ?k?(?:Ω|ohm)", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a finding."""
    if facts.case.head.event.kind is not EventKind.SHOCK:
        return
    every = tuple(work for work in works(facts) if work.test is not None and work.test.energised)
    loaded = {(work.sheet.item, _supply(work)) for work in every if _through_load(facts, work)}
    at = {row.id: work for work in every for row in answered(work.rows) if _floating(facts, work, row)}
    for ref in _evidence(facts):
        cited = [one for one in facts.case.findings[ref].rests_on if one in at]
        alone = [one for one in cited if (at[one].sheet.item, _supply(at[one])) not in loaded]
        if alone:
            item = at[alone[0]].sheet.item
            yield facts.problem(
                ENTRY,
                ref,
                "rests_on",
                found=f"{ref} stands as evidence on {named(alone)}, read without load, and no current of {item} "
                "through a load was read on that supply",
                needed="a current through a load of the order of a body is needed",
            )


def _evidence(facts: Facts) -> tuple[str, ...]:
    """Findings that speak for an explanation, or carry the mechanism."""
    case = facts.case
    refs = [
        ref
        for one in case.explanations.values()
        if one.status is Status.SUPPORTED
        for ref in (*one.supports, *(each for need in one.needs for each in need.shown_by))
    ]
    refs += case.conclusion.mechanism.rests_on if case.conclusion is not None else ()
    return tuple(dict.fromkeys(ref for ref in refs if ref in case.findings))


def _supply(work: Work) -> str:
    return work.sheet.supply.kind.casefold() if work.sheet.supply is not None else ""


def _of(row: Reading, wanted: Quantity) -> bool:
    known = unit(row.unit)
    return known is not None and known.quantity is wanted


def _floating(facts: Facts, work: Work, row: Reading) -> bool:
    if not _of(row, Quantity.VOLTAGE):
        return False
    for name, text in conditions(facts, work, row).items():
        read = quantity(text, work.table.units.get(name, "") if work.table else "")
        if "load" in name.casefold() and read is not None and read[1].quantity is Quantity.RESISTANCE:
            ohms = in_unit(read[0], read[1].symbol, "kohm")
            return ohms is None or ohms > _BODY
    return True


def _through_load(facts: Facts, work: Work) -> bool:
    function = function_of(facts, work.sheet)
    method = told(function.method) if function is not None and function.method is not None else ""
    # What a sheet holds that cannot be read is not known; that is told where it stands.
    return facts.unread.on(work.name) or any(
        _of(row, Quantity.CURRENT)
        and (
            _METHOD.search(method)
            or any(word in name.casefold() for name in conditions(facts, work, row) for word in _LOADS)
        )
        for row in answered(work.rows)
    )
