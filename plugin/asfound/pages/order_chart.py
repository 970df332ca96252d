"""The order of work as a drawing: gates, inspection, opened seals, altering steps and sheets, by time and thing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

from msgspec import Struct, structs

from asfound.account.lines import STORE, arrives, sealed
from asfound.figures.order_spec import Act, Cleared, Deed, Order
from asfound.measure import show_time
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.ids import sort_key
from asfound.model.limits import Test
from asfound.model.work import Gate, GateKind, Tier
from asfound.pages.texts import Texts, capital, listed, plural

BROKEN_BY = frozenset(
    {"power-before-inspection", "connected-before-safe", "impossible-time", "reading-while-elsewhere",
     "booted-though-log-erases", "damaged-and-energised"}
)  # fmt: skip
"""Rules that say of a sheet, a gate or a step that it came out of order."""
_CLEARS = {
    GateKind.IMPOUNDED: Cleared.IMPOUNDED,
    GateKind.INSPECTED: Cleared.INSPECTED,
    GateKind.SAFE_TO_CONNECT: Cleared.SAFE,
}
_WAITS = frozenset({"analyser", "simulator", "person"})
_MOST = 22
"""Acts in one drawing; more are drawn in several, so that each stands on one sheet of paper with its caption."""


class _Done(Struct, frozen=True):
    """An act with the moment it began and the ids of its things."""

    at: Moment
    act: Act
    items: tuple[str, ...]
    fitted: tuple[str, ...] = ()
    to: Moment | None = None


def order_charts(texts: Texts, test_of: Callable[[str], Test | None], title_of: Callable[[str], str]) -> list[Order]:
    """The drawings, one after another in time; none where nothing of the work has a time."""
    case = texts.case
    done = [*_gates(case), *_sheets(texts, test_of, title_of), *_looked(case), *_opened(case), *_steps(case)]
    done.sort(key=lambda one: (one.at.at, one.act.deed is not Deed.GATE, sort_key(one.act.ref) if one.act.ref else ()))
    named = {ref for one in done for ref in (*one.items, *one.fitted) if ref in case.items}
    columns = tuple(sorted(named, key=sort_key))
    if not done or not columns:
        return []
    at = {ref: i for i, ref in enumerate(columns)}
    broken = _broken(texts)
    acts = [_act(one, at, broken.get(one.act.ref, "")) for one in done]
    parts = -(-len(acts) // _MOST)
    each = -(-len(acts) // parts)
    state = [Cleared.NOT_YET] * len(columns)
    found: list[Order] = []
    for number in range(parts):
        here = tuple(acts[number * each : (number + 1) * each])
        more = f", part {number + 1} of {parts}" if parts > 1 else ""
        found.append(
            Order(
                f"chart-order-{number + 1}" if parts > 1 else "chart-order",
                f"Order of work{more}",
                _result(case, broken) if not number else f"The order of work{more}.",
                columns,
                tuple(state),
                here,
                _NOTE if not number else "",
            )
        )
        for act in here:
            for i in act.items if act.cleared else ():
                state[i] = act.cleared or state[i]
    return found


_NOTE = (
    "Time runs down, and each thing has a line of its own; its pattern says how far the thing was cleared. What was "
    "done hangs under the gate before it."
)


def _broken(texts: Texts) -> dict[str, str]:
    """What the rules say of records that came out of order."""
    found: dict[str, str] = {}
    for problem in texts.core.problems:
        if problem.rule in BROKEN_BY and problem.subject:
            found.setdefault(problem.subject, problem.found)
    return found


def _result(case: Case, broken: dict[str, str]) -> str:
    gates, sheets = len(case.gates.gates), len(case.sheets)
    if broken:
        return f"The order of work was broken at {listed(sorted(broken, key=sort_key))}."
    said = f"{capital(plural(gates, 'gate'))} and {plural(sheets, 'sheet')} of readings, in the order of time"
    return f"{said}; no rule objects to their order."


def _act(one: _Done, at: dict[str, int], broken: str) -> Act:
    items = tuple(at[ref] for ref in one.items if ref in at)
    fitted = tuple(at[ref] for ref in one.fitted if ref in at and at[ref] not in items)
    day, clock = _when(one.at)
    if one.to is not None:
        clock_to = _when(one.to)[1] if _when(one.to)[0] == day else " ".join(reversed(_when(one.to)))
        words = f"{one.act.words}, until {clock_to}"
    else:
        words = one.act.words
    # A gate without items stands for the case as a whole and for every thing of it.
    if one.act.cleared and not one.items:
        items = tuple(at.values())
    return structs.replace(one.act, day=day, clock=clock, words=words, items=items, fitted=fitted, broken=broken)


def _when(moment: Moment) -> tuple[str, str]:
    """Day with weekday and offset, and the time of day, as they are printed everywhere."""
    date, clock, offset, weekday = show_time(moment.at).split(" ", 3)
    return f"{date} {weekday}, {offset}", clock


def _gates(case: Case) -> Iterator[_Done]:
    for ref, gate in case.gates.gates.items():
        words = capital(str(gate.gate)) + (f": {gate.outcome}" if gate.outcome else "")
        yield _Done(gate.at, Act(ref, "", "", words, Deed.GATE, cleared=_clears(gate)), gate.items)


def _clears(gate: Gate) -> Cleared | None:
    if gate.gate is GateKind.SAFE_TO_CONNECT and not (gate.outcome or "").casefold().startswith("yes"):
        return None
    return _CLEARS.get(gate.gate)


def _sheets(texts: Texts, test_of: Callable[[str], Test | None], title_of: Callable[[str], str]) -> Iterator[_Done]:
    case = texts.case
    for ref, sheet in case.sheets.items():
        test = test_of(sheet.test)
        kinds = [GateKind.INSPECTED] if test is not None and test.energised else []
        kinds += [GateKind.SAFE_TO_CONNECT] if test is not None and test.connects in _WAITS else []
        allowed = [found for kind in kinds if (found := _before(case, kind, sheet.item, sheet.from_))]
        words = f"{title_of(sheet.test)}, {plural(len(case.standing(ref)), 'reading')}"
        act = Act(ref, "", "", words, Deed.READ, allowed=listed(allowed))
        yield _Done(sheet.from_, act, (sheet.item,), sheet.accessories, sheet.to)


def _before(case: Case, kind: GateKind, item: str, at: Moment) -> str:
    """The last gate of a kind that covers an item and came before, in words."""
    found = [
        (gate.at.at, ref)
        for ref, gate in case.gates.gates.items()
        if gate.gate is kind and gate.at <= at and (not gate.items or item in gate.items)
    ]
    return f"{max(found)[1]} {kind}" if found else ""


def _looked(case: Case) -> Iterator[_Done]:
    """The inspection, day by day."""
    days: dict[dt.date, list[tuple[Moment, str, str]]] = {}
    for row in case.inspection:
        if row.at is not None:
            days.setdefault(row.at.at.date(), []).append((row.at, row.item, row.id))
    for rows in days.values():
        rows.sort(key=lambda one: one[0].at)
        (first, _, _), (last, _, _) = rows[0], rows[-1]
        words = f"Inspection, {plural(len(rows), 'place')} looked at"
        refs = sorted((ref for _, _, ref in rows), key=sort_key)
        ends = last if last.at != first.at else None
        yield _Done(
            first, Act(refs[0], "", "", words, Deed.LOOKED), tuple(dict.fromkeys(item for _, item, _ in rows)), to=ends
        )


def _opened(case: Case) -> Iterator[_Done]:
    """Seals taken off: lines of one moment together."""
    groups: dict[dt.datetime, list[tuple[str, str, tuple[str, ...], Moment]]] = {}
    for line in case.custody:
        at = arrives(line)
        before, after = sealed(line.seal_before), sealed(line.seal_after)
        if at is not None and before and before != after and line.received_by != STORE:
            groups.setdefault(at.at, []).append((line.id, before, line.items, at))
    for lines in groups.values():
        seals = list(dict.fromkeys(seal for _, seal, _, _ in lines))
        words = f"{'Seal' if len(seals) == 1 else 'Seals'} {listed(seals)} opened"
        items = tuple(dict.fromkeys(item for _, _, items, _ in lines for item in items))
        yield _Done(lines[0][3], Act(lines[0][0], "", "", words, Deed.OPENED), items)


def _steps(case: Case) -> Iterator[_Done]:
    for ref, step in case.gates.steps.items():
        alters = "" if step.tier is Tier.NONE else f" ({step.tier})"
        yield _Done(step.at, Act(ref, "", "", f"{step.what}{alters}", Deed.ALTERED), step.items)
