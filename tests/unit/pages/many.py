"""Many cases made of the frozen one: each with an identity, a title, a day and a kind of its own. Nothing is random."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from asfound.model.dossier import Dossier
from asfound.model.event import EventKind

from .frozen import frozen

KINDS = tuple(EventKind)


def many(count: int) -> list[Dossier]:
    """So many cases over three years and a bit, one every two or three days."""
    return [one(number) for number in range(count)]


def one(number: int) -> Dossier:
    """The case with this number."""
    dossier = frozen()
    case = dossier.core.case
    told = case.head.event.told_at
    at = dt.datetime(2023, 1, 2, 10, 0, tzinfo=told.at.tzinfo) + dt.timedelta(days=number * 5 // 2)
    moment = told.model_copy(update={"at": at}) if hasattr(told, "model_copy") else replace(told, at=at)
    event = case.head.event.model_copy(update={"told_at": moment, "kind": KINDS[number % len(KINDS)]})
    head = case.head.model_copy(
        update={"case": f"case-{number:03d}", "title": f"Generated case {number}", "event": event}
    )
    items = {
        ref: item.model_copy(update={"serial": f"{ref}-{number:05d}"}) if isinstance(item.serial, str) else item
        for ref, item in case.items.items()
    }
    return replace(dossier, core=replace(dossier.core, case=replace(case, head=head, items=items)))
