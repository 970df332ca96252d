"""Each approval holds: its signature is of these very bytes, for this case, made for approvals.

No exception lifts this. An approval that grew old because the case changed is another matter: `approval-void`.

Fails: one byte of a statement differs; a statement without its signature; one taken over from another case; a
signature that was made for a commit.
Passes: the two files as `asfound approve` wrote them.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.approval import ApprovalFault
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span

ENTRY = Entry(
    name="approval-unverified",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Each approval holds: its signature is of these very bytes, for this case, made for approvals.",
    reason="A statement that looks signed and is not says that somebody stood by what they may never have seen.",
    source="OpenSSH, PROTOCOL.sshsig; ssh-keygen(1), -Y verify",
    status="confirmed",
    mend="Put both files back as they were signed, or take them away and have the case approved again.",
    rows=("R3",),
    liftable=False,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an approval."""
    if facts.signing is None:
        return
    for one in facts.signing.approvals:
        if one.fault is ApprovalFault.UNVERIFIED:
            yield facts.problem(
                ENTRY,
                Span(facts.file(one.path)),
                found=f"this approval does not hold: {one.why}",
                needed="a statement and the signature of its bytes are needed",
            )
