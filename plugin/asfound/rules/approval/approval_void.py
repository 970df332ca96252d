"""The last approval in each role speaks of the case as it stands.

A change after an approval voids it, and the problem names the records that changed. This warns: a case goes on after
its report, with a line of custody, say. No edition can be issued before it is approved again.

Fails: a reading was amended after the reviewer signed.
Passes: the reviewer signed again after the change; or nothing changed.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.approval import Approval
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span

ENTRY = Entry(
    name="approval-void",
    family=Family.INTEGRITY,
    level=Level.WARN,
    title="The last approval in each role speaks of the case as it stands.",
    reason="A signature under words that were changed afterwards is the first thing a report is attacked with.",
    source="ISO/IEC 17025:2017, 7.8.1.1 and 7.8.8",
    status="from memory",
    mend="Read what changed, then have the case approved again with asfound approve.",
    rows=("R3", "R103"),
    liftable=False,
)

_SHOWN = 5


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem a role: its last approval that verifies."""
    if facts.signing is None:
        return
    verified = [one for one in facts.signing.approvals if one.verified]
    current = {one.role for one in verified if one.current}
    for one in verified:
        if one.superseded or one.role in current:
            continue
        places = (facts.places.of(ref) for ref in one.changed[:_SHOWN])
        yield facts.problem(
            ENTRY,
            Span(facts.file(one.path)),
            found=f"{one.signer} approved this as {one.role}, and {_changes(one)}",
            needed="an approval of the case as it stands is needed before it is issued",
            related=tuple(place for place in places if place is not None),
        )


def _changes(one: Approval) -> str:
    """What changed since, as a clause: records by id; files only where no record in them tells it."""
    what = _few(one.changed) if one.changed else _few(one.files)
    return f"{one.why}: {what}" if what else one.why


def _few(names: tuple[str, ...]) -> str:
    rest = len(names) - _SHOWN
    return ", ".join(names[:_SHOWN]) + (f" and {rest} more" if rest > 0 else "")
