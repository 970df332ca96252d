"""A statement of conformity names the readings it stands on.

Fails: "The device meets IEC 62353." with nothing cited and no reading below `rests_on`.
Passes: the same sentence with `[R-earth-1]` and `[R-leak-4]`, or in a finding that rests on them.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._claims import Claim, claims
from asfound.rules._texts import said, whole_sentences

ENTRY = Entry(
    name="conformity-without-readings",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="A statement that something meets or fails a limit or standard names the readings it stands on.",
    reason="A statement of conformity covers the results it names, and no others.",
    source="ISO/IEC 17025:2017, 7.8.6.2 a",
    status="confirmed",
    mend="Cite the readings in the sentence, or list them below rests_on.",
    rows=("R70",),
)

_OF_LIMITS = ("limit", "tolerance", "specification", "requirement", "bound", "criteri", "standard")
_STANDARDS = ("iec", "iso", "en", "ansi", "aami", "nfpa")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, at its first such sentence."""
    for text in said(facts):
        if any(_measured(facts, ref) for ref in text.rests_on):
            continue
        for sentence in whole_sentences(text.text):
            words = next((one.text for one in claims(sentence.text) if _conformity(one.claim, one.text)), "")
            if words and not any(_measured(facts, ref) for ref in sentence.refs):
                yield facts.problem(
                    ENTRY,
                    text.where,
                    *text.path,
                    about="",
                    found=f'{text.name} says "{words}" and names no reading',
                    needed="the readings that the statement stands on are needed",
                )
                break


def _conformity(claim: Claim, words: str) -> bool:
    """Whether the words speak of a limit or a standard, and not just of a pass."""
    low = words.casefold()
    return claim in {Claim.OVER, Claim.UNDER} or any(
        word in low for word in _OF_LIMITS
    ) or any(word in low.split() for word in _STANDARDS)  # fmt: skip


def _measured(facts: Facts, ref: str) -> bool:
    """Whether a citation leads to readings: one, a sheet, a derived result, or a finding that rests on one."""
    if ref in facts.case.findings:
        return any(_measured(facts, one) for one in facts.case.findings[ref].rests_on if one not in facts.case.findings)
    return ref[:2] in {"R-", "Y-", "S-"}
