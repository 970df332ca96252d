"""No text, name of a file or picture's metadata holds a patient's identifier.

Looked for are record numbers, dates of birth and telephone numbers that a word introduces, telephone numbers in their
usual groups, addresses of electronic mail, and social security numbers. A number that the words serial, lot, part and
the like introduce is one of a thing. What the file of a statement or of a log holds is not read here.

Fails: "MRN 44712290" in an account; a photograph named `dob-1961-04-02.jpg`; a caption with a telephone number.
Passes: "serial 118-20-3301, lot 25K118"; "(01)00812345678901(17)280331"; "patient lead 3".
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.identifiers import identifiers, in_name
from asfound.model.prose import read_prose
from asfound.model.walk import SpotKind, walk_case
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed

ENTRY = Entry(
    name="patient-identifier",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No text, name of a file or picture's metadata holds a patient's identifier.",
    reason="What has once been shared in a repository cannot be called back, and nothing about a device needs it.",
    source="45 CFR 164.514(b)(2)(i)",
    status="confirmed",
    mend="Stop before you commit or push, and take it out; if it is committed already, follow the page Patient data.",
    rows=("R97",),
)

_OF_A_THING = frozenset(("file", "gtin", "lot", "serial", "sha256", "udi"))
"""Fields whose numbers are those of a thing, whatever they look like; names of files are looked at below."""
_NEEDED = "a text that leads to no person is needed"


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a text, a name or a picture. The identifier itself is not repeated, since problems are printed."""
    for spot in walk_case(facts.case):
        if spot.kind not in {SpotKind.PROSE, SpotKind.TEXT} or not isinstance(spot.value, str):
            continue
        if spot.field in _OF_A_THING:
            continue
        text = read_prose(spot.value).plain if spot.kind is SpotKind.PROSE else spot.value
        if kinds := identifiers(text):
            found = f"the text seems to hold {listed(kinds)}"
            yield facts.problem(ENTRY, spot.where, *spot.path, about="", found=found, needed=_NEEDED)
    registered = {evidence.file: ref for ref, evidence in facts.case.evidence.items() if evidence.file is not None}
    for path in sorted({*facts.case.files, *registered}):
        if kinds := in_name(path):
            yield _of_file(facts, path, registered.get(path), f"the file's name seems to hold {listed(kinds)}")
        fact = facts.case.files.get(path)
        if fact is not None and fact.camera is not None and fact.camera.identifiers:
            found = f"a text inside the picture's file seems to hold {listed(fact.camera.identifiers)}"
            yield _of_file(facts, path, registered.get(path), found)


def _of_file(facts: Facts, path: str, ref: str | None, found: str) -> Problem:
    mend = "Keep the untouched file elsewhere by its digest (kept_elsewhere); if it is committed, see Patient data."
    where = (ref, "file") if ref is not None else (path,)
    return facts.problem(ENTRY, where[0], *where[1:], about="", found=found, needed=_NEEDED, mend=mend)
