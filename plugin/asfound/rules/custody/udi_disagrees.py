"""What the scanned code says is what was typed: serial, lot, expiry and trade item number.

Fails: `udi: (01)07032069804988(21)181`, `serial: "118"`.
Passes: both say 118; or the code gives no serial number.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import Item
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules.custody._udi import NoReaderError, Scanned, UnreadableError, other_kind, read_udi

ENTRY = Entry(
    name="udi-disagrees",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="What the code on the label says is what was typed: serial, lot, expiry and trade item number.",
    reason="If label and list name two things, one of them is not the thing that was examined.",
    source="ISO/IEC 17025:2017, 7.4.2; GS1 General Specifications, application identifiers (from memory)",
    status="secondary",
    mend="Read the label once more, from the thing or its photograph, and correct whichever was typed wrongly.",
    rows=("R17",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem an item, listing what differs. A code that cannot be read has a rule of its own."""
    for ref, item in facts.case.items.items():
        if not isinstance(item.udi, str) or other_kind(item.udi):
            continue
        try:
            scanned = read_udi(item.udi)
        except (NoReaderError, UnreadableError):
            continue
        differ = list(_differ(item, scanned))
        if differ:
            yield facts.problem(
                ENTRY,
                ref,
                "udi",
                found=f"the code of {ref} says {listed([f'{name} {code}' for name, code, _ in differ])}, "
                f"typed is {listed([f'{name} {typed}' for name, _, typed in differ])}",
                needed="the same on the label and in the list is needed",
            )


def _differ(item: Item, scanned: Scanned) -> Iterator[tuple[str, str, str]]:
    for name, code, typed in (("serial", scanned.serial, item.serial), ("lot", scanned.lot, item.lot)):
        if code and isinstance(typed, str) and _bare(code) != _bare(typed):
            yield name, code, typed
    if scanned.expiry is not None and isinstance(item.expiry, str) and not _expires(item.expiry, scanned.expiry):
        yield "expiry", scanned.expiry.isoformat(), item.expiry
    if isinstance(item.gtin, str) and item.gtin.strip().replace(" ", "").zfill(14) != scanned.gtin:
        yield "number", scanned.gtin, item.gtin


def _bare(text: str) -> str:
    """Spaces and hyphens are set to please the eye; everything else counts."""
    return re.sub(r"[\s-]", "", text).casefold()


def _expires(typed: str, code: dt.date) -> bool:
    """Whether a typed expiry names the day, or the month, of the code. Words that are no date are not compared."""
    match = re.fullmatch(r"\s*(\d{4})-(\d{2})(?:-(\d{2}))?\s*", typed)
    if match is None:
        return True
    year, month, day = match.groups()
    return (int(year), int(month)) == (code.year, code.month) and (day is None or int(day) == code.day)
