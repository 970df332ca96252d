"""A support that sinks, a lift, and one that has no mains: what its plan must ask for and what it must not."""

from __future__ import annotations

from typing import Any, cast

from asfound.desk.plan_tests import ABSENT, Proposed, propose, protocols_for
from asfound.desk.plan_tests import tests_of as asked_by
from asfound.limits import build_book, packaged
from asfound.model.case import Case
from asfound.model.event import CaseHead
from asfound.model.things import Item
from asfound.model.work import Tier

_BY_NAME = {one.protocol: one for one in packaged().protocols.values()}


def test_a_support_that_sinks_has_a_test_that_can_see_it() -> None:
    protocol = _BY_NAME["powered-support"]
    speaking = [name for name, test in protocol.tests.items() if "drift" in test.reaches]
    assert speaking == ["load-held"] and "load-held" in protocol.order
    assert protocol.tests["load-held"].alters is Tier.NONE and protocol.tests["load-held"].functional


def test_what_runs_by_its_own_battery_is_asked_for_no_earth() -> None:
    # IEC 60601-1, 6.2 (from memory): equipment is class I, class II or internally powered.
    tests = _BY_NAME["electrical-safety"].tests
    for name in ("protective-earth", "protective-earth-flexed", "protective-earth-high-current", "earth-leakage"):
        assert "internally powered" in tests[name].unless["class"], name


def test_what_runs_by_its_own_battery_is_asked_for_no_current_from_the_mains() -> None:
    # IEC 62353:2014, 5.3.3 (from memory): equipment leakage is not measured on an internal electrical power source.
    tests = _BY_NAME["electrical-safety"].tests
    for name in ("equipment-leakage", "touch-current", "lead-leakage"):
        assert "internally powered" in tests[name].unless["class"], name
    # Mains voltage can reach its applied part from another device, so this one is still asked.
    assert tests["applied-part-leakage"].unless["class"] == ("not electrical",)
    fed = [column for test in _BY_NAME["defibrillator"].tests.values() if (column := test.conditions.get("fed from"))]
    asked = [column for column in fed if column.required]
    assert len(asked) == 2 and all("internally powered" in column.unless["mains"]["class"] for column in asked)


HEAD = {
    "case": "slid", "title": "T", "harmed": "none", "device_kind": "patient-lift",
    "event": {"kind": "mechanical", "told_at": "2026-03-10 08:00 +00:00", "time_source": "none", "where": "here",
              "account": "A person slid."},
}  # fmt: skip
LIFT = {"what": "Patient lift", "role": "main device", "in_use_at_event": "yes", "impounded": "yes"}


def planned(**said: Any) -> Proposed:
    """What is proposed for a lift that says this of itself."""
    have = packaged()
    book, _ = build_book(have.sets, have.protocols, {}, {}, cautions=have.cautions)
    items = {"I-1": Item.model_validate({**LIFT, **said})}
    case = Case(folder="cases/slid", head=CaseHead.model_validate(HEAD), items=items)
    tests = asked_by(book, protocols_for(book, "patient-lift"))
    return propose(case, tests, (), "I-1")


def coverage(made: Proposed, test: str) -> dict[str, list[str]]:
    entry = made.tests[test]
    assert isinstance(entry, dict)
    return cast("dict[str, list[str]]", entry["coverage"])


def test_a_lift_on_its_battery_is_planned_whole_and_asked_for_no_mains() -> None:
    made = planned(characteristics={"class": "internally powered", "drive": "battery", "applied_part": "none"})
    assert {
        "sling-fit", "loop-length", "latch-closes", "bar-play", "mast-play", "castor-brake", "leg-spread",
        "static-stability", "emergency-lowering", "lift-stop", "rated-load-of-part", "lift-end-stop",
        "control-key-force", "actuator-current", "lift-battery-voltage", "charger-output", "lift-load-held",
        "loop-holds",
    } <= set(made.tests)  # fmt: skip
    assert not {"protective-earth", "equipment-leakage", "touch-current", "applied-part-leakage"} & set(made.tests)
    assert {"control-line-flexed", "overload-answer", "sling-pull"} <= set(made.altering)
    assert not made.idle and not made.open
    assert coverage(made, "rated-load-of-part") == {"part": ["lift", "spreader bar", "sling"]}
    rare = "Only where it was so, and then written below coverage: scale, extension strap, rail."
    assert rare in made.remarks["rated-load-of-part"]


def test_a_lift_on_the_mains_has_its_earth_measured_and_no_battery() -> None:
    made = planned(characteristics={"class": "I", "drive": "mains", "cord": "detachable", "applied_part": "B"})
    assert {"protective-earth", "touch-current", "applied-part-leakage", "uncommanded-lift"} <= set(made.tests)
    assert not {"lift-battery-voltage", "charger-output"} & set(made.tests) and not made.idle


def test_a_lift_pumped_by_hand_keeps_what_has_no_power() -> None:
    made = planned(characteristics={"class": "not electrical", "drive": "by hand"})
    assert {"lift-load-held", "emergency-lowering", "static-stability", "sling-fit"} <= set(made.tests)
    assert not {"control-key-force", "lift-stop", "run-on", "touch-current", "applied-part-leakage"} & set(made.tests)


def test_what_the_maker_states_for_one_load_leaves_the_load_of_the_event_in_the_plan() -> None:
    stated = {"quantity": "lift-load-held", "when": {"loading": "rated load"}, "value": "10 mm", "source": "the maker"}
    made = planned(stated=[stated])
    assert coverage(made, "lift-load-held") == {"loading": ["load of the event", "rated load"]}


def test_a_thing_that_is_there_in_any_word_needs_no_remark_and_a_no_does() -> None:
    there = planned(characteristics={"latches": "yes", "emergency_stop": "red knob on the mast"})
    assert not there.idle and {"latch-closes", "lift-stop"} <= set(there.tests)
    gone = planned(characteristics={"latches": "none", "emergency_stop": "none"})
    assert not gone.idle and not {"latch-closes", "lift-stop"} & set(gone.tests)
    # `no` leaves nothing out, so whoever wrote it is told the word that would.
    assert planned(characteristics={"latches": "no"}).idle == {"latches no": ABSENT}
