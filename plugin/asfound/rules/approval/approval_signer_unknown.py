"""Each approval is signed by somebody who may sign in that role, with a key that is listed and counts.

Who that is stands in `.asfound/allowed_signers` and, for the roles, in `.asfound/roles.yml`. An approval that another
one in the same role has taken the place of is only noted: people leave, and keys are renewed.

Fails: the key stands in no line; the line is another signer's; the signer may only examine; the key's time is over.
Passes: a listed key of a signer for whom roles.yml names the role.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.approval import ApprovalFault
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span

ENTRY = Entry(
    name="approval-signer-unknown",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Each approval is signed by somebody who may sign in that role, with a key that is listed and counts.",
    reason="A signature that holds proves that a key was used, not whose it is, nor that its owner may approve.",
    source="OpenSSH, ssh-keygen(1), ALLOWED SIGNERS; ISO/IEC 17025:2017, 7.8.2.1 o",
    status="confirmed",
    mend="List the key in .asfound/allowed_signers and its role in roles.yml, or have the case approved again.",
    rows=("R3",),
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an approval."""
    if facts.signing is None:
        return
    for one in facts.signing.approvals:
        if one.fault is ApprovalFault.SIGNER:
            yield facts.problem(
                ENTRY,
                Span(facts.file(one.path)),
                found=one.why,
                needed=f"a listed key of somebody who may sign as {one.role} is needed",
                level=Level.NOTE if one.superseded else None,
            )
