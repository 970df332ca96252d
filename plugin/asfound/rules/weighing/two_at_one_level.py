"""Where two explanations stand at the same level, the conclusion names both, or neither.

Fails: X-1 and X-4 both supported, and `explanations: [X-1]` at *probable*.
Passes: both named, as acting together; or `level: undetermined` with what would part them.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, listed
from asfound.rules.weighing._shared import concluded

ENTRY = Entry(
    name="two-at-one-level",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Where two explanations stand at the same level, the conclusion does not name one of them.",
    reason="Whoever chooses between equals chose by something that is not in the evidence.",
    source="NFPA 921-2014, chapter 19 (report all that are credible)",
    status="secondary",
    mend="Name both as acting together, hold it as undetermined and say what would part them, or test that.",
    rows=("R79",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a part of the conclusion."""
    for part, _, named in concluded(facts):
        assert facts.weighing is not None
        rivals = [
            link.refs[0]
            for link in facts.weighing.ceiling(part).links
            if link.name == "rival-at-same-level" and not facts.unread.any(link.refs)
        ]
        if rivals:
            stand = "stand" if rivals[1:] else "stands"
            yield facts.problem(
                ENTRY,
                "conclusion.yml",
                part,
                "explanations",
                about="",
                found=f"the {part} names {listed(named)}, and {ids(rivals)} {stand} as high",
                needed="both, or neither with what would part them, is needed",
            )
