"""Limits in per cent of the setting held against results that are shares already; numbers worked out by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from .bench import judged

SETTING = {"setting": "mohm"}
TEN: dict[str, Any] = {"kind": "percent", "percent": "10", "of": "setting"}


def _wanted(kind: str) -> dict[str, Any]:
    return {"results": [kind]}


def _verdict(values: list[str], kind: str, limit: dict[str, Any], units: dict[str, str] | None = None) -> Any:
    rows = [(value, {"setting": str(100 * n)}) for n, value in enumerate(values, start=1)]
    made = judged(rows, {"result": kind, "quantity": "ratio", **limit}, test=_wanted(kind), units=units or SETTING)
    [one] = [each for each in made.verdicts if each.subject[:1] == "Y"]
    return one


@pytest.mark.parametrize(
    "limit",
    [
        {"sense": "within", "around": "setting", "bound": TEN},
        {"sense": "at most", "bound": TEN},
        {"sense": "at most", "bound": {"kind": "fixed", "value": "10 %"}},
        {"sense": "within", "around": "setting",
         "bound": {"kind": "greatest", "among": [TEN, {"kind": "fixed", "value": "4 %"}]}},
        {"sense": "within", "around": "setting",
         "bound": {"kind": "sum", "terms": [{"kind": "percent", "percent": "6", "of": "setting"},
                                            {"kind": "fixed", "value": "4 %"}]}},
        {"sense": "between", "bound": None, "low": {"kind": "fixed", "value": "-10 %"}, "high": TEN},
    ],
)  # fmt: skip
@pytest.mark.parametrize(
    ("values", "stray", "outcome"),
    [
        (["100", "209", "312"], "4.5", "pass"),
        (["100", "180", "300"], "-10", "pass"),
        (["100", "178", "300"], "-11", "fail"),
        (["100", "222", "300"], "11", "fail"),
    ],
)
def test_a_deviation_in_per_cent_of_the_setting(
    limit: dict[str, Any], values: list[str], stray: str, outcome: str
) -> None:
    """The reading that strays furthest from its setting, by hand; ten per cent allow ten to each side."""
    found = _verdict(values, "deviation", limit)
    assert found.value == Decimal(stray)
    assert (str(found.outcome), found.lower, found.upper) == (outcome, Decimal(-10), Decimal(10))


def test_a_setting_in_per_cent_is_not_taken_for_what_its_share_is_reckoned_of() -> None:
    """Oxygen set to 100 %, 200 % and 300 % of a scale: ten per cent of the setting are ten, not ten to thirty."""
    found = _verdict(["100", "222", "300"], "deviation", {"sense": "at most", "bound": TEN}, {"setting": "mohm"})
    assert str(found.outcome) == "fail" and found.upper == Decimal(10)


def test_a_straight_line_is_no_setting_and_the_verdict_says_so() -> None:
    fixed = {"sense": "between", "bound": None, "low": {"kind": "fixed", "value": "-20 %"},
             "high": {"kind": "fixed", "value": "20 %"}}  # fmt: skip
    assert str(_verdict(["100", "209", "312"], "linearity", fixed).outcome) == "pass"
    assert str(_verdict(["100", "209", "180"], "linearity", fixed).outcome) == "fail"
    found = _verdict(["100", "209", "312"], "linearity", {"sense": "at most", "bound": TEN})
    assert str(found.outcome) == "not assessable"
    assert found.why == (
        "a linearity is told in per cent of the straight line through zero, and the limit asks for a share of the "
        "setting; a fixed bound in % is needed"
    )
    falling = _verdict(["100", "209", "180"], "linearity", {"sense": "at most",
                                                            "bound": {"kind": "fixed", "value": "20 %"}})  # fmt: skip
    assert str(falling.outcome) == "fail", "a line that falls short strays as much as one that goes beyond"


def test_a_share_of_a_rated_value_is_not_that_of_the_setting() -> None:
    found = _verdict(["100", "209"], "deviation", {"sense": "at most", "bound": {**TEN, "of": "rated_output"}})
    assert str(found.outcome) == "not assessable" and "a share of the rated output" in found.why


@pytest.mark.parametrize(("second", "outcome"), [("104", "pass"), ("96", "pass"), ("112", "fail"), ("89", "fail")])
def test_ports_differ_to_either_side(second: str, outcome: str) -> None:
    """100 against 89 is -11.6 % of their mean, which "at most 10 %" forbids as it forbids +11.3 %."""
    rows = [("100", {"port": "1"}), (second, {"port": "2"})]
    limit = {"result": "port agreement", "quantity": "ratio", "bound": {"kind": "fixed", "value": "10 %"}}
    made = judged(rows, limit, test=_wanted("port agreement"))
    assert str(made.results[0].outcome) == outcome
    assert (made.verdicts[-1].lower, made.verdicts[-1].upper) == (Decimal(-10), Decimal(10))


@pytest.mark.parametrize(("bound", "outcome"), [("1.9 mohm", "fail"), ("2 mohm", "pass"), ("0.002 ohm", "pass")])
def test_a_scatter_is_no_share_and_goes_by_its_own_unit(bound: str, outcome: str) -> None:
    """198, 200, 202 scatter by s = 2 mΩ (JCGM 100:2008, 4.2.2)."""
    limit = {"result": "repeatability", "bound": {"kind": "fixed", "value": bound}}
    made = judged(["198", "200", "202"], limit, test=_wanted("repeatability"))
    assert (str(made.results[0].outcome), made.verdicts[-1].lower) == (outcome, None)


def test_a_deviation_between_two_shares_of_the_setting() -> None:
    """From 2 % to 10 % of the setting above it: 1 % is too little, 11 % too much."""
    between = {"sense": "between", "bound": None, "low": {**TEN, "percent": "2"}, "high": TEN}
    for value, outcome in (("101", "fail"), ("102", "pass"), ("110", "pass"), ("111", "fail"), ("95", "fail")):
        assert str(_verdict([value], "deviation", between).outcome) == outcome, value
