"""The conclusion keeps to the device: no medical cause, no negligence, no intent, no standard of care.

Fails: "The current caused the burn"; "the nurse should have checked the pad"; "the hospital was negligent".
Passes: "Whether the lesion is a burn is for the clinician"; "no opinion is given on negligence". The words looked for
are the list *beyond-field*.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems

ENTRY = Entry(
    name="conclusion-beyond-field",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The conclusion reaches no medical cause, negligence, intent or standard of care.",
    reason="An opinion outside the examiner's field is struck out, and takes the rest of the report along.",
    source="Fed. R. Evid. 702 as amended 1 December 2023",
    status="confirmed",
    mend="Say what the device did and could do; leave the link to the harm to clinicians, and conduct to others.",
    rows=("R81",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text."""
    yield from word_problems(facts, ENTRY, "beyond-field", "a statement about the items examined is needed")
