"""No person is named: people appear by role.

Looked for are a title and a surname ("Dr" and a capitalised word) and a calling and a surname ("nurse" and a
capitalised word), in every text of the case and in the names of evidence files.

Fails: an account that names the nurse by title and surname.
Passes: "the ward nurse"; "Nurse Call button"; "the nurse on Monday".
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.walk import SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="person-named",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No person is named: people appear by role.",
    reason="Names invite blame, and once a name is in the history of a repository it is hard to take out.",
    source="ASTM E1020-13e1, 4.2 (factual, without blame); the rule against names is ours",
    status="ours",
    mend="Write the role instead, and see that the name also leaves the history before the case is shared.",
    rows=("R99",),
)

_TITLES = "Dr|Doctor|Mr|Mrs|Ms|Miss|Mx|Prof|Professor|Sir|Dame|Herr|Frau|Mme|Señor|Señora"
_CALLINGS = (
    "nurse|sister|matron|surgeon|anaesthetist|anesthetist|physician|midwife|paramedic|technician|technologist|engineer|"
    "porter|orderly|registrar|consultant|resident|intern|pharmacist|perfusionist|assistant|examiner|reviewer|patient"
)
# A surname: a capital, small letters, possibly joined (O'Neil, Smith-Jones, MacKay).
_SURNAME = r"(?:Mc|Mac|O['’]|D['’])?[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ]{1,}(?:[-'’][A-ZÀ-ÖØ-Þ]?[a-zß-öø-ÿ]+)?"
_BY_TITLE = re.compile(rf"\b(?:{_TITLES})\.? +(?:[A-Z]\. *)*({_SURNAME})\b")
_BY_CALLING = re.compile(rf"\b(?i:{_CALLINGS}) +(?:[A-Z]\. *)*({_SURNAME})\b")

# fmt: off
NO_SURNAMES = frozenset({
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday", "January", "February", "March",
    "April", "May", "June", "July", "August", "September", "October", "November", "December", "Call", "Station",
    "Manager", "Monitor", "Unit", "Team", "Room", "Service", "Services", "Department", "Report", "Record", "Handbook",
    "Manual", "Guide", "Training", "Line", "In", "On", "At", "The", "From", "To", "By", "And", "Or", "For", "With",
    "Is", "Was", "Were", "Has", "Had", "Then", "When", "While", "After", "Before", "Saw", "Did", "Says", "Said", "Not",
    "No", "Lead", "Leads", "Table", "Trolley", "Bed", "Warming", "Return", "Plate", "Circuit", "Side", "Current",
    "Leakage", "Electrode", "Contact", "Education", "Safety", "Simulator", "General", "Chief", "Group",
})
# fmt: on
"""Capitalised words that follow a calling and are no surname: days, months, things, the start of a sentence."""


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text that names somebody. The name itself is not repeated, since problems are printed."""
    for spot in walk_case(facts.case):
        if spot.kind not in {SpotKind.PROSE, SpotKind.TEXT} or not isinstance(spot.value, str):
            continue
        text = read_prose(spot.value).plain if spot.kind is SpotKind.PROSE else spot.value
        if names(text):
            yield facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                found="the text seems to name a person, by a title or calling and a surname",
                needed="the role is needed instead of the name",
            )
    for ref, evidence in facts.case.evidence.items():
        if evidence.file is not None and names(re.sub(r"[_./-]+", " ", evidence.file)):
            yield facts.problem(
                ENTRY,
                ref,
                "file",
                found="the file's name seems to name a person",
                needed="a name without persons is needed",
            )


def names(text: str) -> tuple[str, ...]:
    """Surnames a text seems to hold.

    >>> names("Dr Example saw the lesion."), names("The nurse call was pressed.")
    (('Example',), ())
    """
    found = [match.group(1) for match in _BY_TITLE.finditer(text)]
    found += [match.group(1) for match in _BY_CALLING.finditer(text) if match.group(1) not in NO_SURNAMES]
    return tuple(found)
