"""Each exception is authorised by the reviewer's signature.

The reviewer's `asfound approve` authorises the exceptions on record. It holds as long as nothing that was signed has
changed or gone, and nothing was added that names the record the exception is about; an exception for the case as a
whole holds for that very case. Where a repository does not say who may sign, an exception lifts all the same, and
this warns that nobody signed it. In a shop of one or two people the examiner's signature is taken, and warned of.

Fails: an exception in a repository with signers, and no reviewer has approved the case since it was written.
Passes: a reviewer's approval that stands, with the exception among what it authorises.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="exception-unauthorised",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Each exception is authorised by the reviewer's signature.",
    reason="Whoever could lift a rule for their own work alone would be bound by none.",
    source="ASTM E860-22, 4.2 (deviations are justified and written down)",
    status="confirmed",
    mend="Let the reviewer read the exception and approve the case with asfound approve --role reviewer.",
    rows=("R3",),
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an exception."""
    signing = facts.signing
    if signing is None:
        return
    for ref in facts.case.exceptions:
        role = signing.authorised.get(ref, "")
        if role == "reviewer":
            continue
        if not signing.kept:
            found = "nobody signed this exception: the repository does not say who may sign"
            mend = "List signers in .asfound/allowed_signers and let the reviewer approve the case."
        elif role:
            found = f"nobody but the {role} authorised this exception"
            mend = "Let somebody outside read the exception and approve the case as its reviewer."
        else:
            found = signing.refused.get(ref, "") or "no reviewer has authorised this exception"
            mend = ""
        light = role or not signing.kept
        yield facts.problem(
            ENTRY,
            ref,
            found=found,
            needed="a reviewer's signature that authorises it is needed",
            mend=mend,
            level=Level.WARN if light else None,
        )
