"""A reason that the report prints is a reason, and no stand-in for one.

`asfound explain --starter` writes *not yet* where a reason will stand; a report that goes out says why.

Fails: `not_tested: not yet`; `not_done: tbd`; `not measured: ?` in a cell.
Passes: `not_tested: the room was in use again before anybody came`; *not yet* in an open case is still needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="reason-left-open",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A reason why something was not tested, done, had or impounded is a reason.",
    reason="A reader who asks why and reads “not yet” in an issued report has found what nobody came back to.",
    source="ISO/IEC 17025:2017, 7.8.2.1 n (deviations from the method)",
    status="confirmed",
    mend="Say why it was not, or do it: what stood in the way, and whether it still does.",
    rows=("R43", "R75"),
)

_STANDS_IN = re.compile(
    r"(?:not (?:yet|now|done|tested|known why)|yet|tb[acdf]|to ?do|to be (?:done|decided|added|filled in)|later|"
    r"pending|open|why|reason|because|none|no|nothing|n/?a|x+|n\.?\s?a\.?|[-–—?.…_ ]+)",
    re.IGNORECASE,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a reason."""
    for ref, path, said in _reasons(facts):
        text = said.strip().rstrip(".!")
        if isinstance(said, str) and (not text or _STANDS_IN.fullmatch(text)):
            yield facts.problem(
                ENTRY,
                ref,
                *path,
                about="",
                found=f'{path[0] if path else "the cell"} of {ref} says "{said.strip()}"',
                needed="the reason is needed",
            )


def _reasons(facts: Facts) -> Iterator[tuple[str, tuple[str, ...], str]]:
    """Every reason a person wrote: its record, its field and its text."""
    case = facts.case
    for ref, one in case.explanations.items():
        for name in ("not_tested", "not_in_play", "not_computable"):
            if isinstance(said := getattr(one, name), str):
                yield ref, (name,), said
    for name, planned in (case.plan.tests if case.plan is not None else {}).items():
        if isinstance(planned.not_done, str):
            yield f"P-{name}", ("not_done",), planned.not_done
        for cell, said in planned.not_obtainable.items():
            yield f"P-{name}", ("not_obtainable", cell), said
    for ref, item in case.items.items():
        if isinstance(item.why_not_impounded, str):
            yield ref, ("why_not_impounded",), item.why_not_impounded
    for ref, row in case.reading.items():
        if row.value.why and not row.void:
            yield ref, (), row.value.why
