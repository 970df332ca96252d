"""A wild reading among repeats widens the doubt of all: none is dropped, the verdict stands, and the reader is told."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.measure.apart import farthest
from asfound.model.outcome import Outcome
from asfound.model.verdict import Verdict
from tests.rules.support import CASE, ON, Copy

TABLE = {3: (1.155, 1.155), 4: (1.481, 1.496), 5: (1.715, 1.764), 6: (1.887, 1.973), 7: (2.020, 2.139),
         8: (2.126, 2.274), 9: (2.215, 2.387), 10: (2.290, 2.482), 12: (2.412, 2.636), 14: (2.507, 2.755)}  # fmt: skip
"""Critical values at 5 % and 1 %, as ISO 5725-2:1994, table 5, has them for one outlying value (secondary: a chemistry
library's table of critical values of the test, whose 2.202 for seven is 2.020 with figures exchanged)."""


@pytest.mark.parametrize("count", sorted(TABLE))
def test_critical_values_are_those_of_the_printed_table(count: int) -> None:
    found = farthest([float(number) for number in range(count)])
    assert found is not None
    assert (found.five, found.one) == pytest.approx(TABLE[count], abs=0.0011)


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


def test_nothing_is_said_where_the_spread_changes_no_verdict(tmp_path: Path) -> None:
    assert {one.why for one in verdicts(tmp_path, "111.9", "112.3", "112.0").values()} == {""}
    # A reading so near its limit that the instrument's doubt reaches over it is conditional by itself.
    assert {one.why for one in verdicts(tmp_path / "near", "104.6", "104.7", "104.6").values()} == {""}
