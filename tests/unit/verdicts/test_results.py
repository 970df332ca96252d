"""Results derived from readings, the limits that speak of them, and the grid of what was measured."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest
from scipy.stats import t

from asfound.model.verdict import CellState

from .bench import RANGE, judged

SETTING = {"setting": "ohm"}


def wanted(*kinds: str) -> dict[str, Any]:
    """The test, asked for these results."""
    return {"results": list(kinds)}


def test_deviation_from_the_setting() -> None:
    """88 at 100 is -12 %, 210 at 200 is +5 %: the first strays furthest."""
    rows = [("88", {"setting": "0.1"}), ("210", {"setting": "0.2"})]
    [one] = judged(rows, test=wanted("deviation"), units=SETTING).results
    assert (one.id, one.value, one.unit, one.of) == ("Y-x-deviation", Decimal("-12.00"), "%", ("R-x-1", "R-x-2"))
    assert one.numbers == (("100 (R-x-1)", "\u221212.0\u00a0%"), ("200 (R-x-2)", "+5.0\u00a0%"))
    # What was asked for nothing has no share to stray by, and is no reason to end in a traceback.
    assert judged([("3", {"setting": "0"})], test=wanted("deviation", "linearity"), units=SETTING).results == ()
    [rest] = judged([("3", {"setting": "0"}), *rows], test=wanted("deviation"), units=SETTING).results
    assert rest.of == ("R-x-2", "R-x-3") and rest.value == Decimal("-12.00")


@pytest.mark.parametrize("text", ["1" + "0" * 29, "-" + "9" * 28 + ".5"])
def test_a_reading_of_thirty_digits_is_a_slip_and_no_reason_to_end_in_a_traceback(text: str) -> None:
    """A cell may hold 30 digits: one key held down. 10^29 at 100 strays by 10^29 %, to every digit."""
    rows = [(text, {"setting": "0.1", "port": "1"}), ("210", {"setting": "0.2", "port": "1"}),
            ("103", {"setting": "0.1", "port": "2"})]  # fmt: skip
    kinds = ("deviation", "linearity", "port agreement", "repeatability")
    made = judged(rows, test=wanted(*kinds), units=SETTING).results
    [first] = [one for one in made if one.id == "Y-x-deviation-1"]
    assert first.value == Decimal(text) - 100 if text[0] == "1" else first.value < 0
    assert {one.kind for one in made} >= {"deviation", "linearity", "port agreement"}


def test_deviations_of_two_ports_are_two_results() -> None:
    rows = [("88", {"setting": "0.1", "port": "1"}), ("103", {"setting": "0.1", "port": "2"})]
    made = judged(rows, test=wanted("deviation"), units=SETTING).results
    assert [(one.id, one.value) for one in made] == [
        ("Y-x-deviation-1", Decimal("-12.00")), ("Y-x-deviation-2", Decimal("3.00")),
    ]  # fmt: skip


def test_proportion_to_the_setting() -> None:
    """Least squares through zero: b = Σxy/Σx² = (100·90 + 200·210)/(100² + 200²) = 1.02; 90 strays by -11.8 %."""
    rows = [("90", {"setting": "0.1"}), ("210", {"setting": "0.2"})]
    [one] = judged(rows, test=wanted("linearity"), units=SETTING).results
    assert one.value == Decimal("-11.76")
    assert ("slope through the origin", "1.0200") in one.numbers
    assert judged(rows[:1], test=wanted("linearity"), units=SETTING).results == ()


def test_ports_against_each_other_and_the_limit_on_it() -> None:
    """100 against 110: the difference is 9.52 % of their mean."""
    rows = [("100", {"setting": "0.1", "port": "1"}), ("110", {"setting": "0.1", "port": "2"})]
    bound = {"kind": "fixed", "value": "5 %"}
    limit = {"result": "port agreement", "quantity": "ratio", "sense": "between", "bound": None,
             "low": {"kind": "fixed", "value": "-5 %"}, "high": bound}  # fmt: skip
    made = judged(rows, limit, test=wanted("port agreement"), units=SETTING)
    [one] = made.results
    assert abs(one.value or 0) == Decimal("9.52") and one.outcome == "fail"
    spoken = [verdict for verdict in made.verdicts if verdict.subject == one.id]
    assert [str(verdict.outcome) for verdict in spoken] == ["fail"]
    assert spoken[0].rule == "simple acceptance" and spoken[0].chance is None
    unsure = judged(rows, {**limit, "when": {"class": ["I"]}}, test=wanted("port agreement"), units=SETTING)
    assert unsure.results[0].outcome == "not assessable"
    assert "the class is not recorded" in unsure.verdicts[-1].why
    silent = judged(rows, {**limit, "only": {"class": ["I"]}}, test=wanted("port agreement"), units=SETTING)
    assert silent.results[0].outcome is None


def test_repeats_have_a_mean_and_a_spread() -> None:
    """198, 200, 202: mean 200, s = 2 (JCGM 100:2008, 4.2.1 and 4.2.2)."""
    [one] = judged(["198", "200", "202"], test=wanted("repeatability")).results
    assert (one.value, one.unit, len(one.of)) == (Decimal("2.00"), "mohm", 3)
    assert "3 readings" in one.text and "200" in one.text
    assert judged(["198", ("200", {"point": "b"})], test=wanted("repeatability")).results == ()


OPEN = ["<95", ">95", "over range", "under range", "no output"]


@pytest.mark.parametrize("text", OPEN)
@pytest.mark.parametrize("kind", ["deviation", "linearity", "port agreement"])
def test_what_is_no_number_is_not_reckoned_with(kind: str, text: str) -> None:
    """`<95` at a setting of 100 may be no output at all: neither is it 5 % off, nor is it left out of the worst."""
    rows = [(text, {"setting": "0.1", "port": "1"}), ("200", {"setting": "0.2", "port": "1"}),
            ("400", {"setting": "0.4", "port": "1"})]  # fmt: skip
    if kind == "port agreement":
        rows += [("100", {"setting": "0.1", "port": "2"}), ("200", {"setting": "0.2", "port": "2"})]
    limit = {"result": kind, "quantity": "ratio", "bound": {"kind": "fixed", "value": "20 %"}}
    made = judged(rows, limit, test=wanted(kind), units=SETTING)
    [one] = made.results
    assert (one.value, str(one.outcome)) == (None, "not assessable")
    assert one.text.startswith(f'R-x-1 reads "{text}", which is no number') and "R-x-1" in one.of
    spoken = made.verdicts[-1]
    assert (spoken.subject, str(spoken.outcome), spoken.value) == (one.id, "not assessable", None)
    assert spoken.why == "no figure could be worked out to hold against the limit"
    late = [("not measured: late", rows[0][1]), *rows[1:]]
    known = judged(late, limit, test=wanted(kind), units=SETTING).results
    assert [str(result.outcome) for result in known] == ["pass"], "what was not read is known to be lacking"


def test_one_series_that_is_open_or_too_short_hides_no_other() -> None:
    whole = [("90", {"setting": "0.1", "port": "3"}), ("210", {"setting": "0.2", "port": "3"})]
    rows = [("<95", {"setting": "0.1", "port": "1"}), ("0", {"setting": "0", "port": "2"}), *whole]
    for kind, value in (("deviation", "-10.00"), ("linearity", "-11.76")):
        made = judged(rows, test=wanted(kind), units=SETTING).results
        assert [one.value for one in made] == [None, Decimal(value)]


def test_ports_that_give_nothing_cannot_be_compared() -> None:
    """A difference in per cent of nothing is none; 100 against 110 is told with its sign."""
    at = [("0", {"setting": "0.1", "port": "1"}), ("0", {"setting": "0.1", "port": "2"})]
    assert judged(at, test=wanted("port agreement"), units=SETTING).results == ()
    more = [*at, ("100", {"setting": "0.2", "port": "1"}), ("110", {"setting": "0.2", "port": "2"})]
    [one] = judged(more, test=wanted("port agreement"), units=SETTING).results
    assert one.numbers == (("1 against 2, setting 0.2\u00a0Ω", "+9.5\u00a0%"),)


def test_a_result_is_one_however_its_conditions_were_typed() -> None:
    rows = [("88", {"setting": "0.1", "port": "A"}), ("210", {"setting": "0.2", "port": "a "})]
    [one] = judged(rows, test=wanted("deviation"), units=SETTING).results
    assert one.of == ("R-x-1", "R-x-2")
    rows = [("198", {"setting": "0.1"}), ("202", {"setting": "100 mohm"})]
    [one] = judged(rows, test=wanted("repeatability"), units=SETTING).results
    assert one.of == ("R-x-1", "R-x-2") and one.value == Decimal("2.83")
    again = {"again": ([("203", {"setting": "100 mohm"})], {"instrument": "M-2", "repeats_of": "S-x"})}
    [one] = judged(
        [("200", {"setting": "0.1"})], instruments={"M-2": RANGE}, more=again,
        units=SETTING,
    ).results  # fmt: skip
    assert set(one.of) == {"R-x-1", "R-again-1"}


def test_steps_are_told_in_full_figures() -> None:
    rows = [("100", {"setting": "0.1"}), ("200", {"setting": "0.2"})]
    [one] = judged(rows, test=wanted("linearity"), units=SETTING).results
    assert [name for name, _ in one.numbers] == ["slope through the origin", "200 against 100"]


def test_a_limit_on_a_result_speaks_to_all_the_readings_behind_it() -> None:
    """Ports 10 % apart at one point and alike at the other: the limit for the second says nothing of the first."""
    rows = [("100", {"point": "a", "port": "1"}), ("110", {"point": "a", "port": "2"}),
            ("100", {"point": "b", "port": "1"}), ("100", {"point": "b", "port": "2"})]  # fmt: skip
    limit = {"result": "port agreement", "quantity": "ratio", "bound": {"kind": "fixed", "value": "5 %"}}
    for asked, outcome, why in (
        ({"when": {"point": ["a", "b"]}}, "fail", ""),
        ({"when": {"point": ["b"]}}, "not assessable", "to which the limit speaks and from others"),
        ({"unless": {"point": ["a"]}}, "not assessable", "to which the limit speaks and from others"),
        ({"only": {"point": ["c"]}}, "None", ""),
    ):
        made = judged(rows, {**limit, **asked}, test=wanted("port agreement"))
        [one] = made.results
        assert str(one.outcome) == outcome and why in made.verdicts[-1].why
    part = judged([*rows[:2], *((v, {"port": c["port"]}) for v, c in rows[2:])], {**limit, "when": {"point": ["a"]}},
                  test=wanted("port agreement"))  # fmt: skip
    assert str(part.results[0].outcome) == "not assessable" and "the point is not recorded" in part.verdicts[-1].why


def test_where_the_document_asks_nothing_of_some_readings_of_a_result() -> None:
    """The series begins below 10 % of the rated output, where nothing is asked; it does not end there."""
    exempt = {"condition": "setting", "at_or_below_percent": "10", "of": "rated"}
    limit = {"result": "deviation", "quantity": "ratio", "bound": {"kind": "fixed", "value": "5 %"}, "exempt": exempt}
    rows = [("100", {"setting": "0.1"}), ("300", {"setting": "0.2"})]
    for rated, outcome in (("0.5 ohm", "fail"), ("1 ohm", "not assessable"), ("2 ohm", "no requirement")):
        made = judged(rows, limit, test=wanted("deviation"), units=SETTING, item={"characteristics": {"rated": rated}})
        assert [str(one.outcome) for one in made.results] == [outcome], rated


@pytest.mark.parametrize("third", ["<200", ">200", "over range", "no output"])
def test_a_bound_among_repeats_is_no_number(third: str) -> None:
    """Three readings below 0.001 have no mean of 0.001 and no spread of 0: a bound is not a value (common practice)."""
    assert judged(["198", "200", third], test=wanted("repeatability")).results == ()
    assert judged([third, third, third], test=wanted("repeatability")).results == ()


@pytest.mark.parametrize(("second", "outcome"), [("203", "pass"), ("230", "fail")])
def test_a_second_instrument_agrees_within_the_doubts_or_not(second: str, outcome: str) -> None:
    """En = (a - b) / √(Ua² + Ub²) (ISO 13528:2015, 9.7, from memory); both doubts are near 9.3 mΩ at 200 mΩ."""
    made = judged(
        ["200"], instruments={"M-2": RANGE},
        more={"again": ([(second, {})], {"instrument": "M-2", "repeats_of": "S-x"})},
    )  # fmt: skip
    [one] = made.results
    assert (one.id, one.sheet, str(one.outcome)) == ("Y-again-second-instrument", "S-again", outcome)
    assert one.apart == (() if outcome == "pass" else ((("R-again-1",), ("R-x-1",)),))
    # A protocol that names the comparison gets it once.
    more: dict[str, Any] = {"again": ([(second, {})], {"instrument": "M-2", "repeats_of": "S-x"})}
    assert judged(["200"], test=wanted("second instrument"), instruments={"M-2": RANGE}, more=more).results == (one,)
    assert set(one.of) == {"R-x-1", "R-again-1"}
    ua, ub = (next(v.doubt for v in made.verdicts if v.subject == ref) for ref in ("R-again-1", "R-x-1"))
    assert ua is not None and ub is not None
    assert float(one.value or 0) == pytest.approx((float(second) - 200) / (ua**2 + ub**2) ** 0.5, rel=1e-3)


@pytest.mark.parametrize(
    "other", [{"item": "I-2"}, {"test": "u"}, {"accessories": ["I-3"]}, {"moment": "after adjustment"}]
)
def test_instruments_are_compared_on_one_thing(other: dict[str, Any]) -> None:
    """230 of another thing, with another cord or in another test says nothing of two instruments."""
    more = {"again": ([("230", {})], {"instrument": "M-2", "repeats_of": "S-x", **other})}
    assert judged(["200"], instruments={"M-2": RANGE}, more=more).results == ()
    same = {"item": "I-1", "test": "t--again", "accessories": [], "moment": "received"}
    more["again"][1].update(same)
    assert judged(["200"], instruments={"M-2": RANGE}, more=more).results


def test_of_several_pairs_the_one_that_is_furthest_apart_speaks() -> None:
    """En at 200 against 230 and 203: 2.2 and 0.2 in size (ISO 13528:2015, 9.7, from memory); a pair unread is none."""
    first = [(value, {"point": point}) for value, point in (("200", "a"), ("200", "b"), ("not measured: late", "c"))]
    for far, sign in (("230", ""), ("170", "\u2212")):
        second = [(value, {"point": point}) for value, point in (("203", "b"), (far, "a"), ("203", "c"), ("9", "d"))]
        more: dict[str, Any] = {"again": (second, {"instrument": "M-2", "repeats_of": "S-x"})}
        [one] = judged(first, instruments={"M-2": RANGE}, more=more).results
        assert str(one.outcome) == "fail" and abs(one.value or 0) > 2
        assert [name for name, _ in one.numbers] == ["R-again-1 against R-x-2", "R-again-2 against R-x-1"]
        assert one.numbers[1][1].startswith(f"{sign}2.") or one.numbers[1][1].startswith(f"{sign}3.")
        assert one.text.startswith("M-2 and M-1 do not agree within their doubts: the largest En number is ")
        assert set(one.of) == {"R-x-1", "R-x-2", "R-again-1", "R-again-2"}


def test_a_sheet_that_says_less_is_compared_where_only_one_combination_can_be_meant() -> None:
    """The second sheet names no port: with one port read at first it is that one, with two nobody knows which."""
    one_port, two_ports = [("200", {"port": "1"})], [("200", {"port": "1"}), ("200", {"port": "2"})]
    again: dict[str, Any] = {"again": ([("230", {})], {"instrument": "M-2", "repeats_of": "S-x"})}
    [one] = judged(one_port, instruments={"M-2": RANGE}, more=again).results
    assert one.apart == ((("R-again-1",), ("R-x-1",)),)
    assert judged(two_ports, instruments={"M-2": RANGE}, more=again).results == ()
    # From the other side as well.
    for second, compared in ((one_port, 1), (two_ports, 0)):
        more: dict[str, Any] = {"again": (second, {"instrument": "M-2", "repeats_of": "S-x"})}
        assert len(judged(["230"], instruments={"M-2": RANGE}, more=more).results) == compared
    # What each says and the other does not may differ without anybody knowing.
    more = {"again": ([("230", {"setting": "0.1"})], {"instrument": "M-2", "repeats_of": "S-x"})}
    assert judged(one_port, instruments={"M-2": RANGE}, more=more).results == ()
    # Where both say a port, it is those that are compared, and a row without one is not.
    mixed = [("200", {"port": "1"}), ("170", {"port": ""})]
    more = {"again": ([("230", {"port": "1"})], {"instrument": "M-2", "repeats_of": "S-x"})}
    [one] = judged(mixed, instruments={"M-2": RANGE}, more=more).results
    assert one.apart == ((("R-again-1",), ("R-x-1",)),)


def test_of_repeats_the_means_are_compared() -> None:
    """Neither the first nor the worst of them speaks, so that no order of rows makes two instruments agree.

    By hand, at 200 mohm with 2 % and 4 mohm as a rectangle and half a digit of 1 mohm, as the doubts of single readings
    here: u(B) is half of U without scatter. Three readings that scatter by s = 4 add s/sqrt 3 = 2.31 to their mean.
    """
    alone = judged(["200"], instruments={"M-2": RANGE}, more={"again": ([("204", {})], {"instrument": "M-2"})})
    own, other = (next(v.doubt for v in alone.verdicts if v.subject == ref) for ref in ("R-x-1", "R-again-1"))
    assert own is not None and other is not None
    for first in (["196", "200", "204"], ["204", "196", "200"], ["200", "204", "196"]):
        again = (
            [(value, {}) for value in ("204", "not measured: late", "204")],
            {"instrument": "M-2", "repeats_of": "S-x"},
        )
        [one] = judged(first, instruments={"M-2": RANGE}, more={"again": again}, test=wanted()).results
        u = math.hypot(own / 2, 4 / math.sqrt(3))
        k = float(t.ppf(0.97725, math.floor(2 * u**4 / (4 / math.sqrt(3)) ** 4)))
        assert float(one.value or 0) == pytest.approx((204 - 200) / math.hypot(k * u, other), rel=2e-3)
        assert one.numbers[0][0] == "mean of R-again-1 and 1 more against mean of R-x-1 and 2 more"
        assert set(one.of) == {"R-x-1", "R-x-2", "R-x-3", "R-again-1", "R-again-3"}
    # A bound among them leaves no mean to compare.
    more: dict[str, Any] = {"again": ([("204", {})], {"instrument": "M-2", "repeats_of": "S-x"})}
    assert judged(["200", "<200"], instruments={"M-2": RANGE}, more=more, test=wanted()).results == ()


def test_where_a_monitor_trips() -> None:
    """A window between the value at which it trips when the quantity rises and the one when it falls."""
    rows = [("135", {"direction": "rising"}), ("131", {"direction": "falling"}), ("137", {"direction": "rising"}),
            ("<1", {"direction": "falling"}), ("9", {})]  # fmt: skip
    [one] = judged(rows, test=wanted("trip window")).results
    assert (one.value, one.unit, one.of) == (None, "mohm", ("R-x-1", "R-x-3", "R-x-2"))
    assert one.numbers == (("falling", "131\u00a0mΩ"), ("rising", "135\u00a0mΩ to 137\u00a0mΩ"))
    assert one.text == (
        "The monitor trips at 131\u00a0mΩ when falling and at 135\u00a0mΩ to 137\u00a0mΩ when rising. "
        'R-x-4 reads "<1", which is no number and not among them.'
    )
    assert judged(["9"], test=wanted("trip window")).results == ()


def test_the_gravest_of_several_limits_speaks_for_a_result() -> None:
    """-12 % of the setting: within 20 %, not within 5 %; for comparison only at 1 %, and asked of nobody."""
    deviation = {"result": "deviation", "quantity": "ratio"}
    narrow, wide = ({**deviation, "bound": {"kind": "fixed", "value": f"{value} %"}} for value in ("5", "20"))
    compared = {**deviation, "bound": {"kind": "fixed", "value": "1 %"}, "kind": "type test, reference only"}
    unsure = {**wide, "when": {"class": ["I"]}}
    rows = [("88", {"setting": "0.1"})]
    for limits, outcome in (
        ((wide, narrow), "fail"), ((narrow, wide), "fail"), ((wide, compared), "pass"), ((compared, wide), "pass"),
        ((compared,), "no requirement"), ((wide, unsure), "not assessable"), ((unsure, narrow), "fail"),
    ):  # fmt: skip
        made = judged(rows, *limits, test=wanted("deviation"), units=SETTING)
        assert str(made.results[0].outcome) == outcome
        assert [verdict.limit.name for verdict in made.verdicts if verdict.limit] == ["l1", "l2"][: len(limits)]


def test_a_limit_on_a_result_asks_only_the_readings_behind_it() -> None:
    rows = [("88", {"setting": "0.1", "port": "1"}), ("70", {"setting": "0.1", "port": "2"})]
    limit = {"result": "deviation", "quantity": "ratio", "bound": {"kind": "fixed", "value": "20 %"}}
    made = judged(rows, {**limit, "when": {"port": ["1"]}}, test=wanted("deviation"), units=SETTING)
    assert [str(one.outcome) for one in made.results] == ["pass", "None"]


@pytest.mark.parametrize(("strict", "outcome"), [("no", "pass"), ("yes", "fail")])
def test_a_result_at_its_limit(strict: str, outcome: str) -> None:
    """110 at a setting of 100 is +10 %, and 90 is -10 %."""
    limit = {"result": "deviation", "quantity": "ratio", "bound": {"kind": "fixed", "value": "10 %"}, "strict": strict}
    for value in ("110", "90"):
        made = judged([(value, {"setting": "0.1"})], limit, test=wanted("deviation"), units=SETTING)
        spoken = made.verdicts[-1]
        assert (str(spoken.outcome), spoken.margin, spoken.doubt, spoken.k) == (outcome, 0, None, None)


def test_a_bound_is_compared_with_no_second_instrument() -> None:
    for first, second in (("<200", "203"), ("200", ">203")):
        more: dict[str, Any] = {"again": ([(second, {})], {"instrument": "M-2", "repeats_of": "S-x"})}
        assert judged([first], instruments={"M-2": RANGE}, more=more).results == ()


def repeats(**values: str) -> dict[str, Any]:
    """Sheets that repeat S-x, or S-<b> where a value is `203 of b`, each by an instrument of its own."""
    more: dict[str, Any] = {}
    for number, (name, text) in enumerate(values.items(), 2):
        value, _, of = text.partition(" of ")
        more[name] = ([(value, {})], {"instrument": f"M-{number}", "repeats_of": f"S-{of or 'x'}"})
    return more


OTHERS = {f"M-{number}": RANGE for number in (2, 3, 4)}


def test_two_repeats_of_one_sheet_are_compared_with_each_other() -> None:
    """En by hand (ISO 13528:2015, 9.7, from memory): U(y) = 2 √(((0.02 y + 4)² + 0.5²) / 3) of one reading, so that 192
    and 208 lie 0.62 and 0.61 from 200, which both agree with, and 1.22 from one another.
    """
    made = judged(["200"], instruments=OTHERS, more=repeats(low="192", high="208"))
    told = {one.id: one for one in made.results}
    assert list(told) == [
        "Y-low-second-instrument", "Y-low-second-instrument-high", "Y-high-second-instrument",
    ]  # fmt: skip
    assert [str(one.outcome) for one in told.values()] == ["pass", "fail", "pass"]
    one = told["Y-low-second-instrument-high"]
    low, high = (2 * math.sqrt(((0.02 * y + 4) ** 2 + 0.5**2) / 3) for y in (192, 208))
    assert float(one.value or 0) == pytest.approx((192 - 208) / math.hypot(low, high), abs=2e-3)
    assert (one.kind, one.sheet, one.of) == ("second instrument", "S-low", ("R-low-1", "R-high-1"))
    assert one.apart == ((("R-low-1",), ("R-high-1",)),)
    assert one.text == (
        "M-2 and M-3 do not agree within their doubts: the largest En number is 1.22 in size, where 1 is the bound."
    )


def test_a_pair_of_repeats_is_compared_once_whatever_the_order_of_the_file_and_keeps_its_name() -> None:
    """A comparison that is cited is called the same when a sheet is added, or is moved."""
    two = judged(["200"], instruments=OTHERS, more=repeats(low="192", high="208")).results
    more = {name: repeats(low="192", high="208")[name] for name in ("high", "low")}
    turned = judged(["200"], instruments=OTHERS, more=more).results
    assert {one.id: one for one in turned} == {one.id: one for one in two}
    three = {
        one.id for one in judged(["200"], instruments=OTHERS, more=repeats(low="192", high="208", mid="201")).results
    }
    assert three == {one.id for one in two} | {
        "Y-mid-second-instrument", "Y-mid-second-instrument-high", "Y-mid-second-instrument-low",
    }  # fmt: skip


def test_a_repeat_of_a_repeat_is_compared_with_the_first() -> None:
    made = judged(["200"], instruments=OTHERS, more=repeats(b="209", c="218 of b")).results
    assert [(one.id, str(one.outcome)) for one in made] == [
        ("Y-b-second-instrument", "pass"), ("Y-c-second-instrument", "pass"), ("Y-c-second-instrument-x", "fail"),
    ]  # fmt: skip
    # A chain that closes upon itself is compared pair by pair, and ends.
    ring = {**repeats(b="209 of d", c="218 of b", d="200 of c"), "e": repeats(e="200")["e"]}
    found = [one.id for one in judged(["200"], instruments=OTHERS, more=ring).results]
    assert len(found) == len(set(found)) and {"Y-c-second-instrument", "Y-e-second-instrument"} <= set(found)


@pytest.mark.parametrize(
    "other",
    [{"item": "I-2"}, {"accessories": ["I-3"]}, {"moment": "after adjustment"}, {"instrument": "M-2"},
     {"repeats_of": "S-y"}],
)  # fmt: skip
def test_repeats_are_compared_on_one_thing_with_two_instruments(other: dict[str, Any]) -> None:
    """Nor are they where they go back to different sheets: nobody said that these were to show the same."""
    more = {**repeats(low="192", high="208"), "y": ([("200", {})], {})}
    more["high"][1].update(other)
    assert "Y-low-second-instrument-high" not in {
        one.id for one in judged(["200"], instruments=OTHERS, more=more).results
    }


def test_the_same_instrument_is_no_second_one() -> None:
    more: dict[str, Any] = {"again": ([("203", {})], {"repeats_of": "S-x"})}
    assert judged(["200"], more=more).results == ()


GRID = {"coverage": {"port": ["1", "2"], "setting": ["100 mohm", "200 mohm"]}, "as_used": {"port": "2"}}


def test_a_conditional_fail_is_no_combination_within_its_limit() -> None:
    """305 ± 11.7 at 300 fails conditionally under a guard band, and so is told as failing; 295 is not."""
    rows = [("305", {"port": "1", "setting": "0.1"}), ("295", {"port": "1", "setting": "0.2"})]
    [grid] = judged(rows, planned=GRID, units=SETTING, rule="guard band").coverage
    assert [cell.state for cell in grid.cells][:2] == [CellState.FAILING, CellState.DONE]
    assert judged(rows, units=SETTING).coverage == ()


def test_each_combination_asked_for_says_what_became_of_it() -> None:
    rows = [
        ("90", {"port": "1", "setting": "0.1"}), ("310", {"port": "1", "setting": "0.2"}),
        ("not obtainable: the port is burnt", {"port": "2", "setting": "0.1"}),
        ("80", {"port": "2", "setting": "0.2", "void": "lead slipped"}),
    ]  # fmt: skip
    [grid] = judged(rows, planned=GRID, units=SETTING).coverage
    assert grid.axes == ("port", "setting")
    told = {tuple(text for _, text in cell.conditions): cell for cell in grid.cells}
    assert {where: cell.state for where, cell in told.items()} == {
        ("1", "100 mohm"): CellState.DONE, ("1", "200 mohm"): CellState.FAILING,
        ("2", "100 mohm"): CellState.NOT_OBTAINABLE, ("2", "200 mohm"): CellState.MISSING,
    }  # fmt: skip
    assert told["2", "100 mohm"].why == "the port is burnt"
    assert [cell.as_used for cell in grid.cells] == [False, False, True, True]
    assert grid.count(CellState.MISSING) == 1


def test_a_plan_may_say_that_a_combination_cannot_be_had() -> None:
    planned = {**GRID, "not_obtainable": {"port=2": "the port is missing"}}
    [grid] = judged([("90", {"port": "1", "setting": "0.1"})], planned=planned, units=SETTING).coverage
    assert [cell.state for cell in grid.cells] == [
        CellState.DONE, CellState.MISSING, CellState.NOT_OBTAINABLE, CellState.NOT_OBTAINABLE,
    ]  # fmt: skip


def test_without_a_plan_there_is_nothing_to_compute() -> None:
    """What a reading is held against is chosen before it is taken."""
    assert judged(["200"]).verdicts and not judged(["200"]).coverage


def test_a_custom_of_a_result_gives_way_to_the_makers_limit_of_that_result_alone() -> None:
    """12 % at 100: custom allows 5 %, the maker 20 %, and the maker's limit of the readings, or of another result, is
    for something else. The example is made for the test."""
    rows = [("112", {"setting": "0.1"}), ("205", {"setting": "0.2"})]
    custom = {"result": "deviation", "quantity": "ratio", "bound": {"kind": "fixed", "value": "5 %"},
              "kind": "common practice", "gives_way_to": ["maker's limit"]}  # fmt: skip
    theirs = {"kind": "maker", "quantity": "ratio", "bound": {"kind": "fixed", "value": "20 %"}}

    def said(*limits: dict[str, Any]) -> dict[str, str]:
        made = judged(rows, custom, *limits, test=wanted("deviation", "linearity"), units=SETTING)
        return {one.limit.name: str(one.outcome) for one in made.verdicts if one.subject == "Y-x-deviation"}

    assert said() == {"l1": "fail"}
    assert said({**theirs, "result": "deviation"}) == {"l2": "pass"}
    assert said({**theirs, "result": "deviation", "only": {"port": ["2"]}}) == {"l1": "fail"}
    assert said({**theirs, "result": "linearity"}) == {"l1": "fail"}
    assert said({"kind": "maker", "bound": {"kind": "fixed", "value": "900 mohm"}}) == {"l1": "fail"}
    # One of another kind than the maker's is held beside it.
    assert said({**theirs, "result": "deviation", "kind": "product standard"}) == {"l1": "fail", "l2": "pass"}
