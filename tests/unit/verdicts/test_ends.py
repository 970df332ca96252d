"""Words and bounds that settle a limit for certain: no output, an instrument at its end, a bound outside its ranges."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from asfound.measure.units import unit
from asfound.model.bench import Instrument
from asfound.model.number import Fault, read_value
from asfound.verdicts.doubts import ranges_in
from asfound.verdicts.ends import of_bound, of_word

from .bench import judged, only, words

GIVEN = {"quantity": "energy", "unit": "J", "units": []}
ANALYSER = {"from": "0 J", "to": "360 J", "resolution": "1 J", "accuracy": {"percent": "2", "plus": "1 J"}}


def fixed(value: str) -> dict[str, str]:
    return {"kind": "fixed", "value": value}


@pytest.mark.parametrize(
    ("text", "limit", "outcome"),
    [
        # A unit that has to give 170 J and gave nothing does not meet that. What it must not exceed is not settled,
        # since a lead that came off shows nothing either.
        ("no output", {"sense": "at least", "bound": fixed("170 J")}, "fail"),
        ("no output", {"sense": "between", "bound": None, "low": fixed("170 J"), "high": fixed("230 J")}, "fail"),
        ("no output", {"bound": fixed("230 J")}, "not assessable"),
        (
            "no output",
            {"sense": "between", "bound": None, "low": fixed("-5 J"), "high": fixed("5 J")},
            "not assessable",
        ),
        ("over range", {"bound": fixed("230 J")}, "fail"),
        ("over range", {"sense": "between", "bound": None, "low": fixed("170 J"), "high": fixed("230 J")}, "fail"),
        ("over range", {"sense": "at least", "bound": fixed("170 J")}, "not assessable"),
        ("over range", {"bound": fixed("400 J")}, "not assessable"),
        ("under range", {"sense": "at least", "bound": fixed("170 J")}, "fail"),
        ("under range", {"bound": fixed("230 J")}, "not assessable"),
    ],
)
@pytest.mark.parametrize("rule", ["simple acceptance", "guard band"])
def test_a_word_fails_what_it_cannot_meet_and_passes_nothing(
    text: str, limit: dict[str, Any], outcome: str, rule: str
) -> None:
    asked = {"quantity": "energy", **limit}
    bench = {"unit": "J", "test": GIVEN, "rule": rule}
    made = only(judged([text], asked, instrument=ANALYSER, **bench))
    assert (str(made.outcome), made.value, made.doubt) == (outcome, None, None)
    assert (outcome == "fail") == (" J, the " in made.why)
    assert only(judged([text], asked, instrument=None, **bench)).outcome == "not assessable", "no range, no bound"


def test_no_output_is_less_than_the_least_that_is_shown_with_its_doubt() -> None:
    """By hand at 1 J: u² = ((0.02 + 1)² + 0.5²) / 3, U = 2 u = 1.312 J, so that the guard band ends at 2.312 J."""
    at_least = [{"quantity": "energy", "sense": "at least", "bound": fixed(f"{one} J")} for one in ("2.31", "2.32")]
    bench = {"unit": "J", "test": GIVEN, "rule": "guard band", "instrument": ANALYSER}
    assert [words(judged(["no output"], one, **bench)) for one in at_least] == [["not assessable"], ["fail"]]
    made = only(judged(["no output"], at_least[1], **bench))
    assert made.why == "no output is less than 1 J, the least that the range to 360 J shows"
    high = {**ANALYSER, "from": "10 J"}
    assert only(judged(["no output"], at_least[1], **{**bench, "instrument": high})).outcome == "not assessable"


@pytest.mark.parametrize(("quantity", "unit"), [("time", "s"), ("temperature", "degC"), ("resistance", "ohm")])
def test_no_output_says_nothing_of_what_is_there_without_any(quantity: str, unit: str) -> None:
    """Without an alarm the wait for it has no end, without a heater the room is as warm as it is."""
    shown = {**ANALYSER, "from": f"0 {unit}", "to": f"360 {unit}", "resolution": f"1 {unit}",
             "accuracy": {"percent": "2"}}  # fmt: skip
    asked = {"quantity": quantity, "sense": "at least", "bound": fixed(f"170 {unit}")}
    test = {"quantity": quantity, "unit": unit, "units": []}
    made = only(judged(["no output"], asked, unit=unit, test=test, instrument=shown))
    assert made.outcome == "not assessable" and made.why.startswith("There was no output")


def test_a_bound_outside_all_ranges_is_judged_at_the_nearest_end_of_one() -> None:
    """By hand at 10 J: u² = ((0.2 + 1)² + 0.5²) / 3, U = 1.5011 J; at 360 J: u² = (8.2² + 0.5²) / 3, U = 9.4862 J."""
    bench = {"unit": "J", "test": GIVEN, "rule": "guard band", "instrument": {**ANALYSER, "from": "10 J"}}

    def of(text: str, sense: str, bound: str) -> str:
        return str(only(judged([text], {"quantity": "energy", "sense": sense, "bound": fixed(bound)}, **bench)).outcome)

    assert [of("<0.5", "at least", one) for one in ("11.50 J", "11.51 J")] == ["not assessable", "fail"]
    assert [of("<0.5", "at most", one) for one in ("11.50 J", "11.51 J")] == ["not assessable", "pass"]
    assert [of(">400", "at most", one) for one in ("350.52 J", "350.51 J")] == ["not assessable", "fail"]
    assert [of(">400", "at least", one) for one in ("350.52 J", "350.51 J")] == ["not assessable", "pass"]
    made = only(judged(["<0.5"], {"quantity": "energy", "sense": "at least", "bound": fixed("170 J")}, **bench))
    assert made.doubt == pytest.approx(1.5011, abs=5e-5) and made.value == Decimal("0.5")
    assert made.why == "<0.5 is less than 10 J, where the doubt is known"
    simple = {**bench, "rule": "simple acceptance"}
    plain = only(judged(["<0.5"], {"quantity": "energy", "sense": "at least", "bound": fixed("0.5 J")}, **simple))
    assert (str(plain.outcome), plain.doubt, plain.why) == ("fail", None, ""), "the bound alone settles it there"


def test_of_several_ranges_the_widest_bound_holds_since_it_is_not_known_which_was_in_use() -> None:
    joule = unit("J")
    assert joule is not None
    wide = {**ANALYSER, "resolution": "5 J"}
    narrow = {**ANALYSER, "to": "20 J", "from": "-20 J", "resolution": "0.1 J"}
    meter = {"what": "m", "serial": "1", "functions": {"f": {"quantity": "energy", "ranges": [narrow, wide]}}}
    ranges = ranges_in(Instrument.model_validate(meter), "f", joule)
    ends = {}
    for text in ("no output", "over range", "under range", "yes", "not measured: late", "<-30", ">400", "<8"):
        value = read_value(text)
        assert not isinstance(value, Fault)
        made = of_word(value, ranges, joule) or of_bound(value, ranges, joule)
        ends[text] = None if made is None else (str(made.value.kind), made.value.number)
    assert ends == {
        "no output": ("below", 5), "over range": ("above", 20), "under range": ("below", 0), "yes": None,
        "not measured: late": None, "<-30": ("below", -20), ">400": ("above", 360), "<8": None,
    }  # fmt: skip
