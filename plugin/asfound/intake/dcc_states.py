"""What a calibration certificate tells of the state before an adjustment or repair, and of the state after it.

Good practice with the schema puts the values before an adjustment into a condition of the measurement, with its
status, and those after it into the results (confirmed, an example kept in a public repository). A condition without
values of its own says in which state all that stands beside it was measured; results may say the same by their type
of reference (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from asfound.intake.dcc_results import Say, refs, types
from asfound.intake.dcc_xml import Element

_BEFORE = frozenset(("beforeAdjustment", "beforeRepair"))
_AFTER = frozenset(("afterAdjustment", "afterRepair"))


class States(Struct, frozen=True):
    """Results to read, each with the measurement it stands in; statements of conformity as found; whether adjusted.

    conformity  each word with the ids that what it stands in refers to, the nearest first
    """

    results: tuple[tuple[Element, Element], ...]
    conformity: tuple[tuple[str, tuple[tuple[str, ...], ...]], ...]
    adjusted: bool


def states_of(measurements: list[Element], statements: list[Element], left: Say) -> States:
    """Part what was measured before an adjustment from what was measured after it, or without one."""
    now: list[tuple[Element, Element]] = []
    before: list[tuple[Element, tuple[str, ...]]] = []
    adjusted = False
    for one in measurements:
        conditions = [(found, _status(found)) for found in one.all("influenceConditions", "influenceCondition")]
        adjusted |= any(status in _BEFORE | _AFTER for _, status in conditions)
        carrying = [found for found, status in conditions if status in _BEFORE and _holds_values(found)]
        before += [(found, refs(one)) for found in carrying]
        all_before = not carrying and any(status in _BEFORE for _, status in conditions)
        if all_before and any(status in _AFTER for _, status in conditions):
            left(one, "conditions both before and after an adjustment stand over the same results; look which they are")
        for found, status in conditions:
            if status in _AFTER and _holds_values(found):
                left(found, "values after an adjustment stand in a condition instead of a result")
        for result in one.all("results", "result"):
            named = _named(result)
            adjusted |= bool(named)
            if named == "before" or (all_before and named != "after"):
                before.append((result, refs(one)))
            else:
                now.append((one, result))
    if before and not now:
        left(before[0][0], "all values are of a state before an adjustment, and say nothing of how it measured since")
    for inner in (one for _, result in now for one in result.walk() if one.name == "influenceCondition"):
        if _status(inner) in _BEFORE | _AFTER:
            adjusted = True
            left(inner, "a quantity bears a state of adjustment of its own; what is covered may mix the two")
    told = before if adjusted else [(one, ()) for one in (*measurements, *statements)]
    if adjusted:
        for one in statements:
            if any(True for _ in _conformity(one, ())):
                left(one, "a conformity is stated of the whole, which was adjusted; it does not say before or after")
    stated = (found for one, above in told for found in _conformity(one, (above,) if above else ()))
    return States(tuple(now), tuple(stated), adjusted)


def _status(condition: Element) -> str:
    found = condition.first("status")
    return found.text.strip() if found else ""


def _holds_values(condition: Element) -> bool:
    return any(one.name == "quantity" for one in condition.walk())


def _named(result: Element) -> str:
    for word in types(result):
        for state in ("before", "after"):
            if f"{state}adjustment" in word or f"{state}repair" in word:
                return state
    return ""


def _conformity(at: Element, above: tuple[tuple[str, ...], ...]) -> Iterator[tuple[str, tuple[tuple[str, ...], ...]]]:
    """Each word of conformity that is stated below an element, in single ones and in lists, with what it is of."""
    named = refs(at)
    above = (named, *above) if named else above
    if at.name in ("conformity", "conformityXMLList"):
        yield from ((word, above) for word in at.text.split())
    for child in at.children:
        yield from _conformity(child, above)
