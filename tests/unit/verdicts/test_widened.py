"""A wild reading among repeats widens the doubt of all: none is dropped, the verdict stands, and the reader is told."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from asfound.assess import assess_case
from asfound.measure.apart import farthest
from asfound.model.outcome import Outcome
from asfound.model.verdict import Verdict
from tests.rules.support import CASE, ON, Copy
from tests.unit.verdicts.bench import RANGE, TEST, judged

TABLE = {3: (1.155, 1.155), 4: (1.481, 1.496), 5: (1.715, 1.764), 6: (1.887, 1.973), 7: (2.020, 2.139),
         8: (2.126, 2.274), 9: (2.215, 2.387), 10: (2.290, 2.482), 12: (2.412, 2.636), 14: (2.507, 2.755)}  # fmt: skip
"""Critical values at 5 % and 1 %, as ISO 5725-2:1994, table 5, has them for one outlying value (secondary: a chemistry
library's table of critical values of the test, whose 2.202 for seven is 2.020 with figures exchanged)."""


@pytest.mark.parametrize("count", sorted(TABLE))
def test_critical_values_are_those_of_the_printed_table(count: int) -> None:
    found = farthest([float(number) for number in range(count)])
    assert found is not None
    assert (found.five, found.one) == pytest.approx(TABLE[count], abs=0.0011)


GRUBBS = {3: (1.155, 1.155), 5: (1.715, 1.764), 8: (2.126, 2.274), 10: (2.290, 2.482), 15: (2.549, 2.806),
          20: (2.709, 3.001), 30: (2.908, 3.236), 40: (3.036, 3.381)}  # fmt: skip
"""F. E. Grubbs, Technometrics 11 (1969), table 1, at 2.5 % and 0.5 % on one side, which are 5 % and 1 % for a value at
either end (from memory)."""


@pytest.mark.parametrize("count", sorted(GRUBBS))
def test_critical_values_are_those_of_the_paper(count: int) -> None:
    found = farthest([float(number) for number in range(count)])
    assert found is not None
    assert (found.five, found.one) == pytest.approx(GRUBBS[count], abs=0.0011)


@pytest.mark.parametrize("count", [*range(3, 31), 50, 100, 403, 1000])
def test_critical_values_by_students_t_of_a_library(count: int) -> None:
    """(n - 1)/√n · √(t²/(n - 2 + t²)), t at α/(2n), n - 2 degrees of freedom (ISO 5725-2; from memory), by scipy."""
    found = farthest([float(number) for number in range(count)])
    assert found is not None
    for share, bound in ((0.05, found.five), (0.01, found.one)):
        t = stats.t.isf(share / (2 * count), count - 2)
        assert bound == pytest.approx((count - 1) / math.sqrt(count * (1 + (count - 2) / t**2)), rel=1e-9)


def test_as_many_samples_are_set_apart_as_the_level_says() -> None:
    """By drawing: of 40 000 samples of six normal values 5 % and 1 % reach beyond."""
    drawn = np.random.default_rng(20261201).normal(size=(40_000, 6))
    off = np.abs(drawn - drawn.mean(axis=1, keepdims=True)).max(axis=1) / drawn.std(axis=1, ddof=1)
    found = farthest([float(one) for one in drawn[0]])
    assert found is not None and found.g == pytest.approx(off[0], rel=1e-12)
    assert (off > found.five).mean() == pytest.approx(0.05, abs=0.004)
    assert (off > found.one).mean() == pytest.approx(0.01, abs=0.002)


def test_what_lies_within_one_step_of_the_display_agrees() -> None:
    """Of three with two alike the third lies at 2/√3, the farthest there is, whatever it reads."""
    bare = farthest([4.0, 4.0, 4.1])
    assert bare is not None and bare.level == 1 and bare.g == pytest.approx(2 / math.sqrt(3))
    assert farthest([4.0, 4.0, 4.1], 0.1) is None and farthest([4.1, 4.0, 4.0], 0.1) is None
    assert farthest([0.3, 0.2, 0.2], 0.1) is None, "0.3 - 0.2 is no tenth of a float"
    wider = farthest([4.0, 4.0, 4.2], 0.1)
    assert wider is not None and wider.at == 2


def test_the_handbook_example_comes_out() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1: G = 2.4687 (from memory)."""
    found = farthest([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    assert found is not None and (found.at, found.level) == (7, 1) and found.g == pytest.approx(2.4687, abs=1e-4)


@pytest.mark.parametrize("values", [[], [1.0], [1.0, 9.0], [5.0, 5.0, 5.0]])
def test_nothing_can_be_told_of_fewer_than_three_or_of_equal_values(values: list[float]) -> None:
    assert farthest(values) is None


def verdicts(tmp_path: Path, *values: str) -> dict[str, Verdict]:
    """Verdicts on flows at 100 mL/h, whose limit is ±5 mL/h; the instrument's own doubt is below 2 mL/h."""
    rows = "".join(f"{n},100,{value},2026-03-05 15:{n:02d} -06:00\n" for n, value in enumerate(values, 1))
    copy = Copy(tmp_path / "copy", extra={"readings/flow.csv": f"row,setting [mL/h],value [mL/h],at\n{rows}"})
    dossier = assess_case(copy.root, copy.root / CASE, ON).dossier
    assert dossier is not None
    return {one.subject: one for one in dossier.core.verdicts if one.subject.startswith("R-flow-") and one.limit
            and one.subject.count("-") == 2}  # fmt: skip


def test_a_wild_reading_beyond_its_limit_is_told_beside_its_verdict(tmp_path: Path) -> None:
    found = verdicts(tmp_path, "100.1", "100.2", "100.0", "100.1", "100.2", "140.0")
    wild = found["R-flow-6"]
    # What decides stays what it was: the spread of all six is in the doubt of each, and none is left out.
    assert wild.outcome is Outcome.CONDITIONAL_FAIL and wild.doubt is not None and wild.doubt > 30
    assert wild.why == (
        "R-flow-6 stands apart among 6 repeats (Grubbs' test: G = 2.041, beyond 1.973 at 1 %) and widens the doubt of "
        "each; by the instrument's doubt alone this would be fail"
    )
    # Its neighbours lose their plain pass by it, and say so too.
    assert found["R-flow-1"].outcome is Outcome.CONDITIONAL_PASS
    assert found["R-flow-1"].why.endswith("this would be pass") and "R-flow-6 stands apart" in found["R-flow-1"].why


def test_among_three_the_test_tells_only_the_wildest(tmp_path: Path) -> None:
    found = verdicts(tmp_path, "100.1", "100.2", "140.0")["R-flow-3"]
    assert found.outcome is Outcome.CONDITIONAL_FAIL and "R-flow-3 stands apart among 3 repeats" in found.why
    # One of three can lie no farther than 2/√3, and the bound is hardly below: both have the digits that part them.
    g, limit = re.findall(r"\d\.\d+", found.why.partition("Grubbs")[2])[:2]
    assert 1.15471 > float(g) > float(limit) > 1.15
    scattered = verdicts(tmp_path / "more", "100.0", "106.0", "115.0")["R-flow-3"]
    assert scattered.outcome is Outcome.CONDITIONAL_FAIL
    assert scattered.why == (
        "the spread of 3 repeats widens the doubt of each (Grubbs' test sets none apart: G = 1.06, 1.154 at 5 %); "
        "by the instrument's doubt alone this would be fail"
    )


def test_of_two_that_differ_no_test_can_tell(tmp_path: Path) -> None:
    found = verdicts(tmp_path, "100.0", "112.0")["R-flow-2"]
    assert found.outcome is Outcome.CONDITIONAL_FAIL and "of two no test can tell which is off" in found.why


def test_a_wild_reading_is_told_where_it_stands_though_its_verdict_is_the_same(tmp_path: Path) -> None:
    """102 among readings near 100 is within ±5 with the doubt of the spread and without it; by hand: its own doubt is
    2 √(((1.02 + 0.1)² + 0.05²) / 3) = 1.3 mL/h, and the mean of the others lies 1.9 mL/h below it."""
    found = verdicts(tmp_path, "100.1", "100.2", "100.0", "100.1", "100.2", "102.0")
    assert {one.outcome for one in found.values()} == {Outcome.PASS}
    assert found["R-flow-6"].why == (
        "R-flow-6 stands apart among 6 repeats (Grubbs' test: G = 2.032, beyond 1.973 at 1 %) and widens the doubt of "
        "each; its cause is to be looked for"
    )
    assert {one.why for ref, one in found.items() if ref != "R-flow-6"} == {""}
    # What the instrument's own doubt covers is none, though the test sets it apart.
    near = verdicts(tmp_path / "near", "100.1", "100.2", "100.0", "100.1", "100.2", "101.0")
    level = farthest([100.1, 100.2, 100.0, 100.1, 100.2, 101.0], 0.1)
    assert level is not None and level.level == 1 and {one.why for one in near.values()} == {""}


def test_no_reading_is_set_apart_for_one_step_of_the_display() -> None:
    """301 beside 300 and 300 with a display in whole mohm: by hand 2 · 0.5/√3 = 0.58 alone, and s = 0.58 with it."""
    exact = {**RANGE, "accuracy": {"percent": "0", "plus": "0 mohm"}}
    last = judged(["300", "300", "301"], {}, instrument=exact, rule="guard band").verdicts[-1]
    assert last.outcome is Outcome.CONDITIONAL_FAIL
    assert last.why == (
        "the spread of 3 repeats widens the doubt of each (they lie within one step of the display); by the "
        "instrument's doubt alone this would be fail"
    )


def test_reversed_current_that_stands_apart_is_told_by_its_size() -> None:
    """Held against *at most* by size; the test itself is made with the signs that were read."""
    current = {"quantity": "current", "unit": "uA", "units": ["mA"]}
    amps = {"from": "-1000 uA", "to": "1000 uA", "resolution": "1 uA", "accuracy": {"percent": "1", "plus": "1 uA"}}
    made = judged(
        ["-100", "-101", "-100", "-101", "-100", "-130"], {"quantity": "current", "bound": {"kind": "fixed",
        "value": "500 uA"}}, unit="uA", test={**TEST, **current}, instrument=amps,
    )  # fmt: skip
    told = {one.subject: one.why for one in made.verdicts if one.limit}
    assert told["R-x-6"].startswith("R-x-6 stands apart among 6 repeats") and told["R-x-1"] == ""


def test_nothing_is_said_where_the_spread_changes_no_verdict(tmp_path: Path) -> None:
    assert {one.why for one in verdicts(tmp_path, "111.9", "112.3", "112.0").values()} == {""}
    # A reading so near its limit that the instrument's doubt reaches over it is conditional by itself.
    assert {one.why for one in verdicts(tmp_path / "near", "104.6", "104.7", "104.6").values()} == {""}
