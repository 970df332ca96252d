"""Each registered file of evidence is there, or the register says who keeps it elsewhere.

Fails: `file: evidence/bay.jpg`, and no such file; an entry with neither `file` nor `kept_elsewhere`.
Passes: the file lies there; or `kept_elsewhere` names keeper, place, size and reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="evidence-missing",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Each registered file of evidence is there, or the register says who keeps it elsewhere.",
    reason="A citation of a file that cannot be opened is a claim without support.",
    source="ISO/IEC 27037:2012",
    status="secondary",
    mend="Put the file where the register says it lies, correct its path, or say under kept_elsewhere who has it.",
    rows=("R96",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an entry."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.file is not None and evidence.file not in facts.case.files:
            case_apart = next((path for path in facts.case.files if path.casefold() == evidence.file.casefold()), "")
            yield facts.problem(
                ENTRY,
                ref,
                "file",
                found=f"there is no file {evidence.file}" + (f"; there is {case_apart}" if case_apart else ""),
                needed="the registered file is needed",
            )
        elif evidence.file is None and evidence.kept_elsewhere is None:
            yield facts.problem(
                ENTRY,
                ref,
                found=f"{ref} names neither a file nor who keeps it",
                needed="one of the two is needed",
                mend="Add file: and its path below the case folder, or kept_elsewhere.",
            )
        elif evidence.file is not None and evidence.kept_elsewhere is not None:
            yield facts.problem(
                ENTRY,
                ref,
                "kept_elsewhere",
                found=f"{ref} lies in the case and is said to be kept elsewhere",
                needed="one of the two is needed",
                mend="Remove kept_elsewhere; if the file must not be here, take it out of the repository first.",
            )
