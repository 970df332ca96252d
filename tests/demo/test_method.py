"""What the page of the method says, reckoned anew by another road, and held against what the program gives.

Each number of the page is taken out of the page's own words, so that neither text nor program can move alone. Formulas
are done here with numpy, scipy and fractions from the readings, instruments and plans of the nine cases, through no
function of the program that computes.
"""

from __future__ import annotations

import html
import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from scipy import stats

from asfound.assess import catalogue, open_repository
from asfound.measure import apart, units
from asfound.measure.agreement import interval, upper_bound
from asfound.measure.budget import coverage_factor
from asfound.measure.decide import decide
from asfound.model.bench import Function, Range
from asfound.model.dossier import Core
from asfound.model.number import ValueKind
from asfound.model.outcome import DecisionRule, Outcome
from asfound.model.verdict import Result, Verdict
from asfound.model.work import Reading, Sheet
from asfound.pages import Options, Register, build_site
from asfound.physics.calc import calculation, evaluate
from tests.demo.test_cases import ROOT, assessed

CASES = sorted(path.name for path in (ROOT / "cases").iterdir() if path.is_dir())


@cache
def core(name: str) -> Core:
    found = assessed(f"cases/{name}").dossier
    assert found is not None
    return found.core


@cache
def page() -> str:
    """The page of the method as words, one space between them."""
    shared = open_repository(ROOT)
    register = Register(shared.book, catalogue(), "0", reporting=shared.reporting)
    found = assessed("cases/return-pad-lesion").dossier
    assert found is not None
    [body] = [one.body for one in build_site([found], register, Options()) if one.uri == "method.md"]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", re.sub(r"</(p|td|th|tr|h2|li)>", " ", body))).split())


def said(pattern: str) -> tuple[str, ...]:
    """What stands at the marks of a sentence of the page, which it must hold once."""
    found = re.findall(pattern, page())
    assert len(found) == 1, (pattern, len(found))
    return found[0] if isinstance(found[0], tuple) else (found[0],)


def number(text: str) -> float:
    return float(text.replace("\u2212", "-").replace("\u00a0", "").replace("\u202f", ""))


# --- the doubt
# -----------------------------------------------------------------------------------------------------


def level() -> float:
    """The level of Student's t, as the page states it."""
    (text,) = said(r"else k from Student's t at ([0-9.]+) %\.")
    return float(text) / 100.0


def factor(dof: float) -> float:
    """k: the page's 2 where nothing limits it, else Student's t for the next lower whole number."""
    (usual,) = said(r"with k = ([0-9.]+) where the degrees of freedom are not limited")
    return float(usual) if math.isinf(dof) else float(stats.t.ppf(0.5 + level() / 2.0, float(math.floor(dof + 1e-9))))


def test_the_factor_is_that_of_the_table() -> None:
    """JCGM 100:2008, table G.2, column 95.45 % (from memory): 13.97, 4.53, 3.31, 2.65, 2.28, 2.13, 2.05."""
    table = {1: 13.97, 2: 4.53, 3: 3.31, 5: 2.65, 10: 2.28, 20: 2.13, 50: 2.05}
    for dof, k in table.items():
        assert factor(dof) == pytest.approx(k, abs=0.005) and coverage_factor(dof) == pytest.approx(factor(dof))
    assert coverage_factor(math.inf) == factor(math.inf) == 2.0


# Symbols of one quantity and what they are of its first; a difference of kelvin is one of degrees Celsius.
_ALIKE = [
    {"W": 1.0}, {"A": 1.0, "mA": 1e-3, "µA": 1e-6, "uA": 1e-6}, {"V": 1.0, "mV": 1e-3}, {"J": 1.0}, {"N": 1.0},
    {"s": 1.0, "ms": 1e-3, "min": 60.0}, {"mL/h": 1.0, "mL/min": 60.0, "L/min": 60_000.0}, {"mL": 1.0},
    {"Ω": 1.0, "ohm": 1.0, "mΩ": 1e-3, "mohm": 1e-3, "kΩ": 1e3, "kohm": 1e3, "MΩ": 1e6, "Mohm": 1e6},
    {"cm2": 1.0, "cm²": 1.0}, {"cmH2O": 1.0, "mbar": 1.0 / 0.980665, "bar": 1e3 / 0.980665}, {"mm": 1.0, "cm": 10.0},
    {"°C": 1.0, "degC": 1.0}, {"K": 1.0}, {"dB(A)": 1.0}, {"%": 1.0},
]  # fmt: skip


def scale(from_: str, to: str) -> float | None:
    for one in _ALIKE:
        if from_ in one and to in one:
            return one[from_] / one[to]
    return None


def _range_of(function: Function, y: float, to: str) -> Range | None:
    """The narrowest range that holds a value."""
    found = []
    for one in function.ranges:
        by = scale(one.to.unit, to)
        if by is None:
            return None
        low, high = float(one.from_.value) * by, float(one.to.value) * by
        if low - 1e-12 <= y <= high * (1.0 + 1e-12):
            found.append((high - low, low, one))
    return min(found, key=lambda each: each[:2])[2] if found else None


def _by_hand(sheet: Sheet, of: Core, verdict: Verdict, alike: list[float]) -> tuple[float, float] | None:
    """U and k of a reading from what is on record of its instrument, by the page's own words."""
    function = of.instruments[sheet.instrument].functions.get(sheet.function or "")
    if function is None or verdict.value is None:
        return None
    y = float(verdict.value)
    found = _range_of(function, y, verdict.unit)
    if found is None:
        return None
    one = found
    step = float(one.resolution.value) * (scale(one.resolution.unit, verdict.unit) or math.nan)
    plus = 0.0
    if one.accuracy.plus is not None:
        plus = float(one.accuracy.plus.value) * (scale(one.accuracy.plus.unit, verdict.unit) or math.nan)
    half = abs(y) * float(one.accuracy.percent) / 100.0 + plus + float(one.accuracy.digits) * step
    parts = [(half / math.sqrt(3.0), math.inf), (step / 2.0 / math.sqrt(3.0), math.inf)]
    if function.certificate_doubt is not None:
        doubt = float(function.certificate_doubt.value) * (
            scale(function.certificate_doubt.unit, verdict.unit) or math.nan
        )
        parts.append((doubt / float(function.certificate_k), math.inf))
    if len(alike) > 1:
        parts.append((float(np.std(alike, ddof=1)), len(alike) - 1.0))
    u = math.sqrt(math.fsum(part**2 for part, _ in parts))
    below = math.fsum(part**4 / dof for part, dof in parts if math.isfinite(dof))
    k = factor(u**4 / below if below else math.inf)
    return k * u, k


def _doubted(name: str) -> Iterator[tuple[Verdict, float, float]]:
    of = core(name)
    for sheet_name, sheet in of.case.sheets.items():
        rows = of.case.readings[sheet_name].rows if sheet_name in of.case.readings else ()
        groups: dict[tuple[tuple[str, str], ...], list[Reading]] = defaultdict(list)
        for row in rows:
            if not row.void and row.value.kind is ValueKind.NUMBER:
                groups[tuple(sorted(row.conditions.items()))].append(row)
        where = {row.id: (row, group) for group in groups.values() for row in group}
        for verdict in of.verdicts:
            if verdict.subject not in where or verdict.doubt is None or verdict.value is None:
                continue
            row, group = where[verdict.subject]
            # Scaled to nominal mains or turned to its size, a reading is no longer what the instrument showed.
            by = scale(row.unit, verdict.unit)
            if by is None or abs(float(row.value.number or 0) * by - float(verdict.value)) > 1e-9 * abs(
                float(verdict.value)
            ):
                continue
            values = [float(each.value.number or 0) * by for each in group]
            made = _by_hand(sheet, of, verdict, values)
            if made is not None:
                yield verdict, *made


def test_every_doubt_is_that_of_the_records_by_the_formula_of_the_page() -> None:
    """JCGM 100:2008, 4.3.7, F.2.2.1, 4.3.3, 4.2.2, 5.1.2 and G.4, by hand for each reading that has a verdict."""
    assert "half-width divided by √3); half a step of the display, rectangular" in page()
    assert "the standard deviation of a single reading with n − 1 degrees of freedom" in page()
    (digits, printed) = said(r"It is kept with (\w+) significant digits and printed with (\w+);")
    assert (digits, printed) == ("six", "two")
    met, few = 0, 0
    for name in CASES:
        for verdict, wide, k in _doubted(name):
            assert verdict.doubt == pytest.approx(wide, rel=6e-6), (name, verdict.subject, wide, verdict.doubt)
            assert verdict.k == pytest.approx(k, rel=6e-6), (name, verdict.subject)
            assert verdict.doubt == float(f"{verdict.doubt:.6g}")
            met, few = met + 1, few + (k > 2.0)
    assert met > 500 and few > 250, (met, few)


# --- the decision
# -----------------------------------------------------------------------------------------------------


def _limited() -> Iterator[tuple[Core, Verdict]]:
    for name in CASES:
        of = core(name)
        for verdict in of.verdicts:
            if verdict.value is not None and (verdict.lower is not None or verdict.upper is not None):
                yield of, verdict


def _decided(verdict: Verdict, r: Fraction, exact: bool) -> set[Outcome]:
    """The outcomes that the page's words leave for a reading, in exact fractions."""
    y = Fraction(verdict.value or 0)
    inside = [Fraction(bound) - y for bound in (verdict.upper,) if bound is not None]
    inside += [y - Fraction(bound) for bound in (verdict.lower,) if bound is not None]
    near = min(inside)
    met = near > 0 or (near == 0 and not verdict.strict)
    if verdict.rule == str(DecisionRule.SIMPLE):
        return {Outcome.PASS if met else Outcome.FAIL}
    if verdict.doubt is None:
        return {Outcome.NOT_ASSESSABLE}
    w = r * Fraction(repr(verdict.doubt))
    if met:
        return {Outcome.PASS if near > w else Outcome.CONDITIONAL_PASS}
    return {Outcome.FAIL if -near > w else Outcome.CONDITIONAL_FAIL}


def test_every_verdict_is_the_one_of_the_words_of_the_page() -> None:
    assert (
        "with w = r U, a reading inside its limit by more than w passes; inside by w or less is a conditional pass; "
        "outside by w or less a conditional fail; outside by more than w fails." in page()
    )
    met: dict[Outcome, int] = defaultdict(int)
    for of, verdict in _limited():
        if verdict.outcome not in {
            Outcome.PASS, Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL, Outcome.FAIL,
        } or verdict.why.startswith("permitted"):  # fmt: skip
            continue
        assert of.case.plan is not None
        assert verdict.outcome in _decided(verdict, Fraction(of.case.plan.guard_factor), True), verdict
        met[verdict.outcome] += 1
    assert met[Outcome.PASS] > 200 and met[Outcome.FAIL] > 10, met


@pytest.mark.parametrize("r", ["1", "0.83"])
def test_at_the_width_of_the_band_itself_a_reading_is_conditional(r: str) -> None:
    w = Decimal(r) * Decimal("3.8")
    for off, outcome in (
        (-w - Decimal("1e-9"), Outcome.PASS), (-w, Outcome.CONDITIONAL_PASS), (Decimal(0), Outcome.CONDITIONAL_PASS),
        (w, Outcome.CONDITIONAL_FAIL), (w + Decimal("1e-9"), Outcome.FAIL),
    ):  # fmt: skip
        made = decide(100 + off, Decimal("3.8"), upper=Decimal(100), rule=DecisionRule.GUARD_BAND, r=Decimal(r))
        assert made.outcome is outcome, off


def test_every_chance_is_that_of_a_normal_distribution_about_the_reading() -> None:
    """JCGM 106:2012, 7.2 to 7.4 (from memory): scipy's normal distribution with u = U / k."""
    assert "p = Φ((TU − y) / u) − Φ((TL − y) / u)" in page()
    met = 0
    for _, verdict in _limited():
        if verdict.chance is None or not verdict.doubt or not verdict.k:
            continue
        about = stats.norm(float(verdict.value or 0), verdict.doubt / verdict.k)
        upper = 1.0 if verdict.upper is None else about.cdf(float(verdict.upper))
        lower = 0.0 if verdict.lower is None else about.cdf(float(verdict.lower))
        assert verdict.chance == pytest.approx(upper - lower, rel=1e-5, abs=1e-12), verdict
        met += 1
    assert met > 100, met
    (half,) = said(r"On the limit itself the chance of a wrong pass is (one half)\.")
    made = decide(Decimal(100), Decimal(4), upper=Decimal(100), rule=DecisionRule.SIMPLE)
    assert half == "one half" and made.outcome is Outcome.PASS and made.chance == 0.5


def test_the_bounds_of_grubbs_are_those_of_the_standard() -> None:
    """ISO 5725-2:1994, table 5, one value (from memory): of 10 values 2.290 at 5 % and 2.482 at 1 %; by t as well."""
    five, one = (int(text) for text in said(r"([0-9]) % a straggler, ([0-9]) % an outlier"))
    found = apart.farthest([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 50.0])
    assert found is not None
    for share, bound, printed in ((five, found.five, 2.290), (one, found.one, 2.482)):
        t = stats.t.ppf(1.0 - share / 100.0 / 20.0, 8)
        assert bound == pytest.approx(9.0 / math.sqrt(10.0) * math.sqrt(t * t / (8.0 + t * t)), rel=1e-9)
        assert bound == pytest.approx(printed, abs=1e-3)


# --- derived results
# -----------------------------------------------------------------------------------------------------


def results(kind: str) -> Iterator[tuple[Core, Result]]:
    for name in CASES:
        yield from ((core(name), one) for one in core(name).results if one.kind == kind)


def value(of: Core, ref: str) -> float:
    return float(of.case.reading[ref].value.number or 0)


def test_spread_deviation_and_two_instruments_by_hand() -> None:
    (bound,) = said(r"\(En with expanded doubts, at most ([0-9]+)\)")
    spread = deviations = pairs = 0
    for of, one in results("repeatability"):
        by = scale(of.case.reading[one.of[0]].unit, one.unit)
        if by is None or one.value is None:
            continue
        assert float(one.value) == pytest.approx(
            np.std([value(of, ref) * by for ref in one.of], ddof=1), rel=6e-3, abs=1e-9
        )
        spread += 1
    for of, one in results("deviation"):
        far = []
        for words, shown in one.numbers:
            setting, ref = re.fullmatch(r"([0-9.]+) \((R-[a-z0-9-]+)\)", words).groups()  # type: ignore[union-attr]
            off = 100.0 * (value(of, ref) / float(setting) - 1.0)
            assert number(shown.removesuffix("\u00a0%")) == pytest.approx(off, abs=0.0501)
            far.append(off)
            deviations += 1
        assert float(one.value or 0) == pytest.approx(max(far, key=abs), abs=0.00501)
    for of, one in results("second instrument"):
        found = []
        for words, shown in one.numbers:
            (x, wide), (y, other) = (_of_instrument(of, one, side, value) for side in words.split(" against "))
            en = (x - y) / math.hypot(wide, other)
            assert number(shown) == pytest.approx(en, abs=0.00501)
            found.append(en)
            pairs += 1
        assert float(one.value or 0) == pytest.approx(max(found, key=abs), rel=1e-3)
        assert (one.outcome is Outcome.PASS) is (max(map(abs, found)) <= float(bound))
    assert spread > 80 and deviations > 40 and pairs > 4, (spread, deviations, pairs)


def _of_instrument(of: Core, result: Result, said: str, value: Callable[[Core, str], float]) -> tuple[float, float]:
    """A reading and its doubt as its verdict has it; or the mean of repeats with the doubt of a mean.

    What the instrument adds is what is left of a reading's u without its scatter s, since u² = u(B)² + s²; the mean has
    u(B)² + s²/n, by the factor of Student's t at 95.45 % (JCGM 100:2008, 4.2.3 and G.4.1, tables by scipy).
    """
    # Readings beside a verdict are repeats of the one it speaks of: one spread, and so one factor.
    doubts = {ref: (wide, each.k) for each in of.verdicts for ref, wide in ((each.subject, each.doubt), *each.beside)
              if wide is not None}  # fmt: skip
    found = re.fullmatch(r"mean of (\S+) and (\d+) more", said)
    if found is None:
        return value(of, said), float(doubts[said][0])
    like = of.case.reading[found[1]]
    every = [ref for ref in result.of if (r := of.case.reading[ref]).sheet == like.sheet
             and r.conditions == like.conditions]  # fmt: skip
    assert len(every) == int(found[2]) + 1
    read = [value(of, ref) for ref in every]
    s, n = float(np.std(read, ddof=1)), len(read)
    wide, k = doubts[found[1]]
    assert k is not None
    own = (wide / k) ** 2 - s * s
    u = math.sqrt(own + s * s / n)
    dof = math.inf if s == 0 else math.floor((n - 1) * u**4 / (s * s / n) ** 2)
    factor = 2.0 if dof == math.inf else float(stats.t.ppf((1 + 0.9545) / 2, dof))
    return float(np.mean(read)), factor * u


def test_the_heating_factor_by_hand_from_log_and_current() -> None:
    """2 I t u(I) and I² u(t), each summed over the cluster, then as squares; u of both from their own verdicts."""
    assert "2 I t times the doubt of the current and I² times that of the time" in page().replace("\u00a0", " ")
    of = core("return-pad-lesion")
    [one] = [each for each in of.results if each.kind == "heating factor"]
    rows = [of.case.reading[ref] for ref in one.of]
    current = [float(row.conditions["current"].split()[0]) for row in rows]
    time = [float(row.value.number or 0) for row in rows]
    assert float(one.value or 0) == pytest.approx(
        math.fsum(i * i * t for i, t in zip(current, time, strict=True)), rel=1e-3
    )
    by_current = max(
        (each for each in of.verdicts if each.subject in {"R-current-1", "R-current-2", "R-current-3"}),
        key=lambda each: each.doubt or 0.0,
    )
    by_time = next(each for each in of.verdicts if each.subject == rows[0].id)
    assert by_current.doubt and by_current.k and by_time.doubt and by_time.k
    parts = (
        2.0 * math.fsum(i * t for i, t in zip(current, time, strict=True)) * by_current.doubt / by_current.k,
        math.fsum(i * i for i in current) * by_time.doubt / by_time.k,
    )
    assert one.doubt is not None and one.k is not None
    assert one.doubt / one.k == pytest.approx(math.hypot(*parts), rel=1e-2)


# --- calculations
# -----------------------------------------------------------------------------------------------------


def test_an_answer_of_a_case_by_the_formula_of_the_page() -> None:
    """Current density of the electrodes: J = I / A, u(J)² = (u(I) / A)² + (J u(A) / A)², by central differences."""
    assert "Whatever goes into a calculation goes in with its standard doubt u = U / k" in page()
    assert "moved up and down by 2 u, and half the change of an answer is twice what it adds" in page()
    of = core("monitor-electrodes")
    answer = next(one for one in of.results if one.id == "Y-arm-density")
    doubts = {one.subject: one for one in of.verdicts if one.doubt is not None and one.k is not None}
    current, area = (doubts[ref] for ref in ("R-rf-1", "R-area-1"))
    [z] = [one for one in of.worked if one.ref == "Z-arm"]
    refs = {one.name: one.of for one in z.inputs}
    i, a = (float(np.mean([value(of, ref) for ref in refs[name]])) for name in ("current", "area"))
    current, area = (
        max((doubts[ref] for ref in refs[name]), key=lambda one: one.doubt or 0.0) for name in ("current", "area")
    )
    twice = [2.0 * (one.doubt or 0.0) / (one.k or 2.0) for one in (current, area)]
    halves = (
        ((i + twice[0]) / a - (i - twice[0]) / a) / 2.0,
        (i / (a - twice[1]) - i / (a + twice[1])) / 2.0,
    )
    assert answer.doubt is not None and answer.k is not None
    assert float(answer.value or 0) == pytest.approx(i / a, rel=1e-4)
    assert answer.doubt / answer.k == pytest.approx(math.hypot(*halves) / 2.0, rel=1e-5)
    assert answer.k == pytest.approx(factor(answer.dof or math.inf), rel=1e-5)


def test_whatever_few_degrees_stand_behind_is_said_and_nothing_else_is() -> None:
    (usual,) = said(r"An answer whose k is not ([0-9.]+) in two digits says it, and the degrees of freedom")
    told = 0
    for name in CASES:
        for one in core(name).results:
            if one.kind != "worked out" or one.k is None:
                continue
            assert one.k == pytest.approx(factor(one.dof or math.inf), rel=6e-6), one.id
            says = "effective degrees of freedom" in one.text
            assert says is (f"{one.k:.1f}" != usual), (one.id, one.k)
            told += says
    assert told > 15


# --- trials, thresholds
# -----------------------------------------------------------------------------------------------------


def _tail(seen: int, trials: int, p: float) -> float:
    """Chance of at most so many of so many."""
    return math.fsum(math.comb(trials, n) * p**n * (1.0 - p) ** (trials - n) for n in range(seen + 1))


def _solve(target: float, seen: int, trials: int) -> float:
    low, high = 0.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _tail(seen, trials, middle) > target else (low, middle)
    return low


def test_what_a_count_leaves_room_for() -> None:
    """The bounds by bisection of sums of binomial chances, which is how Clopper and Pearson define them."""
    at, none, of_, room, base, root = said(
        r"Clopper and Pearson at ([0-9]+) %, .*?so that ([0-9]+) of ([0-9]+) leaves room for ([0-9.]+) % "
        r"\(from 1 − ([0-9.]+)1/([0-9]+)\)"
    )
    left = 1.0 - float(at) / 100.0
    assert float(base) == pytest.approx(left) and root == of_
    bound = _solve(left, int(none), int(of_))
    assert bound == pytest.approx(1.0 - left ** (1.0 / int(of_)), rel=1e-9)
    assert f"{100.0 * bound:.2f}" == room and upper_bound(int(none), int(of_)) == pytest.approx(bound, rel=1e-9)
    seen, trials, low, high = said(r"so that ([0-9]+) of ([0-9]+) leaves room from ([0-9.]+) % to ([0-9.]+) %")
    n, m = int(seen), int(trials)
    ends = (1.0 - _solve(left / 2.0, m - n, m), _solve(left / 2.0, n, m))
    assert interval(n, m) == pytest.approx(ends, rel=1e-9)
    assert (f"{100.0 * ends[0]:.2f}", f"{100.0 * ends[1]:.1f}") == (low, high)
    of_calc = calculation("missed-intermittent")
    assert of_calc is not None
    told = {one.name: one for one in evaluate(of_calc, {"seen": float(none), "trials": float(of_)})}
    assert told["at most, one-sided"].value == pytest.approx(100.0 * bound, rel=1e-6)
    assert told["seen in"].high == pytest.approx(100.0 * _solve(left / 2.0, int(none), int(of_)), rel=1e-6)
    for of, one in results("trials"):
        count = of.case.reading[one.of[0]].value
        k, t = int(count.number or 0), int(count.of or 0)
        if one.value is not None:
            edge = 1.0 - _solve(left, t - k, t) if k else _solve(left, k, t)
            assert float(one.value) == pytest.approx(100.0 * edge, abs=0.00501), one.id


def test_thresholds_that_are_told_in_another_measure_are_the_same() -> None:
    seconds, parts = said(r"drift seconds per day ([0-9.]+) .*?some ([0-9]+) parts in a million")
    assert float(seconds) / 86_400.0 * 1e6 == pytest.approx(float(parts), rel=0.05)
    (hours,) = said(r"first custody hours ([0-9]+) Within how many hours")
    assert core("return-pad-lesion").organisation.first_custody_hours == int(hours)


def test_the_units_of_this_file_are_those_of_the_program() -> None:
    """So that a slip here cannot hide one there: 1 cmH2O is 98.0665 Pa (definition), and 1 mbar 100 Pa."""
    for group in _ALIKE:
        known = {name: units.unit(name) for name in group}
        first = next(name for name, one in known.items() if one is not None)
        for name, one in known.items():
            if one is not None:
                by = float(one.factor) / float(known[first].factor)  # type: ignore[union-attr]
                assert by == pytest.approx(group[name] / group[first], rel=1e-9), name
