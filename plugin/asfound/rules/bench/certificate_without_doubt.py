"""A coverage factor or degrees of freedom of a certificate stand beside the doubt that they belong to.

Fails: a function that states `certificate_dof: 4` and no `certificate_doubt`: nothing of the certificate is in the
doubt of its readings, though somebody read it.
Passes: both together; a doubt alone, which is held to be known, with k = 2; a k of 2, which is meant where nothing is
said; a function that no sheet was read with.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="certificate-without-doubt",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="What a certificate states of its doubt stands beside that doubt.",
    reason="A coverage factor or degrees of freedom alone change nothing: the doubt of the certificate was left out, "
    "and readings are printed with less doubt than they have.",
    source="JCGM 100:2008, 7.2.1 and 7.2.3 (an expanded doubt is stated with its coverage factor and what gave it)",
    status="from memory",
    mend="Enter certificate_doubt from the certificate in .asfound/instruments.yml; or take certificate_k and "
    "certificate_dof away where the certificate states no doubt.",
    rows=("R50",),
)
_BESIDE = {"certificate_dof": "degrees of freedom", "certificate_k": "a coverage factor"}
_SILENT = (None, 2)
"""What is meant where nothing is said; an edition writes it out, so that it does not count as stated."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a function that a sheet was read with, at what stands there without its doubt."""
    used = {(str(sheet.instrument), str(sheet.function)) for sheet in facts.case.sheets.values()}
    for ref, name in sorted(used):
        instrument = facts.instruments.get(ref)
        function = None if instrument is None else instrument.functions.get(name)
        if function is None or function.certificate_doubt is not None:
            continue
        stated = [field for field in _BESIDE if getattr(function, field) not in _SILENT]
        if stated:
            said = " and ".join(_BESIDE[field] for field in stated)
            yield facts.problem(
                ENTRY, ref, "functions", name, stated[0],
                found=f'{ref} states {said} of the certificate for "{name}", and no doubt of it',
                needed="the expanded doubt that they belong to, as certificate_doubt, or neither is needed",
            )  # fmt: skip
