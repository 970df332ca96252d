"""Every packaged figure that is to give way to the maker's, at work: with both at hand only the maker's speaks.

That a shop's own figure goes behind the maker's is common practice, no source; where the document of a set leaves the
value to the accompanying papers, it goes behind them (from memory, as those sets say). Which figures these are is
written out in `test_limits_standing.py`; here each is held, with a reading it speaks to, against a maker's own limit.
"""

from __future__ import annotations

from typing import Any

import pytest

from asfound.limits import build_book, packaged
from asfound.model.case import Case
from asfound.model.limits import Book, Limit, LimitSet
from asfound.model.number import Fault, read_value
from asfound.model.things import Item
from asfound.model.verdict import Outcome
from asfound.model.work import Plan, Reading, ReadingSheet, Sheet
from asfound.verdicts import compute

from .test_limits_at_work import HEAD, MOMENTS

BOTH = ("stated value", "maker's limit")


def _book() -> Book:
    have = packaged()
    return build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)[0]


BOOK = _book()
TESTS = {name: test for one in BOOK.protocols.values() for name, test in one.tests.items()}
BEHIND = [
    (one.set, name, test)
    for one in BOOK.sets.values()
    for name, limit in one.limits.items()
    if limit.gives_way_to
    for test in limit.tests
]


def maker(limit: Limit, test: str, only: dict[str, list[str]]) -> LimitSet:
    """A set of one maker's limit for the same test and the same result, which every reading here meets."""
    given: dict[str, Any] = {
        "title": "The maker's", "test": test, "quantity": limit.quantity, "kind": "maker", "clause": "page 3",
        "status": "from memory", "only": only, "result": limit.result,
    }  # fmt: skip
    if limit.sense == "answer":
        given |= {"sense": "answer", "answer": "yes"}
    else:
        unit = "A2s" if limit.result else TESTS[test].unit
        given |= {"sense": "at most", "bound": {"kind": "fixed", "value": f"9000 {unit}"}}
    return LimitSet.model_validate(
        {
            "set": "maker", "title": "The maker's", "document": "Service manual", "edition": "1",
            "jurisdiction": "none", "limits": {"makers-own": given},
        }
    )  # fmt: skip


def shares(limit: Limit) -> set[str]:
    """Characteristics of the device of which the limit takes a share."""
    told = limit.model_dump(mode="json")
    found = {limit.exempt.of} if limit.exempt else set()
    waiting = [told["bound"], told["low"], told["high"]]
    while waiting:
        one = waiting.pop()
        if isinstance(one, dict):
            found |= {one["of"]} if "of" in one else set()
            waiting += one.get("among", []) + one.get("terms", [])
    return found - {"setting", "stated"}


def speakers(
    set_name: str, name: str, test: str, *, own: dict[str, list[str]] | None = None, stated: bool = False
) -> list[tuple[str, Outcome]]:
    """Which of the two limits speaks to one reading that both could speak to, and what it says.

    `own` are the conditions of the maker's limit, None where there is none; `stated` whether the maker states a value.
    """
    limit, asked = BOOK.sets[set_name].limits[name], TESTS[test]
    needed = {one for one in (limit.around, "setting" if "setting" in asked.conditions else None) if one}
    conditions = dict.fromkeys(needed, f"20 {asked.unit}") | {"bench": "first"}
    conditions |= {one: allowed[0] for one, allowed in (limit.when | limit.only).items()}
    if limit.result == "heating factor":
        conditions |= {"cluster": "A", "current": "500 mA"}
    value = read_value("yes" if limit.sense == "answer" else "21")
    assert not isinstance(value, Fault)
    unit = "" if limit.sense == "answer" else asked.unit
    sheet = {"test": test, "item": "I-1", "instrument": "M-1", "function": "any", "by": "examiner", **MOMENTS}
    plan = {
        "written_at": "2026-03-10 08:00 +00:00", "written_by": "examiner", "protocols": ["any"],
        "limit_sets": [set_name, "maker"], "decision_rule": "simple acceptance",
        "tests": {test: {"item": "I-1", "why": "to see", "limits": [name, "makers-own"]}},
    }  # fmt: skip
    thing: dict[str, Any] = {"what": "a device", "role": "main device", "in_use_at_event": "yes", "impounded": "yes"}
    thing["characteristics"] = dict.fromkeys(shares(limit), f"40 {asked.unit}")
    said = [{"quantity": test, "value": f"20 {asked.unit}", "source": "leaflet, page 3"}] if stated else []
    case = Case(
        folder="cases/x", head=HEAD, items={"I-1": Item.model_validate({**thing, "stated": said})},
        plan=Plan.model_validate(plan), sheets={"S-x": Sheet.model_validate(sheet)},
        readings={
            "S-x": ReadingSheet(
                "S-x", "readings/x.csv", (), {}, (Reading("R-x-1", "S-x", "1", 2, value, unit, conditions),)
            )
        },
    )  # fmt: skip
    sets = {set_name: BOOK.sets[set_name]} | ({} if own is None else {"maker": maker(limit, test, own)})
    made = compute(case, BOOK.model_copy(update={"sets": sets}), TESTS, {})
    return [(one.limit.id, one.outcome) for one in made.verdicts if one.limit is not None]


@pytest.mark.parametrize(("set_name", "name", "test"), BEHIND, ids=str)
def test_with_both_at_hand_only_the_makers_speaks(set_name: str, name: str, test: str) -> None:
    limit, theirs = BOOK.sets[set_name].limits[name], ("maker/makers-own", Outcome.PASS)
    [alone] = speakers(set_name, name, test)
    assert alone[0] == f"{set_name}/{name}" and alone[1] in {Outcome.PASS, Outcome.FAIL}, "it speaks, and decides"
    assert speakers(set_name, name, test, own={}) == [theirs]
    assert speakers(set_name, name, test, own={"bench": ["first"]}) == [theirs]
    # One that is for something else takes nothing's place.
    assert speakers(set_name, name, test, own={"bench": ["second"]}) == [alone]
    if limit.sense != "answer":  # a yes or a no is not stated as a value
        told = speakers(set_name, name, test, stated=True)
        assert told == ([] if limit.gives_way_to == BOTH else [alone])


def test_each_of_them_was_asked() -> None:
    assert len(BEHIND) >= 32 and {test for _, _, test in BEHIND} <= set(TESTS)
