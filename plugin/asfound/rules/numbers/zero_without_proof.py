"""A zero that could also mean "nothing was switched on" comes with proof that it was.

Fails: a high-frequency leakage of 0 mA with an empty note.
Passes: the same with the note "activated, output shown on E-14"; or `<1`, which says what the meter could see.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import named
from asfound.rules._work import works

ENTRY = Entry(
    name="zero-without-proof",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An exact zero comes with proof that the thing was energised.",
    reason="A meter on a device that is off reads zero too.",
    source="common practice, no source",
    status="common practice",
    mend="Say in the row's note, or the sheet's, what showed that it was energised; or write what the meter can see.",
)

_PROOF = re.compile(
    r"\b(?:energi[sz]ed|activat\w*|keyed|powered|switched on|turned on|running|indicator|tone|E-[a-z0-9-]+)\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:not|never|without|no)\b[^.;]{0,12}$", re.IGNORECASE)


def _proof(text: str) -> bool:
    return any(not _DENIED.search(text[: match.start()]) for match in _PROOF.finditer(text))


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, naming the readings."""
    for work in works(facts):
        if work.test is None or not work.test.needs_zero_proof:
            continue
        if work.sheet.evidence or (work.sheet.note is not None and _proof(work.sheet.note)):
            continue
        bare = [row.id for row in work.rows if row.value.is_number and row.value.number == 0 and not _proof(row.note)]
        if bare:
            yield facts.problem(
                ENTRY,
                bare[0],
                found=f"{named(bare)} {'is' if len(bare) == 1 else 'are'} exactly zero, and nothing shows that "
                "the item was energised",
                needed="proof that it was energised is needed beside a zero",
            )
