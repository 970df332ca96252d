"""A support that sinks, and one that has no mains: what its plan must ask for and what it must not."""

from __future__ import annotations

from asfound.limits import packaged
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
    assert "class" not in tests["applied-part-leakage"].unless
    fed = [column for test in _BY_NAME["defibrillator"].tests.values() if (column := test.conditions.get("fed from"))]
    asked = [column for column in fed if column.required]
    assert len(asked) == 2 and all("internally powered" in column.unless["mains"]["class"] for column in asked)
