"""A close-up of damage has a scale in the frame.

Damage is taken from the words: of the caption, and of the inspection rows that found something and cite the picture.

Fails: `view: close`, "the crack at the corner of the case", without `scale_in_frame: yes`.
Passes: a scale; a close-up of a label or of a plug in its port.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.model.testimony import View
from asfound.model.things import Seen
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.evidence._pictures import photographs

ENTRY = Entry(
    name="close-without-scale",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A close-up of damage has a scale in the frame.",
    reason="Without a scale nobody can measure in the picture what can no longer be measured on the thing.",
    source="common practice, no source",
    status="common practice",
    mend="Take it again with a scale beside the damage; where that is no longer possible, the gap is printed.",
    rows=("R28",),
)

_DAMAGE = re.compile(
    r"\b(?:burn(?:t|ed|s)?|char(?:red|ring)?|scorch\w*|melt\w*|arc(?:ed|ing)?|pit(?:s|ted|ting)|crack\w*|fractur\w*|"
    r"broken|break|bent|dent\w*|tear|torn|cuts? (?:in|into|through|across)|frayed|worn|wear|abra[ds]\w*|scratch\w*|"
    r"scuff\w*|corro\w*|rust\w*|discolou?r\w*|blister\w*|swollen|leak(?:ed|s)?|damage\w*|deform\w*|"
    r"bare conductors?|loose|lesions?|scar)\b",
    re.IGNORECASE,
)
_LABEL = re.compile(r"\W*(?:the |a )?(?:\w+ )?(?:label|tag|plate|print of the label)\b", re.IGNORECASE)
_DENIED = re.compile(
    r"\b(?:no|not|without|neither|nor|never|free of)\b(?:[^.;,]| or )*|\bwithout play\b",
    re.IGNORECASE,
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a picture."""
    said: dict[str, list[str]] = {}
    for row in facts.case.inspection:
        if row.seen is Seen.FOUND:
            for ref in row.evidence:
                said.setdefault(ref, []).append(row.what)
    for ref, evidence in photographs(facts):
        if evidence.view is not View.CLOSE or evidence.scale_in_frame:
            continue
        if _LABEL.match(read_prose(evidence.shows).plain):
            continue
        word = next(filter(None, map(damage, (read_prose(evidence.shows).plain, *said.get(ref, ())))), "")
        if word:
            stated = "" if evidence.scale_in_frame is None else "no scale is in the frame of "
            yield facts.problem(
                ENTRY,
                ref,
                *(() if evidence.scale_in_frame is None else ("scale_in_frame",)),
                found=f"{stated}a close-up that shows damage (“{word}”)"
                + ("" if stated else ", and nothing says that a scale is in its frame"),
                needed="a scale in the frame is needed",
            )


def damage(text: str) -> str:
    """The first word for damage that a text affirms, else nothing.

    >>> damage("a crack at the corner"), damage("scratches, no crack"), damage("insulation whole, no burn")
    ('crack', 'scratches', '')
    """
    hit = _DAMAGE.search(_DENIED.sub(" ", text))
    return hit[0] if hit else ""
