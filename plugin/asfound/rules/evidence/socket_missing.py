"""The socket, and for a device that needs gas the outlet, that served a device at the event is on record.

A device is fed from the mains where its characteristics give a class or a cord, or a power cord was in use with it and
nothing says that it ran on a battery.

Fails: a mains device in use, and neither room.yml nor the connections of scene.yml say where its plug was.
Passes: `kind: socket` in room.yml that names it or its cord; or a connection of it to a socket.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import Item, ItemRole
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="socket-missing",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="The socket, and for a device that needs gas the outlet, that served a device at the event is on record.",
    reason="A wrong wire in a wall is a rival explanation, and once the room is changed nobody finds the socket.",
    source="21 CFR 803.32(b)(5) (the environment of the event)",
    status="confirmed",
    mend="Add it to room.yml with its kind, its label and the items it served; or say under value why it is not known.",
    rows=("R33",),
)

_SOCKET = re.compile(r"\b(?:socket|outlet|receptacle|plug|wall|supply|bed ?(?:head|space|place)|pendant|panel)", re.I)
_GAS = re.compile(r"\b(?:gas|oxygen|air|vacuum|suction|outlet|cylinder|pipeline)", re.I)
_GAS_KINDS = re.compile(r"ventilat|anaesth|anesth|respirat|insufflat|gas", re.I)
_NO_MAINS = re.compile(r"battery|none|internal|no cord", re.I)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a device and kind of supply."""
    case = facts.case
    if any(ref[:2] in {"U-", "L-", "I-"} for ref in case.broken) or {"room.yml", "scene.yml"} & set(case.broken):
        return
    where = "room.yml"
    for ref, item in case.items.items():
        if item.role is not ItemRole.MAIN_DEVICE or not item.in_use_at_event:
            continue
        place = (ref,) if stands(facts, "items.yml") else (where,)
        if _mains(facts, ref, item) and not _served(facts, ref, _SOCKET):
            yield facts.problem(
                ENTRY,
                *place,
                found=f"nothing says from which socket {ref} was fed",
                needed="the socket, by its label or place, is needed",
            )
        if _GAS_KINDS.search(case.head.device_kind or "") and not _served(facts, ref, _GAS):
            yield facts.problem(
                ENTRY,
                *place,
                found=f"nothing says from which gas outlet {ref} was fed",
                needed="the outlet or cylinder is needed",
            )


def _cords(facts: Facts, ref: str, item: Item) -> set[str]:
    """Power cords that belong to a device: part of it, of its kit, joined to it, or the only ones there are."""
    cords = {
        name
        for name, one in facts.case.items.items()
        if one.role is ItemRole.POWER_CORD
        and one.in_use_at_event
        and (one.part_of in {ref, None} or (one.kit is not None and one.kit == item.kit))
    }
    return cords


def _mains(facts: Facts, ref: str, item: Item) -> bool:
    facts_of_it = {name: text for name, text in item.characteristics.items() if name in {"class", "cord"}}
    if any(_NO_MAINS.search(text) for text in facts_of_it.values()):
        return False
    return bool(facts_of_it) or bool(_cords(facts, ref, item))


def _served(facts: Facts, ref: str, kind: re.Pattern[str]) -> bool:
    things = {ref, *_cords(facts, ref, facts.case.items[ref])}
    case = facts.case
    for point in case.room.values():
        if kind.search(point.kind) and (not point.items or things.intersection(point.items)):
            return True
    if case.scene is None:
        return False
    for link in case.scene.connections.values():
        ends = (link.from_, link.to)
        if not things.intersection(ends):
            continue
        other = " ".join((*(end for end in ends if end not in things), link.by or ""))
        if kind.search(other) or any(kind.search(case.room[end].kind) for end in ends if end in case.room):
            return True
    return False
