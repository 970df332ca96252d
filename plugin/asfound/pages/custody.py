"""The custody of a case as bands on a common axis of time, told from its account."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal

from asfound.account import Account, Keeping, Stretch, accounts
from asfound.figures import Chart
from asfound.figures import spec as figure
from asfound.figures.kinds import custody_bands
from asfound.figures.spec import Axis, Event, Look, Tick
from asfound.measure import show_duration, show_time
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.pages.texts import Texts, capital, listed, plural

_LOOK = {
    Keeping.BEFORE_LOG: Look.UNTOLD,
    Keeping.BEFORE_CUSTODY: Look.TOLD,
    Keeping.HELD: Look.HELD,
    Keeping.STORED: Look.STORED,
    Keeping.ON_THE_WAY: Look.CARRIED,
    Keeping.GAP: Look.GAP,
}
_STEPS = (0.25, 0.5, 1, 2, 4, 6, 12, 24, 48, 168, 336, 672, 1344, 2688, 5376)
"""Hours between two ticks."""
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_MOST_TICKS = 9


def custody_chart(texts: Texts) -> Chart | None:
    """The bands of every item the log speaks of; None where it speaks of none at a stated time."""
    case = texts.case
    known = {ref: one for ref, one in accounts(case).items() if one.stretches}
    if not known:
        return None
    order = sorted(known, key=sort_key)
    first = min((one.stretches[0].start for one in known.values()), key=lambda at: at.at)
    last = max(_last(case, known), key=lambda at: at.at)
    # What goes on after the last record is drawn a little further, so that it can be seen to go on.
    span = max((last.at - first.at).total_seconds() / 3600, 0.25)
    end = span * 1.04
    return custody_bands(
        "chart-custody",
        "Custody of each item",
        result_words(known),
        [_name(case, ref) for ref in order],
        [_stretch(texts, row, one, first, end) for row, ref in enumerate(order) for one in known[ref].stretches],
        x=Axis(f"time at {show_time(first.at).split()[2]}", ticks=ticks(first.at, span), low=0.0, high=end),
        events=[event for row, ref in enumerate(order) for event in _gates(case, row, ref, first, end)],
        note="A band without a closing end goes on. Ticks under a band are the gates of that item.",
    )


def result_words(known: Mapping[str, Account]) -> str:
    """One sentence: gaps first, then what lay about before custody, else that it leads without a gap."""
    gaps = {ref: one.gaps for ref, one in known.items() if one.gaps}
    told = [ref for ref, one in known.items() if any(s.keeping is Keeping.BEFORE_CUSTODY for s in one.stretches)]
    parts: list[str] = []
    for ref in sorted(gaps, key=sort_key)[:4]:
        length = sum((one.seconds or 0 for one in gaps[ref]), 0.0)
        opened = any(one.seconds is None for one in gaps[ref])
        parts.append(f"{ref} ({'still open' if opened else show_duration(dt.timedelta(seconds=length))})")
    more = f" and {len(gaps) - 4} more" if len(gaps) > 4 else ""
    if gaps:
        said = f"For {listed(parts)}{more} the log does not say who had it all the time"
    else:
        said = f"For each of {plural(len(known), 'item')} the log leads from holder to holder without a gap"
    if told:
        refs = listed(sorted(told, key=sort_key))
        said += f"; {refs} lay about before custody, as somebody signed"
    return f"{capital(said)}."


def _last(case: Case, known: Mapping[str, Account]) -> list[Moment]:
    found = [one.stretches[-1].start for one in known.values()]
    found += [gate.at for gate in case.gates.gates.values() if any(ref in known for ref in gate.items)]
    return found + [sheet.to for sheet in case.sheets.values() if sheet.item in known]


def _name(case: Case, ref: str) -> str:
    item = case.items.get(ref)
    return f"{ref} {item.what}" if item else ref


def _hours(first: Moment, moment: Moment) -> float:
    return round((moment.at - first.at).total_seconds() / 3600, 6)


def _stretch(texts: Texts, row: int, one: Stretch, first: Moment, end: float) -> figure.Stretch:
    holder = "sealed store" if one.keeping is Keeping.STORED else texts.role(one.holder) if one.holder else ""
    length = "" if one.seconds is None else show_duration(Decimal(int(one.seconds)))
    return figure.Stretch(
        row=row,
        start=_hours(first, one.start),
        end=end if one.end is None else _hours(first, one.end),
        look=_LOOK[one.keeping],
        words=f"last with {holder}" if one.keeping is Keeping.GAP and holder else holder,
        start_text=show_time(one.start.at),
        end_text="" if one.end is None else show_time(one.end.at),
        length=length,
        place=one.place,
        seal=one.seal,
        why=one.why,
        ref=one.lines[0] if one.lines else "",
        open=one.end is None,
    )


def _gates(case: Case, row: int, ref: str, first: Moment, end: float) -> list[Event]:
    found = []
    for name, gate in case.gates.gates.items():
        at = _hours(first, gate.at)
        if ref in gate.items and 0 <= at <= end:
            found.append(Event(row, at, f"gate: {gate.gate}", show_time(gate.at.at), name))
    return found


def ticks(first: dt.datetime, span: float) -> tuple[Tick, ...]:
    """Ticks at round times of the first moment's own offset: midnights, or hours where the span is short."""
    step = next((one for one in _STEPS if span / one <= _MOST_TICKS), _STEPS[-1])
    midnight = first.replace(hour=0, minute=0, second=0, microsecond=0)
    found: list[Tick] = []
    number = 0
    while (at := midnight + dt.timedelta(hours=step * number)) <= first + dt.timedelta(hours=span):
        number += 1
        if at < first:
            continue
        day = f"{at.day} {_MONTHS[at.month - 1]}"
        clock = f"{at.hour:02d}:{at.minute:02d}"
        text = day if step >= 24 or clock == "00:00" else clock
        if not found and step < 24:
            text = f"{day} {clock}"
        elif step >= 168 and (not found or at.year != (at - dt.timedelta(hours=step)).year):
            text = f"{day} {at.year}"
        found.append(Tick(round((at - first).total_seconds() / 3600, 6), text))
    return tuple(found)
