"""A serial or lot that a caption or an inspection row gives is that of the item list.

Read are the captions of evidence that names items, and the inspection rows; a number counts where the word serial or
lot stands before it. Spaces, hyphens and capitals do not count. A number that is right for any of the things named
passes, and so does one for a thing whose own is not on record.

Fails: a caption of I-1 with "serial 07 2292", and `serial: 07 2291` in items.yml.
Passes: "serial 072291"; "the same lot"; "lot 5540" of a thing without a lot in the list.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from msgspec import Struct

from asfound.model.facts import Facts
from asfound.model.prose import read_prose
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.rules._words import ids, listed, short

ENTRY = Entry(
    name="identity-disagrees",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="A serial or lot that a caption or an inspection row gives is that of the item list.",
    reason="Two numbers for one thing raise the question whether the thing examined is the thing of the event.",
    source="ISO/IEC 17025:2017, 7.4.2; ASTM E1020-13e1, 5.1",
    status="secondary",
    mend="Look at the label or its photograph again, and correct the one that is wrong; say in a note that you did.",
    rows=("R17",),
)

# "serial 07 2291", "lot no. 25K118", "S/N: 118"; the number is the words after it that hold a digit.
_GIVEN = re.compile(
    r"\b(?P<kind>serial|s/n|lot|batch)(?:\s+(?:number|no\.?|nr\.?))?\s*[:#]?\s+(?:is\s+)?"
    r"(?P<number>(?-i:[A-Z]{1,4}[ -])?[A-Za-z0-9./-]*\d[A-Za-z0-9./-]*(?: (?-i:[A-Z0-9./-]*\d[A-Z0-9./-]*))*)",
    re.IGNORECASE,
)


class Given(Struct, frozen=True):
    """A number in a text: `kind` is `serial` or `lot`; `number` is as typed, and may go on into what follows it."""

    kind: str
    number: str


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a number."""
    for ref, evidence in facts.case.evidence.items():
        yield from _compare(facts, ref, "shows", read_prose(evidence.shows).plain, evidence.items)
    for row in facts.case.inspection:
        yield from _compare(facts, row.id, "what", row.what, (row.item, *_others(facts, row.evidence)))


def _others(facts: Facts, evidence: Iterable[str]) -> Iterator[str]:
    """Things that the pictures of a row show: a row on a pad may speak of the pouch beside it."""
    for ref in evidence:
        if ref in facts.case.evidence:
            yield from facts.case.evidence[ref].items


def _compare(facts: Facts, ref: str, field: str, text: str, items: tuple[str, ...]) -> Iterator[Problem]:
    for given in numbers(text):
        known: dict[str, str] = {}
        for name in dict.fromkeys(items):
            item = facts.case.items.get(name)
            value = getattr(item, given.kind) if item is not None else None
            if item is not None and value is None:
                known = {}
                break
            if isinstance(value, str):
                known[name] = value
        if not known or any(_matches(given.number, value) for value in known.values()):
            continue
        places = [facts.places.of(name, given.kind) for name in known]
        yield facts.problem(
            ENTRY,
            ref,
            field,
            about=given.kind,
            found=f"the text gives the {given.kind} {short(given.number, 30)}; the list has "
            + listed((f"{value} for {name}" for name, value in known.items()), 3),
            needed=f"one {given.kind} for {ids(known)} is needed",
            related=tuple(place for place in places if isinstance(place, Span)),
        )


def numbers(text: str) -> tuple[Given, ...]:
    """Serials and lots that a text gives.

    >>> numbers("serial 07 2291 and software 2.4; the same lot")
    (Given(kind='serial', number='07 2291'),)
    """
    return tuple(
        Given("lot" if match["kind"].casefold() in {"lot", "batch"} else "serial", match["number"].rstrip("./-"))
        for match in _GIVEN.finditer(text)
    )


def _matches(given: str, known: str) -> bool:
    """Whether the given words, or the first few of them, are the known number."""
    wanted = _bare(known)
    words = given.split(" ")
    return any(_bare("".join(words[:count])) == wanted for count in range(1, len(words) + 1))


def _bare(text: str) -> str:
    return re.sub(r"[^0-9a-z]", "", text.casefold())
