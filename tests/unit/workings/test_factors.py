"""Doubts of whatever k go into a calculation of a case as standard ones; what comes of them says its own k.

By hand from JCGM 100:2008: 4.2.2 (spread), 4.3.7 (rectangles), 5.1.2 (squares), G.2b (degrees of freedom), 5.1.3 note 2
(differences over the whole doubt). Student's t is scipy's.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from asfound.model.verdict import Result
from asfound.model.worked import Lack
from asfound.physics.calc import Answer, Calculation, Input, Rows, evaluate
from asfound.workings.carry_out import _lacking, _owned_up
from tests.unit.workings.test_work_out import assessed, result, worked

REPEATED = ("readings/touch.csv", "3,open,normal,61.2", "3,open,normal,61.2\n5,open,normal,64.4\n6,open,normal,58.6")
DENSITY = """\
Z-1:
  calculation: current-density
  asks: How dense was the current?
  inputs:
    current: R-touch-3
    area: {value: 0.8 cm², why: from the print}
"""


def of_the_reading(value: float) -> tuple[float, float]:
    """Standard doubt in µA and degrees of freedom of a reading among the three repeats.

    The instrument: 1 % and 1 µA of accuracy, 0.1 µA a step.
    """
    instrument = math.hypot((value * 0.01 + 1.0) / math.sqrt(3.0), 0.05 / math.sqrt(3.0))
    s = statistics.stdev((61.2, 64.4, 58.6))
    u = math.hypot(instrument, s)
    return u, u**4 / (s**4 / 2.0)


def factor(dof: float) -> float:
    return float(stats.t.ppf(0.97725, math.floor(dof)))


def answer(tmp_path: Path, text: str, *edits: tuple[str, str, str]) -> Result:
    found = result(assessed(tmp_path, text, *edits), "Y-1-mean-current-density")
    assert isinstance(found, Result)
    return found


def test_a_reading_of_few_repeats_goes_in_as_its_standard_doubt_and_comes_out_at_its_own_k(tmp_path: Path) -> None:
    found = assessed(tmp_path, DENSITY, REPEATED)
    u, dof = of_the_reading(61.2)
    got = result(found, "Y-1-mean-current-density")
    assert isinstance(got, Result) and got.doubt is not None and got.k is not None
    assert (got.dof, got.k) == pytest.approx((dof, factor(dof)), rel=1e-5) and got.k > 3.0
    # Of a current over a known area the share of doubt is that of the current, so both bars are equally long.
    assert got.doubt == pytest.approx(factor(dof) * u / 1000.0 / 0.8, rel=1e-5)
    assert found.dossier is not None
    of = next(one for one in found.dossier.core.verdicts if one.subject == "R-touch-3")
    assert of.doubt == pytest.approx(factor(dof) * u, rel=1e-5) and of.k == pytest.approx(got.k, rel=1e-5)
    shown = worked(found).inputs[0].text.replace("\u00a0", " ")
    assert shown == f"61 µA ± {factor(dof) * u:.0f} µA (k = {factor(dof):.3g})"
    assert f"k = {factor(dof):.3g}, for {math.floor(dof)} effective degrees" in got.text.replace("\u00a0", " ")


def test_beside_a_doubt_that_is_known_few_repeats_weigh_by_their_standard_doubt(tmp_path: Path) -> None:
    """The old way put U of the reading in as though its k were 2, and so 1.6 times too much."""
    text = DENSITY.replace("area: {value: 0.8 cm²,", "area: {value: 0.8 cm², doubt: 0.04 cm²,")
    got = answer(tmp_path, text, REPEATED)
    u, dof = of_the_reading(61.2)
    parts = (u / 1000.0 / 0.8, 0.0612 / 0.8 * 0.02 / 0.8)
    free = math.hypot(*parts) ** 4 / (parts[0] ** 4 / dof)
    assert got.dof == pytest.approx(free, rel=1e-2)
    assert got.doubt == pytest.approx(factor(free) * math.hypot(*parts), rel=1e-2)


def test_a_mean_takes_the_k_of_the_doubt_it_takes(tmp_path: Path) -> None:
    found = assessed(tmp_path, DENSITY.replace("R-touch-3", "[R-touch-3, R-touch-4, R-touch-5]"), REPEATED)
    u, dof = of_the_reading(64.4)
    got = result(found, "Y-1-mean-current-density")
    assert isinstance(got, Result)
    assert (got.dof, got.doubt) == pytest.approx((dof, factor(dof) * u / 800.0), rel=1e-5)
    shown = worked(found).inputs[0].text.replace("\u00a0", " ")
    assert shown == f"0.062 mA ± {factor(dof) * u / 1000.0:.3f} mA (k = {factor(dof):.3g}), the mean of 3"


def test_a_mean_of_which_one_reading_has_no_doubt_prints_none_and_no_factor(tmp_path: Path) -> None:
    """Beyond 2000 µA no range of the instrument says anything."""
    text = DENSITY.replace("R-touch-3", "[R-touch-3, R-touch-4]")
    found = assessed(tmp_path, text, REPEATED, ("readings/touch.csv", "60.3", "2500"))
    assert worked(found).inputs[0].text.replace("\u00a0", " ") == "1.2806 mA, the mean of 2"
    got = result(found, "Y-1-mean-current-density")
    assert isinstance(got, Result) and (got.doubt, got.k, got.dof) == (None, None, None)
    assert "degrees of freedom" not in got.text


def test_a_stated_doubt_may_bear_its_own_k(tmp_path: Path) -> None:
    """U 0.06 at k 3 is U 0.04 at k 2; with its degrees of freedom it limits the answer."""
    area = "area: {value: 0.8 cm², doubt: 0.06 cm², k: 3, why: from the print}"
    stated = DENSITY.replace("area: {value: 0.8 cm², why: from the print}", area)
    plain = DENSITY.replace("area: {value: 0.8 cm², why: from the print}", area.replace("0.06 cm², k: 3", "0.04 cm²"))
    one, other = (answer(tmp_path / name, text) for name, text in (("a", stated), ("b", plain)))
    assert (one.doubt, one.k, one.dof) == (other.doubt, 2.0, None)
    few = answer(tmp_path / "c", stated.replace("k: 3,", "k: 3, dof: 4,"))
    assert few.dof is not None and 4.0 < few.dof < 20.0 and few.k == pytest.approx(factor(few.dof), rel=1e-5)
    shown = worked(assessed(tmp_path / "d", stated)).inputs[1].text.replace("\u00a0", " ")
    assert shown == "0.8 cm² ± 0.06 cm² (k = 3)"


@pytest.mark.parametrize(
    ("stated", "path", "found"),
    [
        ("value: 0.8 cm², k: 3", "k", "k is stated, and no doubt that it belongs to"),
        ("value: 0.8 cm², dof: 3", "dof", "dof is stated, and no doubt that it belongs to"),
        ("value: 0.8±0.1 cm², doubt: 0.2 cm²", "doubt", "a doubt stands here and one in “0.8±0.1 cm²”"),
        ("value: 0.8±0.1 cm² (k=3), k: 2.5", "value", "“0.8±0.1 cm² (k=3)” states its k, and so does the record"),
    ],
)
def test_what_does_not_go_together_is_not_taken(tmp_path: Path, stated: str, path: str, found: str) -> None:
    one = worked(assessed(tmp_path, DENSITY.replace("{value: 0.8 cm²,", f"{{{stated},")))
    [fault] = one.faults
    assert (fault.lack, fault.path, fault.found) == (Lack.INPUT, ("inputs", "area", path), found)
    assert one.answers == ()


def test_a_certificate_that_states_its_degrees_of_freedom_limits_a_reading(tmp_path: Path) -> None:
    """JCGM 100:2008, G.4.1: U 6 µA at k 3.31 with four degrees of freedom beside the accuracy of the range."""
    edit = (
        ".asfound/instruments.yml",
        "      method: network of IEC 60601-1, figure 12\n",
        "      method: network of IEC 60601-1, figure 12\n      certificate_doubt: 6 uA\n"
        "      certificate_k: 3.31\n      certificate_dof: 4\n",
    )
    found = assessed(tmp_path, DENSITY, edit)
    accuracy = math.hypot((61.2 * 0.01 + 1.0) / math.sqrt(3.0), 0.05 / math.sqrt(3.0))
    u = math.hypot(accuracy, 6.0 / 3.31)
    dof = u**4 / ((6.0 / 3.31) ** 4 / 4.0)
    assert found.dossier is not None
    of = next(one for one in found.dossier.core.verdicts if one.subject == "R-touch-3")
    assert (of.k, of.doubt) == pytest.approx((factor(dof), factor(dof) * u), rel=1e-5)
    got = result(found, "Y-1-mean-current-density")
    assert isinstance(got, Result) and got.dof == pytest.approx(dof, rel=1e-5)


@pytest.mark.parametrize(
    ("stated", "needed"),
    [
        ("k: 0", "a number above 0 is needed"),
        ("k: -2", "a number above 0 is needed"),
        ("dof: 0.5", "a number of degrees of freedom, 1 or more, is needed"),
    ],
)
def test_a_factor_that_cannot_be_is_refused_where_it_stands(tmp_path: Path, stated: str, needed: str) -> None:
    text = DENSITY.replace("{value: 0.8 cm²,", f"{{value: 0.8 cm², doubt: 0.1 cm², {stated},")
    [problem] = [one for one in assessed(tmp_path, text).problems if one.rule == "value-not-a-number"]
    typed = text.splitlines()[5]
    assert problem.span.path.endswith("calculations.yml")
    assert (problem.span.line, problem.span.column) == (6, typed.index(stated) + stated.index(" ") + 2)
    assert problem.needed == needed


@pytest.mark.parametrize(
    ("current", "edits", "said"),
    [
        ("[R-touch-3, R-touch-4]", (("readings/touch.csv", "60.3", "2500"),), True),
        ("R-touch-4", (("readings/touch.csv", "60.3", "2500"),), True),
        ("R-touch-4", (), False),
        ("{value: 60 µA, why: as told}", (), False),
    ],
)
def test_an_answer_says_of_which_reading_its_doubt_holds_nothing(
    tmp_path: Path, current: str, edits: tuple[tuple[str, str, str], ...], said: bool
) -> None:
    """JCGM 100:2008, 7.2.7 b (from memory): a doubt is told with all that went into it; so what did not is told."""
    text = DENSITY.replace("R-touch-3", current).replace("0.8 cm²,", "0.8 cm², doubt: 0.04 cm²,")
    got = answer(tmp_path, text, *edits)
    assert got.doubt
    assert ("The doubt of current is not on record, and is not in this figure." in got.text) is said


def test_an_answer_that_such_a_reading_does_not_move_says_nothing_of_it() -> None:
    """Nor does one whose other side the model does not speak to lose its answers for being asked."""
    inputs = tuple(Input(name, "", name) for name in ("x", "y"))

    def run(given: Mapping[str, Any], rows: Rows) -> tuple[Answer, ...]:
        if given["x"] > 1.0:
            raise ValueError("x is above 1")
        return (
            Answer("by x", given["x"] * given["y"], "1"),
            Answer("by y", given["y"], "1"),
            Answer("none", given["x"], "1"),
        )

    of = Calculation("tried", "Tried", inputs, "x y", "by hand", "computed", (), run)
    for x in (0.5, 1.0):
        answers = evaluate(of, {"x": x, "y": 2.0}, None, {"y": 0.1})
        lacking = _lacking(of, {"x": x, "y": 2.0}, {}, ["x"])
        told = {one.name: one for one in _owned_up(answers, lacking, {"y": 0.1})}
        assert told["by x"].said == "The doubt of x is not on record, and is not in this figure."
        assert (told["by y"].said == "") is (x < 1.0) and told["none"].said == ""


NONE = "The doubt of {} is not on record, and is not in this figure."
PART = "The doubt of {} is itself not whole, and what it lacks is not in this figure."


LEFT = """\
Z-1:
  calculation: rf-share
  asks: How much is left for every other way?
  inputs:
    lead: R-touch-4
    total: {value: 5 mA%s, why: as told}
Z-2:
  calculation: current-density
  asks: How dense was what is left?
  inputs:
    current: Y-1-rest
    area: {value: 0.8 cm², doubt: 0.04 cm², why: from the print}
"""


@pytest.mark.parametrize(
    ("total", "lead", "said"),
    [
        (", doubt: 0.1 mA", "2500", PART),  # the doubt of the total is in what is left, that of the lead is not
        ("", "2500", NONE),
        (", doubt: 0.1 mA", "60.3", ""),
        ("", "60.3", ""),
    ],
)
def test_what_a_doubt_lacks_is_told_of_what_is_worked_out_of_it_too(
    tmp_path: Path, total: str, lead: str, said: str
) -> None:
    """JCGM 100:2008, 7.2.7 b (from memory), over two steps: of a reading outside the range of its instrument no doubt
    is known; what is left of a total beside it lacks that, and so does whatever stands on it."""
    found = assessed(tmp_path, LEFT % total, ("readings/touch.csv", "60.3", lead))
    got = result(found, "Y-2-mean-current-density")
    assert isinstance(got, Result) and got.doubt
    assert [form for form in (NONE, PART) if form.format("current") in got.text] == ([said] if said else [])


DERIVED = """\
Z-1:
  calculation: gravimetric-flow
  asks: How far is it from what the repeats stray by?
  inputs:
    mass: {value: 10 g, doubt: 0.1 g, why: as told}
    time: {value: 1 h, why: as told}
    temperature: {value: 22 °C, why: as told}
    rate: Y-flow-repeatability-1
Z-2:
  calculation: missed-intermittent
  asks: What is left?
  inputs:
    trials: {value: "59", doubt: "1", why: as told}
    share: Y-touch-trials
"""


def test_what_is_derived_of_numbers_without_a_doubt_lacks_it_and_a_bound_from_a_count_does_not(tmp_path: Path) -> None:
    """A spread is told without a doubt of its own; the bound of Clopper and Pearson is all that a count says."""
    found = assessed(tmp_path, DERIVED, ("readings/touch.csv", "60.3", "0 of 59"))
    said = {ref: " ".join(one.said + one.text for one in worked(found, ref).answers) for ref in ("Z-1", "Z-2")}
    assert worked(found, "Z-1").faults == worked(found, "Z-2").faults == ()
    assert all("±" in one for one in said.values())
    assert NONE.format("rate") in said["Z-1"] and "on record" not in said["Z-2"]


def test_a_mean_takes_the_largest_standard_doubt_and_not_the_largest_expanded_one(tmp_path: Path) -> None:
    """JCGM 100:2008, 5.1.2 and 4.3.3: standard doubts are what is combined; k is no part of them.

    Two repeats 3 µA apart have u = 2.3 µA and, of one degree of freedom, U = 32 µA; one reading at 600 µA has
    u = 4.0 µA and U = 8.1 µA. What goes in is 4.0 µA.
    """
    edits = (
        ("readings/touch.csv", "3,open,normal,61.2", "3,open,normal,61.2\n5,open,normal,64.2"),
        ("readings/touch.csv", "60.3", "600.3"),
    )
    got = answer(tmp_path, DENSITY.replace("R-touch-3", "[R-touch-3, R-touch-4]"), *edits)
    u = math.hypot((600.3 * 0.01 + 1.0) / math.sqrt(3.0), 0.05 / math.sqrt(3.0))
    assert (got.k, got.dof) == (2.0, None) and got.doubt == pytest.approx(2.0 * u / 800.0, rel=1e-5)
