"""Each file under evidence/ stands in the register.

Fails: a photograph lies in evidence/, and no entry of evidence.yml names it.
Passes: every file there has its entry.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="evidence-unregistered",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="Each file under evidence/ stands in the register.",
    reason="A picture nobody accounts for looks like one that was left out on purpose.",
    source="ASTM E1188-11(2017), 2.1 to 2.3 (items and documents are kept traceable to the incident)",
    status="confirmed",
    mend="Add an entry to evidence.yml with digest, time, and what it shows; also for what is not used.",
    rows=("R25",),
)

_HOUSEKEEPING = ("README.md", ".gitattributes", ".gitkeep")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for all such files while no register exists, else one a file."""
    case = facts.case
    registered = {evidence.file for evidence in case.evidence.values()}
    if case.some_unread("E"):
        return
    loose = sorted(
        path
        for path in case.files
        if path.startswith("evidence/") and path not in registered and not path.endswith(_HOUSEKEEPING)
    )
    if loose and not case.evidence:
        yield facts.problem(
            ENTRY,
            "evidence.yml",
            found=f"no register of evidence exists, and {len(loose)} file{'s lie' if len(loose) > 1 else ' lies'} "
            f"in evidence/ ({listed((path.rpartition('/')[2] for path in loose), 3)})",
            needed="an entry for each is needed",
        )
        return
    for path in loose:
        yield facts.problem(
            ENTRY,
            path,
            found="no entry of evidence.yml names this file",
            needed="an entry with its digest, its time and what it shows is needed",
        )
