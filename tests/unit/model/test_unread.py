"""What rests on something that could not be read, followed through citations of every shape."""

from __future__ import annotations

from dataclasses import replace

from asfound.assess.repository import open_repository
from asfound.intake import read_case
from asfound.model.case import Case
from asfound.model.reasoning import Finding
from asfound.model.unread import Unread
from tests.rules.support import BASE, CASE


def case(broken: tuple[str, ...], **rests_on: list[str]) -> Case:
    """The base case with findings F-a, F-b, … that rest on what is said."""
    read = read_case(BASE, BASE / CASE, open_repository(BASE).bench).case
    assert read is not None
    made = {
        f"F-{name}": Finding.model_validate({"text": "It was so.", "about": ["I-1"], "rests_on": refs})
        for name, refs in rests_on.items()
    }
    return replace(read, broken=broken, findings={**read.findings, **made})


def test_nothing_rests_on_what_is_broken_where_nothing_is() -> None:
    asked = Unread(case(()), {})
    assert not asked.any(["F-1", "R-flow-4", "S-flow", "X-1", "P-flow", "plan.yml"]) and not asked.some_sheet


def test_a_reading_is_followed_to_whatever_cites_it_and_no_further() -> None:
    asked = Unread(case(("R-flow-4",), a=["F-1"], b=["R-earth-1"]), {})
    assert all(map(asked.on, ("R-flow-4", "S-flow", "F-1", "F-a"))) and asked.some_sheet
    assert not asked.any(["R-flow-5", "F-5", "F-b", "R-earth-1", "S-earth"])


def test_findings_that_cite_one_another_are_both_known_for_what_one_rests_on() -> None:
    """Whichever is asked first, and by way of which of them it was come upon."""
    for first in "abc":
        asked = Unread(case(("R-flow-4",), a=["F-b"], b=["F-c", "F-a"], c=["F-b", "R-flow-4"], d=["F-d"]), {})
        asked.on(f"F-{first}")
        assert all(asked.on(f"F-{name}") for name in "abc") and not asked.on("F-d")


def test_a_long_chain_of_findings_is_followed_to_its_end() -> None:
    links = {f"x{number}": [f"F-x{number + 1}"] for number in range(3000)}
    asked = Unread(case(("R-flow-4",), **links, x3000=["R-flow-4"]), {})
    assert asked.on("F-x0") and asked.on("F-x2999")


def test_a_sheet_whose_instrument_cannot_be_read_is_known_for_no_more_than_its_values() -> None:
    asked = Unread(case((), a=["F-1"]), {}, frozenset({"S-flow"}))
    assert all(map(asked.on, ("S-flow", "R-flow-4", "F-1", "F-a"))) and asked.some_sheet and not asked.nothing
    assert not asked.any(["R-earth-1", "S-earth", "F-3"]) and Unread(case(()), {}).nothing
