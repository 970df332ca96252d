"""A thing found with significant damage is energised only after the parties were asked.

An answered notice that consents to the item, to the planned test, or to the sheet is enough, and "the maker is gone" or
"declined to attend" is an answer. An answer that came after the power is none.

Fails: *inspected*, `outcome: significant damage`, then a leakage test, and no answered notice.
Passes: a notice with `consents_to: [I-1]` and a `reply`, sent before the test; or no energised sheet at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.work import GateKind, Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, was
from asfound.rules.order._gates import gates_for, lets_go_on, sheets_with_tests, subjects

ENTRY = Entry(
    name="damaged-and-energised",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A thing found with significant damage is energised only after the parties were asked.",
    reason="What damage looked like before power is the other side's evidence too.",
    source="ASTM E860-22, 4.1; National Institute of Justice, destructive testing",
    status="confirmed",
    mend="Record the notice and its answer in notices.yml, with consents_to; do no further energised test until then.",
    rows=("R36", "ST2"),
)

_DENIED = re.compile(r"\b(?:no|not|nothing|without)(?: any)? significant\b", re.IGNORECASE)
_SIGNIFICANT = re.compile(r"\bsignificant", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet."""
    for ref, sheet, test in sheets_with_tests(facts):
        if not test.energised:
            continue
        damaged = [item for item in subjects(facts, sheet) if _damaged(facts, item, sheet)]
        asked = [item for item in damaged if not _asked(facts, ref, sheet, item)]
        if asked:
            yield facts.problem(
                ENTRY,
                ref,
                "from",
                found=f"{ids(asked)}, inspected with significant damage, {was(asked)} energised at {sheet.from_.text}",
                needed="an answered notice to the parties before that is needed",
                mend=f"Record the notice and its answer in notices.yml, with consents_to: [{', '.join(asked)}]; do no "
                "further energised test until then.",
            )


def _damaged(facts: Facts, item: str, sheet: Sheet) -> bool:
    gates = [gate for _, gate in gates_for(facts, GateKind.INSPECTED, item) if gate.at <= sheet.from_]
    outcome = (gates[-1].outcome or "") if gates else ""
    return _SIGNIFICANT.search(_DENIED.sub("", outcome)) is not None


def _asked(facts: Facts, ref: str, sheet: Sheet, item: str) -> bool:
    names = {item, ref, f"P-{sheet.test}"}
    return any(
        names.intersection(notice.consents_to) and lets_go_on(notice, sheet.from_)
        for notice in facts.case.notices.values()
    )
