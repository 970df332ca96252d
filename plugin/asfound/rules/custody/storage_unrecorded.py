"""How each sealed store keeps what is in it is on record: temperature, who can open it, what is on charge.

Fails: a custody line into the store "locked store", and no `storage` of that name in case.yml.
Passes: `storage: [{place: locked store, temperature: 18 °C to 24 °C, access: [risk-manager], charging: nothing}]`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import STORE
from asfound.model.event import Storage
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed, same

ENTRY = Entry(
    name="storage-unrecorded",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="How each sealed store keeps what is in it is on record: temperature, access, what is kept on charge.",
    reason="Gel dries, batteries run flat and take their logs with them, and a store that all can open is no store.",
    source="ASTM E1492-11(2017) (evidence stays testable); the list of fields is common practice",
    status="confirmed",
    mend="Describe the store under storage in case.yml, by the words of custody.csv.",
    rows=("L22",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a store, at the first line that leads into it."""
    seen: set[str] = set()
    for line in facts.case.custody:
        key = " ".join(line.to_place.split()).casefold()
        if line.received_by != STORE or not key or key in seen:
            continue
        seen.add(key)
        store = next((one for one in facts.case.head.storage if same(one.place, line.to_place)), None)
        lacks = ["how it is kept"] if store is None else list(_lacks(store))
        if lacks:
            yield facts.problem(
                ENTRY,
                line.id,
                found=f'of the store "{line.to_place}" nothing says {listed(lacks)}',
                needed="its temperature, who can open it and what is kept on charge are needed",
            )


def _lacks(store: Storage) -> Iterator[str]:
    if store.temperature is None:
        yield "at which temperature it is kept"
    if not store.access:
        yield "who can open it"
    if store.charging is None:
        yield "what is kept on charge"
