"""A report does not say that the device never came back and that no problem was found in it.

Fails: `B17` (not returned) beside a conclusion that no problem was detected.
Passes: `B17` beside *cause not established*; `B01` (the device was tested) beside *no problem detected*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="event-codes-contradict",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Codes chosen for a report do not say both that the device was gone and that no problem was found in it.",
    reason="Nobody can find no problem in a device that was not there; the codes would clear it unseen.",
    source="IMDRF/AE WG/N43, edition 4, 2020, annexes B and D; that they exclude each other is ours",
    status="confirmed",
    mend="Choose the code for a cause that is not established, or for the investigation that was in fact made.",
    rows=("R114",),
)

ABSENT = ("B17", "B18")
NO_PROBLEM = "D14"
"""Number from memory; the term is looked for too."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a record."""
    for ref, duty in facts.case.duties.items():
        absent = next((code for code in duty.codes if _bare(code) in ABSENT), None)
        clear = next((code for code, term in duty.codes.items() if _clears(code, term)), None)
        if absent is not None and clear is not None:
            yield facts.problem(
                ENTRY, ref, "codes", clear,
                found=f"{ref} holds {absent} ({duty.codes[absent]}) and {clear} ({duty.codes[clear]})",
                needed="codes that can be true together are needed",
            )  # fmt: skip


def _bare(code: str) -> str:
    return code.strip().upper()


def _clears(code: str, term: str) -> bool:
    bare = _bare(code)
    return bare == NO_PROBLEM or (bare.startswith("D") and "no problem detected" in term.casefold())
