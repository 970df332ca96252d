"""Every sense and every modifier of a limit, with numbers worked out by hand."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from .bench import RANGE, judged, only, words


@pytest.mark.parametrize(
    ("limit", "values", "outcomes"),
    [
        ({}, ["299.9", "300", "300.0", "300.1"], ["pass", "pass", "pass", "fail"]),
        ({"strict": "yes"}, ["299.9", "300", "300.1"], ["pass", "fail", "fail"]),
        ({"sense": "at least"}, ["299.9", "300", "300.1"], ["fail", "pass", "pass"]),
        ({"sense": "at least", "strict": "yes"}, ["300", "300.1"], ["fail", "pass"]),
        (
            {"sense": "between", "bound": None, "low": {"kind": "fixed", "value": "0.1 ohm"},
             "high": {"kind": "fixed", "value": "0.2 ohm"}},
            ["99.9", "100", "200", "200.1"], ["fail", "pass", "pass", "fail"],
        ),
    ],
    ids=["at most", "at most, strict", "at least", "at least, strict", "between, in another unit"],
)  # fmt: skip
def test_which_side_is_allowed(limit: dict[str, Any], values: list[str], outcomes: list[str]) -> None:
    assert words(judged(values, limit)) == outcomes


def test_within_a_share_of_the_setting() -> None:
    """100 mΩ ± 5 % is 95 to 105 mΩ; the setting may stand in ohms in its column."""
    limit = {"sense": "within", "around": "setting", "bound": {"kind": "percent", "percent": "5", "of": "setting"}}
    rows = [(value, {"setting": "0.1"}) for value in ("94.9", "95", "105", "105.1")]
    made = judged(rows, limit, units={"setting": "ohm"})
    assert words(made) == ["fail", "pass", "pass", "fail"]
    assert (made.verdicts[0].lower, made.verdicts[0].upper) == (Decimal(95), Decimal(105))
    assert [one.margin for one in made.verdicts] == [Decimal("-0.1"), 0, 0, Decimal("-0.1")]
    assert [one.why for one in made.verdicts] == [""] * 4
    inner = judged([(value, {"setting": "0.1"}) for value in ("97", "104")], limit, units={"setting": "ohm"})
    assert [one.margin for one in inner.verdicts] == [2, 1], "the distance to the nearer bound"


def test_a_share_of_what_lies_below_zero() -> None:
    """-100 mΩ ± 5 % is -105 to -95 mΩ, and ±(2 mΩ + 5 %) is -107 to -93; to one side such a share says nothing."""
    share = {"kind": "percent", "percent": "5", "of": "setting"}
    limit = {"sense": "within", "around": "setting", "bound": share}
    at = {"units": {"setting": "ohm"}, "instrument": {**RANGE, "from": "-2000 mohm"}}
    values = ["-107.1", "-107", "-105", "-95", "-93", "-92.9"]
    rows = [(value, {"setting": "-0.1"}) for value in values]
    assert words(judged(rows, limit, **at)) == ["fail", "fail", "pass", "pass", "fail", "fail"]
    wider = {**limit, "bound": {"kind": "sum", "terms": [{"kind": "fixed", "value": "2 mohm"}, share]}}
    assert words(judged(rows, wider, **at)) == ["fail", "pass", "pass", "pass", "pass", "fail"]
    one_sided = only(judged(rows[:1], {"sense": "at least", "bound": share}, **at))
    assert one_sided.outcome == "not assessable" and "below zero" in one_sided.why


def test_bounds_that_cross_at_some_conditions_settle_nothing_there() -> None:
    """From 90 % of the setting to 400 mΩ: at 400 mΩ 360 to 400, at 500 mΩ nothing is left between."""
    limit = {"sense": "between", "bound": None, "low": {"kind": "percent", "percent": "90", "of": "setting"},
             "high": {"kind": "fixed", "value": "400 mohm"}}  # fmt: skip
    made = judged([("399", {"setting": "400 mohm"}), ("399", {"setting": "500 mohm"})], limit)
    assert words(made) == ["pass", "not assessable"]
    assert made.verdicts[1].why == "the bounds cross at these conditions: 450 mohm lies above 400 mohm"


def test_a_width_that_comes_to_less_than_nothing_settles_nothing() -> None:
    """±(5 % of the setting less 6 mΩ) is ±4 mΩ at 200 mΩ; at 100 mΩ it would lie the wrong way round."""
    terms = [{"kind": "percent", "percent": "5", "of": "setting"}, {"kind": "fixed", "value": "-6 mohm"}]
    limit = {"sense": "within", "around": "setting", "bound": {"kind": "sum", "terms": terms}}
    made = judged([("203", {"setting": "200 mohm"}), ("100", {"setting": "100 mohm"})], limit)
    assert words(made) == ["pass", "not assessable"]
    assert made.verdicts[1].why == "the width to either side comes to -1 mohm, below zero"


def test_a_width_in_degrees_has_no_zero_point() -> None:
    """36 °C ± 1.8 °F is 35 to 37 °C (NIST SP 811, B.8: an interval of 1.8 °F is one of 1 °C)."""
    limit = {"quantity": "temperature", "sense": "within", "around": "setting",
             "bound": {"kind": "fixed", "value": "1.8 degF"}}  # fmt: skip
    warm = {"quantity": "temperature", "unit": "degC", "units": ["degF"]}
    rows = [(value, {"setting": "36 degC"}) for value in ("34.9", "35", "37", "37.1")]
    assert words(judged(rows, limit, unit="degC", test=warm)) == ["fail", "pass", "pass", "fail"]
    top = {"quantity": "temperature", "bound": {"kind": "fixed", "value": "104 degF"}}
    assert words(judged(["40", "40.1"], top, unit="degC", test=warm)) == ["pass", "fail"], "a temperature has one"


def test_an_amount_with_a_power_of_ten_is_the_number_that_it_is() -> None:
    """1e12 mΩ are 1 GΩ: as a bound, as what evidence permits, and as what the maker states."""
    high = {"kind": "fixed", "value": "1e12 mohm"}
    assert words(judged(["142"], {"bound": high})) == ["pass"]
    assert words(judged(["142"], {"sense": "at least", "bound": high})) == ["fail"]
    band = {"bound": {"kind": "fixed", "value": "100 mohm"}, "permitted": {"up_to": "1e12 mohm", "needs": ["intact"]}}
    assert words(judged(["142"], band, item={"characteristics": {"intact": "yes"}})) == ["conditional pass"]
    assert words(judged(["142"], band)) == ["fail"]
    stated = {"stated": [{"quantity": "t", "value": "1e12 mohm", "source": "page 3"}]}
    share = {"kind": "percent", "percent": "1", "of": "stated"}
    assert words(judged(["142"], {"bound": share}, item=stated)) == ["pass"]


def test_a_rated_power_that_gives_no_current() -> None:
    """sqrt(0.02 · 200 W / 200 Ω) = 141.4 mA (IEC 60601-2-2, 201.8.7.3, from memory); of -200 W there is none."""
    bound = {"kind": "current from power", "percent": "2", "of": "rated", "load": "200 ohm"}
    limit, amperes = {"quantity": "electric current", "bound": bound}, {"quantity": "electric current", "unit": "mA"}
    made = judged(["141.4", "141.5"], limit, unit="mA", test=amperes, item={"characteristics": {"rated": "200 W"}})
    assert words(made) == ["pass", "fail"]
    for rated, load, share in (
        ("-200 W", "200 ohm", "2"), ("200 W", "0 ohm", "2"), ("200 W", "-200 ohm", "2"), ("200 W", "200 ohm", "-2"),
    ):  # fmt: skip
        given = {**limit, "bound": {**bound, "load": load, "percent": share}}
        none = only(judged(["1"], given, unit="mA", test=amperes, item={"characteristics": {"rated": rated}}))
        assert none.outcome == "not assessable" and "gives no current" in none.why


def test_the_greatest_of_several_bounds_and_a_sum() -> None:
    """±(20 mΩ or 10 %, whichever is greater): at 100 mΩ 20, at 500 mΩ 50. ±(10 mΩ + 2 %): at 500 mΩ 20."""
    part = {"kind": "percent", "percent": "10", "of": "setting"}
    fixed = {"kind": "fixed", "value": "20 mohm"}
    greatest = {
        "sense": "within", "around": "setting", "bound": {"kind": "greatest", "among": [fixed, part]},
    }  # fmt: skip
    rows = [("120", {"setting": "100 mohm"}), ("121", {"setting": "100 mohm"}),
            ("550", {"setting": "500 mohm"}), ("551", {"setting": "500 mohm"})]  # fmt: skip
    assert words(judged(rows, greatest)) == ["pass", "fail", "pass", "fail"]
    terms = [{"kind": "fixed", "value": "10 mohm"}, {"kind": "percent", "percent": "2", "of": "setting"}]
    added = {**greatest, "bound": {"kind": "sum", "terms": terms}}
    assert words(judged([("520", {"setting": "500 mohm"}), ("521", {"setting": "500 mohm"})], added)) == [
        "pass",
        "fail",
    ]


def test_a_limit_that_is_asked_only_under_a_condition() -> None:
    """What is not on record makes it not assessable, unless the limit is one for rare kinds or has an exception."""
    when = {"when": {"path": ["cord"]}}
    assert words(judged([("400", {"path": "cord"}), ("400", {"path": "case"})], when)) == ["fail", "no requirement"]
    unsaid = only(judged(["400"], when))
    assert unsaid.outcome == "not assessable" and "the path is not recorded" in unsaid.why
    only_for = {"only": {"path": ["cord"]}}
    assert words(judged(["400"], only_for)) == ["no requirement"]
    assert words(judged([("400", {"path": "Cord "})], only_for)) == ["fail"]
    unless = {"unless": {"path": ["cord"]}}
    assert words(judged(["400", ("400", {"path": "cord"})], unless)) == ["fail", "no requirement"]


def test_where_a_condition_is_looked_up() -> None:
    """The row first, then the sheet, then the item; an amount is the same in any unit."""
    when = {"when": {"load": ["0.5 ohm"]}}
    for more in (
        {"sheet": {"constants": {"load": "500 mohm"}}},
        {"item": {"characteristics": {"load": "500 mohm"}}},
        {"sheet": {"constants": {"load": "500 mohm"}}, "item": {"characteristics": {"load": "9 ohm"}}},
    ):
        assert words(judged(["400"], when, **more)) == ["fail"], more
    row = judged([("400", {"load": "9"})], when, sheet={"constants": {"load": "500 mohm"}}, units={"load": "ohm"})
    assert words(row) == ["no requirement"]


def test_what_a_sheet_says_of_its_supply_and_its_moment_is_a_condition() -> None:
    """A limit for the isolated supply of a room speaks where the sheet was taken on one, and nowhere else."""
    for name, sheet, other in (
        ("supply", {"supply": {"kind": "isolated"}}, {"supply": {"kind": "grounded"}}),
        ("moment", {"moment": "received"}, {"moment": "scene"}),
    ):
        word = sheet[name]["kind"] if isinstance(sheet[name], dict) else sheet[name]
        asked = {"when": {name: [word]}}
        assert words(judged(["400"], asked, sheet=sheet)) == ["fail"], name
        assert words(judged(["400"], asked, sheet=other)) == ["no requirement"], name
    assert "the supply is not recorded" in only(judged(["400"], {"when": {"supply": ["isolated"]}})).why


def test_what_the_maker_states_for_another_test_is_no_yardstick() -> None:
    around = {"sense": "within", "around": "stated", "bound": {"kind": "percent", "percent": "10", "of": "stated"}}
    stated = {"quantity": "t", "value": "0.4 ohm", "source": "leaflet"}
    other = {**stated, "quantity": "u", "value": "0.2 ohm"}
    assert words(judged(["430"], around, item={"stated": [other, stated]})) == ["pass"]
    assert words(judged(["430"], around, item={"stated": [other]})) == ["not assessable"]


def test_a_number_in_a_column_has_the_unit_of_the_column() -> None:
    """0.5 under `load [ohm]` is 500 mΩ; 500 under `load [ohm]` is not, and neither is 500 µΩ."""
    when = {"when": {"load": ["500 mohm"]}}
    rows = [("400", {"load": text}) for text in ("0.5", "500", "500 mohm", "500 uohm")]
    made = judged(rows, when, units={"load": "ohm"})
    spoken = {one.subject for one in made.verdicts if one.limit is not None}
    assert spoken == {"R-x-1", "R-x-3"} and len(made.verdicts) == 4
    assert words(judged(rows[1:2], when)) == ["fail"], "a number without any unit is taken to be in the one asked for"
    stated = {"stated": [{"quantity": "t", "when": {"load": "500 mohm"}, "value": "400 mohm", "source": "leaflet"}]}
    around = {"sense": "within", "around": "stated", "bound": {"kind": "fixed", "value": "1 mohm"}}
    assert words(judged(rows[:2], around, item=stated, units={"load": "ohm"})) == ["pass", "not assessable"]


@pytest.mark.parametrize("space", [" ", "\u00a0", "  ", "\u202f", "\t"])
def test_any_space_parts_a_number_from_its_unit(space: str) -> None:
    """Copied out of a document, 500 mΩ comes with a space that does not break; the limit speaks all the same."""
    load = f"500{space}mohm"
    assert words(judged([("400", {"load": load})], {"when": {"load": ["500 mohm"]}})) == ["fail"]
    assert words(judged([("400", {"load": "500 mohm"})], {"when": {"load": [load]}})) == ["fail"]
    around = {"sense": "within", "around": "load", "bound": {"kind": "percent", "percent": "20", "of": "load"}}
    assert words(judged([("400", {"load": load}), ("399", {"load": load})], around)) == ["pass", "fail"]
    exempt = {"exempt": {"condition": "load", "at_or_below_percent": "10", "of": "rated"}}
    item = {"characteristics": {"rated": f"5{space}ohm"}}
    assert words(judged([("400", {"load": load})], exempt, item=item)) == ["no requirement"]


def test_two_limits_that_differ_by_what_is_not_recorded() -> None:
    made = judged(["400"], {"when": {"class": ["I"]}}, {"when": {"class": ["II"]}})
    assert words(made) == ["not assessable"] and "the class is not recorded" in made.verdicts[0].why
    assert words(judged(["400"], {"when": {"class": ["I"]}}, {"unless": {"class": ["I"]}})) == ["fail"]


def test_custom_gives_way_to_what_the_maker_states() -> None:
    around = {"sense": "within", "around": "stated", "bound": {"kind": "percent", "percent": "10", "of": "stated"}}
    custom = {"gives_way_to": ["stated value"]}
    stated = {"stated": [{"quantity": "t", "when": {"port": "1"}, "value": "0.4 ohm", "source": "leaflet, page 3"}]}
    made = judged([("430", {"port": "1"}), ("430", {"port": "2"})], around, custom, item=stated)
    by_limit = {(one.subject, one.limit and one.limit.name): str(one.outcome) for one in made.verdicts}
    assert by_limit == {
        ("R-x-1", "l1"): "pass", ("R-x-2", "l1"): "not assessable", ("R-x-2", "l2"): "fail",
    }  # fmt: skip
    first = next(one for one in made.verdicts if one.subject == "R-x-1")
    assert (first.lower, first.upper) == (Decimal(360), Decimal(440)) and "leaflet, page 3" in " ".join(first.steps)
    maker = {"kind": "maker", "bound": {"kind": "fixed", "value": "500 mohm"}, "only": {"port": ["1"]}}
    custom = {"gives_way_to": ["maker's limit"]}
    made = judged([("430", {"port": "1"}), ("430", {"port": "2"})], maker, custom)
    assert [(one.subject, one.limit.name, str(one.outcome)) for one in made.verdicts if one.limit] == [
        ("R-x-1", "l1", "pass"), ("R-x-2", "l2", "fail"),
    ]  # fmt: skip


def test_stated_values_that_contradict_each_other_settle_nothing() -> None:
    around = {"sense": "within", "around": "stated", "bound": {"kind": "fixed", "value": "10 mohm"}}
    at = {"quantity": "t", "source": "leaflet"}
    both = {"stated": [{**at, "value": "400 mohm"}, {**at, "value": "410 mohm"}]}
    assert "contradict each other" in only(judged(["400"], around, item=both)).why
    nearer = {"stated": [{**at, "value": "400 mohm"}, {**at, "value": "410 mohm", "when": {"port": "1"}}]}
    assert words(judged([("420", {"port": "1"}), ("420", {"port": "2"})], around, item=nearer)) == ["pass", "fail"]


HIGHEST = {"highest_of": ["polarity"]}


def test_the_highest_of_a_group_counts_for_the_group() -> None:
    rows = [
        ("250", {"polarity": "normal", "point": "a"}), ("310", {"polarity": "reversed", "point": "a"}),
        ("290", {"polarity": "normal", "point": "b"}), ("280", {"polarity": "reversed", "point": "b"}),
    ]  # fmt: skip
    made = judged(rows, HIGHEST)
    assert [(one.subject, one.members, str(one.outcome)) for one in made.verdicts] == [
        ("R-x-2", ("R-x-1", "R-x-2"), "fail"), ("R-x-3", ("R-x-3", "R-x-4"), "pass"),
    ]  # fmt: skip
    # The others are judged with it, and each keeps the doubt it has when it is judged by itself.
    alone = {text: only(judged([text])).doubt for text in ("250", "280")}
    assert [one.beside for one in made.verdicts] == [(("R-x-1", alone["250"]),), (("R-x-4", alone["280"]),)]


@pytest.mark.parametrize(
    ("value", "other", "outcome"),
    [
        ("over range", "250", "fail"),
        (">500", "250", "fail"),
        (">200", "250", "not assessable"),
        ("<500", "250", "not assessable"),
        ("over range", "310", "fail"),
        ("not measured: no access", "250", "pass"),
    ],
)
def test_what_may_be_higher_than_the_highest_number_is_not_passed_over(value: str, other: str, outcome: str) -> None:
    """`<500` beside 250 is taken at its bound, which lies beyond the limit and settles nothing."""
    rows = [(other, {"polarity": "normal"}), (value, {"polarity": "reversed"})]
    made = only(judged(rows, HIGHEST))
    assert str(made.outcome) == outcome
    assert made.members == ("R-x-1", "R-x-2")


def test_a_bound_hides_no_reading_that_fails() -> None:
    """490 lies above 480 whatever `<500` stands for; at most 495, it is `<500` that may still lie above."""
    rows = [("490", {"polarity": "normal"}), ("<500", {"polarity": "reversed"})]
    for given, outcome, subject in (("480", "fail", "R-x-1"), ("495", "not assessable", "R-x-2"), ("500", "pass", "")):
        made = only(judged(rows, {**HIGHEST, "bound": {"kind": "fixed", "value": f"{given} mohm"}}))
        assert (str(made.outcome), made.members) == (outcome, ("R-x-1", "R-x-2"))
        assert made.subject == subject or not subject
    alone = only(judged([("<250", {"polarity": "normal"}), ("not measured: late", {"polarity": "reversed"})], HIGHEST))
    assert (alone.outcome, alone.subject) == ("pass", "R-x-1")


def test_of_readings_that_may_be_the_highest_the_gravest_speaks() -> None:
    """Of 295 and `over range` the second may fail; of 312 read once and 312 among scattered repeats the first fails."""
    rows = [("295", {"polarity": "normal"}), ("over range", {"polarity": "reversed"})]
    for ordered in (rows, rows[::-1]):
        made = only(judged(ordered, HIGHEST, rule="guard band", instrument={**RANGE, "to": "305 mohm"}))
        assert made.outcome == "not assessable" and "over range" in made.why
        assert only(judged(ordered, HIGHEST, rule="guard band")).outcome == "fail", "a range to 2000 mΩ leaves no doubt"
    same = [("312", {"polarity": "normal"}), ("312", {"polarity": "reversed"}), ("302", {"polarity": "reversed"})]
    for ordered in (same, same[::-1]):
        made = only(judged(ordered, HIGHEST, rule="guard band"))
        alone = judged(same[1:], rule="guard band").verdicts[0]
        assert (str(alone.outcome), str(made.outcome)) == ("conditional fail", "fail")
    # Both may lie above all numbers, and neither settles it; the one that is doubted is named before the other.
    ends = [("over range", {"polarity": "normal"}), (">200", {"polarity": "reversed"})]
    for ordered in (ends, ends[::-1]):
        made = only(judged(ordered, HIGHEST, instrument={**RANGE, "to": "250 mohm"}))
        assert made.outcome == "not assessable" and made.doubt is not None


def test_a_group_is_one_however_its_conditions_were_typed() -> None:
    rows = [("250", {"polarity": "n", "setting": "90"}), ("310", {"polarity": "r", "setting": "90.0"}),
            ("320", {"polarity": "r", "setting": "0.09 kohm"})]  # fmt: skip
    made = only(judged(rows, HIGHEST, units={"setting": "ohm"}))
    assert (made.outcome, made.members) == ("fail", ("R-x-1", "R-x-2", "R-x-3"))


DIRECT = {**RANGE, "from": "-2000 mohm"}


@pytest.mark.parametrize(
    ("value", "outcome", "size"),
    [("-310", "fail", "310"), ("-290", "pass", "290"), ("-0", "pass", "0"), ("<-310", "fail", "310"),
     ("<-290", "not assessable", "290"), (">-310", "not assessable", "-310"), (">-1", "not assessable", "-1")],
)  # fmt: skip
def test_what_flows_the_other_way_is_held_against_the_limit_by_its_size(value: str, outcome: str, size: str) -> None:
    """IEC 62353:2014, 5.3.2.2 (from memory): with direct current the test is repeated reversed, the higher counts."""
    made = only(judged([value], instrument=DIRECT))
    assert str(made.outcome) == outcome and made.value == Decimal(size)
    assert (made.steps[-1:] == ("the sign tells the direction, and the limit is on the size",)) == (
        value[0] != ">" and made.value != 0
    )
    assert ("does not say how large it is" in made.why) == (value[0] == ">")
    group = only(judged([("250", {"polarity": "ac"}), (value, {"polarity": "dc reversed"})], HIGHEST))
    assert str(group.outcome) == outcome
    by_hand = only(judged(["310"], instrument=DIRECT))
    if value == "-310":
        assert (made.doubt, made.chance, made.margin) == (by_hand.doubt, by_hand.chance, by_hand.margin)


@pytest.mark.parametrize(
    ("quantity", "unit", "bound", "value", "outcome"),
    [
        ("electric current", "uA", "0.5 mA", "-501", "fail"),
        ("electric current", "uA", "0.5 mA", "-500", "pass"),
        ("electric current", "uA", "0 mA", "-1", "fail"),
        ("voltage", "mV", "20 mV", "-21", "fail"),
        ("resistance", "mohm", "0.3 ohm", "-301", "fail"),
        ("temperature", "degC", "41 degC", "-45", "pass"),
        ("pressure", "mmHg", "20 mmHg", "-30", "pass"),
    ],
)
def test_which_quantities_go_by_their_size(quantity: str, unit: str, bound: str, value: str, outcome: str) -> None:
    """-45 °C is cold and no fever; -501 µA is a current of 501 µA (common practice, no source)."""
    limit = {"quantity": quantity, "bound": {"kind": "fixed", "value": bound}}
    assert words(judged([value], limit, unit=unit, test={"quantity": quantity, "unit": unit})) == [outcome]


def test_a_limit_below_zero_is_no_limit_on_size() -> None:
    """JCGM 106:2012 has an upper tolerance of -5.40 (clause 7, from memory): a reading beyond it is not |y|."""
    below = {"bound": {"kind": "fixed", "value": "-5.40 mohm"}}
    assert words(judged(["-5.47", "-5.39"], below, instrument=DIRECT)) == ["pass", "fail"]
    assert words(judged(["-310"], {"sense": "at least"}, instrument=DIRECT)) == ["fail"]
    kelvin = {"quantity": "temperature difference", "bound": {"kind": "fixed", "value": "2 K"}}
    cool = {"quantity": "temperature difference", "unit": "K"}
    assert words(judged(["-3"], kelvin, unit="K", test=cool)) == ["pass"], "3 K colder is no excess of warmth"


def test_readings_scaled_to_nominal_mains() -> None:
    """250 mΩ read at 200 V, nominal 250 V: 312.5 mΩ, and its doubt grows by the same factor."""
    scale = {"scale": "nominal mains"}
    supply = {"kind": "grounded", "voltage": "200 V", "nominal": "0.25 kV"}
    made = only(judged(["250"], scale, sheet={"supply": supply}))
    plain = only(judged(["250"]))
    assert (made.outcome, made.value) == ("fail", Decimal("312.5"))
    assert made.doubt is not None and plain.doubt is not None
    assert made.doubt == pytest.approx(plain.doubt * 1.25, rel=1e-5)
    for lacking in ({"kind": "grounded"}, {"kind": "grounded", "voltage": "200 V"}):
        assert "is not recorded" in only(judged(["250"], scale, sheet={"supply": lacking})).why
    for wrong in ({"voltage": "0 V"}, {"voltage": "-200 V"}, {"nominal": "0 V"}, {"nominal": "-250 V"}):
        made = only(judged(["250"], scale, sheet={"supply": {**supply, **wrong}}))
        assert made.outcome == "not assessable" and "zero or less" in made.why


def test_beyond_the_bound_and_permitted_with_evidence() -> None:
    band = {"permitted": {"up_to": "0.5 ohm", "needs": ["double_insulated", "type_tested"]}}
    papers = {"characteristics": {"double_insulated": "yes", "type_tested": "Yes"}}
    assert words(judged(["250", "450", "501"], band, item=papers)) == ["pass", "conditional pass", "fail"]
    half = only(judged(["450"], band, item={"characteristics": {"double_insulated": "yes", "type_tested": "no"}}))
    assert half.outcome == "fail" and "the type tested on record" in half.why
    assert "beyond 0.5 ohm" in only(judged(["501"], band, item=papers)).why
    # `>450` may be any value above 450: whether 500 holds it is not known, and evidence permits nothing.
    for text in (">450", ">501"):
        made = only(judged([text], band, item=papers))
        assert made.outcome == "fail" and "beyond 0.5 ohm, up to which evidence could permit it" in made.why


def test_where_the_document_asks_nothing() -> None:
    exempt = {"exempt": {"condition": "setting", "at_or_below_percent": "10", "of": "rated"}}
    item = {"characteristics": {"rated": "5 ohm"}}
    made = judged([("400", {"setting": "500 mohm"}), ("400", {"setting": "501 mohm"})], exempt, item=item)
    assert words(made) == ["no requirement", "fail"]
    assert "at or below 10 % of the rated" in made.verdicts[0].why
    assert words(judged([("400", {"setting": "500 mohm"})], exempt)) == ["not assessable"]


def test_a_yes_or_no() -> None:
    limit = {"sense": "answer", "bound": None, "answer": "yes", "quantity": "yes or no"}
    made = judged(["yes", "alarm no", "12"], limit, unit="", test={"answer": "yes or no", "unit": "1"})
    assert words(made) == ["pass", "fail", "not assessable"]


def test_of_trials_what_a_limit_asks_for_is_asked_of_each() -> None:
    limit = {"sense": "answer", "bound": None, "answer": "yes", "quantity": "yes or no"}
    as_asked = {"unit": "", "test": {"answer": "yes or no", "unit": "1"}}
    made = judged(["10 of 10", "9 of 10", "0 of 3", "1 of 1"], limit, **as_asked)
    assert words(made) == ["pass", "fail", "fail", "pass"]
    assert made.verdicts[1].why == "the limit asks for yes, which was so in 9 of 10 trials"
    no = judged(["0 of 3", "1 of 3", "3 of 3"], limit | {"answer": "no"}, **as_asked)
    assert words(no) == ["pass", "fail", "fail"]
    assert no.verdicts[1].why == "the limit asks for no, which was so in 2 of 3 trials"


def test_output_that_must_not_fall_when_the_setting_rises() -> None:
    """Decided on the means of each step: 10, 20, 19 falls by 1; with 21 repeated at the last step it does not."""
    limit = {"sense": "monotonic", "bound": None, "series_over": "setting"}
    rows = [("10", {"setting": "1"}), ("20", {"setting": "2"}), ("19", {"setting": "3"})]
    made = only(judged(rows, limit, rule="guard band"))
    assert (made.outcome, made.value, made.margin, made.rule) == ("fail", Decimal(-1), Decimal(-1), "simple acceptance")
    assert made.members == ("R-x-1", "R-x-2", "R-x-3") and "from 2 to 3" in made.steps[0]
    assert words(judged([*rows, ("21", {"setting": "3"})], limit)) == ["pass"]
    ports = [*((v, {**c, "port": "1"}) for v, c in rows), *((v, {**c, "port": "2"}) for v, c in rows[:2])]
    assert words(judged(ports, limit)) == ["fail", "pass"]
    assert words(judged(rows[:1], limit)) == ["no requirement"]
    bare = [("10", {"setting": "1 ohm"}), ("9", {}), ("20", {"setting": "2"}), ("3", {"setting": "high"})]
    assert words(judged(bare, limit)) == ["pass", "no requirement", "no requirement"]
    at_ohm = only(judged(rows, limit, units={"setting": "ohm"}))
    assert at_ohm.steps == ("smallest change from one setting to the next, from 2 ohm to 3 ohm",)
    mixed = [("10", {"setting": "500 mohm"}), ("20", {"setting": "1 ohm"}), ("30", {"setting": "1200 mohm"})]
    assert words(judged(mixed, limit)) == ["pass"]


@pytest.mark.parametrize("text", ["<15", ">15", "over range", "under range", "no output"])
def test_a_step_without_a_number_leaves_a_series_open(text: str) -> None:
    """An output that failed at one step is not passed over; what falls without that step falls all the same."""
    limit = {"sense": "monotonic", "bound": None, "series_over": "setting"}
    rows = [("10", {"setting": "1"}), (text, {"setting": "2"}), ("12", {"setting": "3"})]
    made = only(judged(rows, limit))
    assert (made.outcome, made.subject, made.value) == ("not assessable", "R-x-2", None)
    assert text in made.why and made.members == ("R-x-1", "R-x-2", "R-x-3")
    assert words(judged([*rows, ("14", {"setting": "2"})], limit)) == ["not assessable"], "nor is a step half known"
    falls = only(judged([*rows, ("11", {"setting": "4"})], limit))
    assert (falls.outcome, falls.subject, falls.value) == ("fail", "R-x-4", Decimal(-1))
    assert words(judged([rows[0], ("not measured: late", {"setting": "2"}), rows[2]], limit)) == [
        "pass",
        "no requirement",
    ]


@pytest.mark.parametrize(
    ("last", "told"),
    [
        # By hand: (24.5 + 24.6 + 24.6) / 3 - 10 = 14.5667, told to one place more than the readings; a fall of a
        # hundredth by three repeats, 0.00333, keeps two digits.
        (["24.5", "24.6", "24.6"], "14.57"),
        (["9.99", "10.00", "10.00"], "-0.0033"),
        (["9.999", "10", "10"], "-0.00033"),
        (["9.99999", "10", "10", "10", "10", "10", "10"], "-0.0000014"),
        (["24.5"], "14.5"),
        (["10"], "0"),
    ],
)
def test_a_change_of_means_is_told_with_the_digits_the_readings_have(last: Sequence[str], told: str) -> None:
    limit = {"sense": "monotonic", "bound": None, "series_over": "setting"}
    made = only(judged([("10", {"setting": "1"}), *((one, {"setting": "2"}) for one in last)], limit))
    assert str(made.value) == told and made.outcome == ("fail" if told.startswith("-") else "pass")


@pytest.mark.parametrize("kind", ["type test, reference only", "superseded, reference only"])
def test_what_stands_there_for_comparison_gives_no_verdict(kind: str) -> None:
    made = only(judged(["400"], {"kind": kind}))
    assert made.outcome == "no requirement" and "comparison only" in made.why and made.limit is not None


def test_values_that_are_bounds_or_words() -> None:
    rows = ["<250", "<350", ">350", ">250", "over range", "no output", "not obtainable: broken off"]
    rows.append("not measured: late")
    assert words(judged(rows)) == ["pass", "not assessable", "fail", "not assessable", "fail", *["not assessable"] * 3]
    made = judged(rows, instrument=None)
    assert words(made) == ["pass", "not assessable", "fail", *["not assessable"] * 5]
    assert "broken off" in made.verdicts[6].why
    said = [one.why for one in made.verdicts]
    assert said[1] == "<350 says only that the reading lies below 350, which does not settle the verdict."
    assert said[3] == ">250 says only that the reading lies above 250, which does not settle the verdict."
    assert said[4].startswith("The instrument showed over range; written as > and the largest value of the range")
    assert said[5].startswith("There was no output; written as < and the smallest value the instrument can show")
    assert only(judged(["under range"])).why.startswith("The instrument showed under range; written as < and the small")
    least = judged(["<300", "<350", ">300", ">250"], {"sense": "at least"})
    assert words(least) == ["fail", "not assessable", "pass", "not assessable"]
    both = {"sense": "between", "bound": None, "low": {"kind": "fixed", "value": "280 mohm"},
            "high": {"kind": "fixed", "value": "320 mohm"}}  # fmt: skip
    assert words(judged(["<280", "<300", ">300", ">320"], both)) == ["fail", "not assessable", "not assessable", "fail"]


def test_another_unit_is_converted_and_said() -> None:
    made = judged([("0.25", {"unit": "ohm"}), ("0.31", {"unit": "ohm"}), ("250", {"unit": "mA"})])
    assert words(made) == ["pass", "fail", "not assessable"]
    assert made.verdicts[0].steps == ("0.25 ohm is 250 mohm",)
    assert "cannot be turned into" in made.verdicts[2].why


def test_a_void_row_counts_for_nothing() -> None:
    """Neither judged, nor among the repeats, nor in a group."""
    rows = [("250", {"polarity": "n"}), ("900", {"polarity": "n", "void": "lead slipped"})]
    made = judged(rows, HIGHEST)
    assert [one.subject for one in made.verdicts] == ["R-x-1"] and made.verdicts[0].members == ("R-x-1",)
    assert only(judged(rows)).doubt == only(judged(rows[:1])).doubt


# Expanded doubt at 285, 295, 305, 312 mΩ by hand (JCGM 100:2008, 4.3.7 and 6.2): u² = ((0.02 y + 4)² + 0.5²) / 3 and
# U = 2 u, that is 11.22, 11.45, 11.68 and 11.84 mΩ.
@pytest.mark.parametrize(
    ("value", "doubt", "outcome"),
    [("285", 11.22, "pass"), ("295", 11.45, "conditional pass"), ("305", 11.68, "conditional fail"),
     ("312", 11.84, "fail")],
)  # fmt: skip
def test_the_guard_band_of_one_doubt(value: str, doubt: float, outcome: str) -> None:
    """ILAC-G8:09/2019, 4.2.3 (from memory): w = U, four outcomes."""
    made = only(judged([value], rule="guard band"))
    assert str(made.outcome) == outcome and made.doubt == pytest.approx(doubt, abs=0.006) and made.k == 2.0
    assert only(judged([value])).outcome == ("pass" if float(value) <= 300 else "fail")
    wide = only(judged(["285"], rule="guard band", plan={"guard_factor": "1.5"}))
    assert wide.outcome == "conditional pass"


def test_a_per_cent_of_a_temperature_counts_from_the_zero_of_the_scale_that_is_shown() -> None:
    """1 % of 100 °F is 1 °F, which is 0.56 °C; 1 % of the same 37.8 °C would be 0.38 °C."""
    shown = {"from": "32 degF", "to": "212 degF", "resolution": "0.1 degF", "accuracy": {"percent": "1"}}
    top = {"quantity": "temperature", "bound": {"kind": "fixed", "value": "104 degF"}}
    fahrenheit, celsius = (
        only(judged(["100"], top, unit="degF", test={"quantity": "temperature", "unit": to}, instrument=shown))
        for to in ("degF", "degC")
    )
    # By hand (JCGM 100:2008, 4.3.7): 2 sqrt((1² + 0.05²) / 3) = 1.156 °F.
    assert fahrenheit.doubt == pytest.approx(1.156, abs=5e-4)
    assert celsius.doubt == pytest.approx(1.156 / 1.8, abs=3e-4)
    assert fahrenheit.chance == pytest.approx(celsius.chance, rel=1e-4)


def test_repeats_enter_the_doubt() -> None:
    """198, 200, 202 mΩ: s = 2 mΩ with two degrees of freedom beside the range's own (JCGM 100:2008, 4.2.2, G.4)."""
    made = judged(["198", "200", "202"])
    alone = only(judged(["200"]))
    assert alone.doubt is not None
    for one in made.verdicts:
        assert one.doubt is not None and one.doubt > alone.doubt and one.k is not None and one.k >= 2
    u = ((8**2 + 0.5**2) / 3 + 2**2) ** 0.5
    middle = made.verdicts[1]
    assert middle.doubt is not None and middle.k is not None
    assert middle.doubt / middle.k == pytest.approx(u, rel=1e-4)
    for spelt in ("0.1 kohm", "100.0", "100 ohm"):
        again = judged([("198", {"setting": "100"}), ("202", {"setting": spelt})], units={"setting": "ohm"})
        same = judged([("198", {"setting": "100"}), ("202", {"setting": "100"})], units={"setting": "ohm"})
        assert [one.doubt for one in again.verdicts] == [one.doubt for one in same.verdicts], spelt
    worded = judged([("198", {"point": "Case"}), ("202", {"point": "case "})])
    assert worded.verdicts[0].doubt == judged(["198", "202"]).verdicts[0].doubt
    apart = judged([("198", {"point": "a"}), ("200", {"point": "b"})])
    assert apart.verdicts[1].doubt == alone.doubt


@pytest.mark.parametrize("why", ["no instrument", "outside its ranges", "another quantity"])
def test_without_a_doubt_there_is_no_guard_band(why: str) -> None:
    if why == "no instrument":
        made = judged(["200"], rule="guard band", instrument=None)
    elif why == "outside its ranges":
        made = judged(["200"], rule="guard band", instrument={**RANGE, "to": "100 mohm"})
    else:
        other = {"from": "0 A", "to": "9 A", "resolution": "1 A", "accuracy": {"percent": "2"}}
        made = judged(["200"], rule="guard band", instrument=other)
    one = only(made)
    assert one.outcome == "not assessable" and one.doubt is None and one.chance is None
    assert "doubt" in one.why


def test_a_plan_may_choose_among_the_limits_of_its_sets() -> None:
    limits: list[dict[str, Any]] = [{}, {"bound": {"kind": "fixed", "value": "500 mohm"}}]
    assert words(judged(["400"], *limits)) == ["fail", "pass"]
    assert words(judged(["400"], *limits, planned={"limits": ["l2"]})) == ["pass"]
    none = only(judged(["400"], {"test": "other"}))
    assert none.outcome == "no requirement" and "no limit of the plan's sets speaks to this test" in none.why
    assert words(judged(["400"], {"test": "other", "also": ["t"]})) == ["fail"]


def test_a_set_that_is_not_chosen_does_not_speak() -> None:
    assert words(judged(["400"], plan={"limit_sets": []})) == ["no requirement"]
    assert words(judged(["400"], plan={"limit_sets": ["elsewhere", "s"]})) == ["fail"]
