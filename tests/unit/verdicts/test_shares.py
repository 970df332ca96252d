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
