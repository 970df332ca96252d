"""A photograph of a whole scene says whether a face can be recognised in it, and a face is no part of a case.

Fails: `view: overall` without `faces`; `faces: yes` for a file that lies in the case.
Passes: `faces: no`; `faces: yes` with `kept_elsewhere`; a close-up of a plug.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.testimony import EvidenceKind, View
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.evidence._pictures import PICTURES

ENTRY = Entry(
    name="faces-undeclared",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A photograph of a whole scene says whether a face can be recognised in it.",
    reason="Full-face photographs identify a patient, and no program of ours can be trusted to find them.",
    source="45 CFR 164.514(b)(2)(i)(Q) (full-face photographs)",
    status="confirmed",
    mend="Look at it and add faces: no; if there is one, keep the original elsewhere by its digest.",
    rows=("R97",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a picture."""
    for ref, evidence in facts.case.evidence.items():
        if evidence.kind not in PICTURES:
            continue
        if evidence.faces and evidence.file is not None:
            yield facts.problem(
                ENTRY,
                ref,
                "faces",
                found=f"a face can be recognised in {evidence.file.rpartition('/')[2]}, which lies in the case",
                needed="a picture without faces, or one that is kept elsewhere, is needed",
            )
        elif evidence.faces is None and evidence.file is not None and _whole(evidence.kind, evidence.view):
            yield facts.problem(
                ENTRY,
                ref,
                found=f"nothing says whether a face can be recognised in this {evidence.kind}",
                needed="faces: yes or no is needed where a whole scene is shown",
            )


def _whole(kind: EvidenceKind, view: View | None) -> bool:
    return view is View.OVERALL or (kind is EvidenceKind.VIDEO and view is None)
