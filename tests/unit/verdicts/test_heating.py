"""The doubt of a heating factor, and the verdict that rests on it.

Law of propagation: GUM (JCGM 100:2008), 5.1.2, and 5.2.2, note 1, for what one instrument adds to all its readings
(from memory). Held against a simulation as in its supplement 1 (JCGM 101:2008; from memory), which knows no derivative.
"""

from __future__ import annotations

import datetime as dt
import math
import random
import shutil
import statistics
from pathlib import Path

import pytest
from msgspec import structs
from scipy import stats
from scipy.optimize import brentq

from asfound.assess import assess_case
from asfound.assess.repository import open_repository
from asfound.measure.units import convert, unit
from asfound.model.dossier import Core
from asfound.model.verdict import Outcome, Result
from asfound.verdicts.context import same
from asfound.verdicts.elsewhere import doubt_elsewhere
from asfound.verdicts.measured import prepare

from .bench import judged

ROOT = Path(__file__).parents[3]
CASE = "return-pad-lesion"
RESULT = "Y-log-heating-factor"


def core(root: Path) -> Core:
    found = assess_case(root, root / "cases" / CASE, dt.date(2026, 5, 30)).dossier
    assert found is not None
    return found.core


def result(of: Core, name: str) -> Result:
    return next(one for one in of.results if one.id == name)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for name in (".asfound", f"cases/{CASE}"):
        shutil.copytree(ROOT / name, tmp_path / name)
    return tmp_path


def edit(root: Path, name: str, old: str, new: str) -> None:
    path = root / "cases" / CASE / "readings" / name
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def doubt(of: Core, ref: str) -> tuple[float, float]:
    """The standard doubt of a reading, and its coverage factor."""
    return max((one.doubt / one.k, one.k) for one in of.verdicts if one.subject == ref and one.doubt and one.k)


def test_the_doubt_of_a_heating_factor_is_that_of_its_current_and_its_times() -> None:
    found = core(ROOT)
    rows = {one.id: one for one in found.case.readings["S-log"].rows}
    of = result(found, RESULT)
    times = [float(rows[ref].value.number or 0) for ref in of.of]
    current, k = max(doubt(found, f"R-current-{row}") for row in (1, 2, 3))
    time, _ = doubt(found, of.of[0])
    drawn, luck = [], random.Random(1)
    for _ in range(40_000):
        ampere, longer = luck.gauss(1.15, current), luck.gauss(0.0, time)
        drawn.append(sum(ampere**2 * (one + longer) for one in times))
    assert of.doubt is not None and of.k is not None and of.dof is not None
    assert of.doubt / of.k == pytest.approx(statistics.stdev(drawn), rel=0.02)
    # Welch and Satterthwaite (JCGM 100:2008, G.2b): the current, of few repeats, is limited, the time is not.
    free = brentq(lambda dof: stats.t.ppf(0.97725, dof) - k, 10, 1e6)
    part = (2 * 1.15 * sum(times) * current) ** 2
    whole = part + (1.15**2 * len(times) * time) ** 2
    assert of.dof == pytest.approx((whole / part) ** 2 * free, rel=0.02)
    assert of.k == pytest.approx(stats.t.ppf(0.97725, math.floor(of.dof)), rel=1e-5)
    assert of.doubt == pytest.approx(10.49, abs=0.02)
    assert "126 A²·s ± 10 A²·s" in of.text.replace("\u00a0", " ")
    # What a calculation of the case works out of the same rows by moving them has the same doubt.
    worked = result(found, "Y-heat-largest")
    assert (worked.doubt, worked.k) == pytest.approx((of.doubt, of.k), rel=1e-5)
    assert worked.dof == pytest.approx(of.dof, rel=1e-4)


def test_it_is_judged_by_the_rule_of_the_plan(root: Path) -> None:
    """By 22 s of the longest run the factor is 31.7 ± 3.3: above 30 by less than its doubt."""
    for row, was, now in ((21, 22, 5), (22, 18, 4), (23, 25, 6), (24, 12, 4), (25, 18, 5)):
        start = next(line for line in _lines(root) if line.startswith(f"{row},"))
        assert start.endswith(f",{was}")
        edit(root, "log.csv", start + "\n", start[: -len(str(was))] + f"{now}\n")
    found = core(root)
    of = result(found, RESULT)
    assert of.value is not None and of.doubt is not None
    assert 30 < float(of.value) < 30 + of.doubt
    spoken = next(one for one in found.verdicts if one.subject == RESULT)
    assert (spoken.outcome, spoken.rule, spoken.doubt) == (Outcome.CONDITIONAL_FAIL, "guard band", of.doubt)
    assert spoken.chance is not None and 0 < spoken.chance < 0.5


def test_without_a_reading_of_that_current_no_doubt_is_made_up(root: Path) -> None:
    """At another setting nothing measured the current: the factor stands, and says what is lacking."""
    path = root / "cases" / CASE / "readings" / "current.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("coagulation,90,", "coagulation,85,"), encoding="utf-8")
    found = core(root)
    of = result(found, RESULT)
    assert of.doubt is None and of.outcome is Outcome.FAIL
    assert of.text.endswith("; its doubt is not known, since that of the current is not on record.")
    # A calculation of the same rows carries what is known, that of the times, and says that it is not the whole; the
    # time of a beginning has no doubt on record either, and none of the sums hangs on when it all began.
    assert "The doubt of current is not on record, and is not in this figure." in result(found, "Y-heat-largest").text
    assert "The doubt of" not in result(core(ROOT), "Y-heat-largest").text.replace("The doubt of what went in", "")


@pytest.mark.parametrize("text", [">18", "<18", "over range"])
def test_an_activation_without_a_number_for_its_time_leaves_the_factor_open(root: Path, text: str) -> None:
    """More than 18 s may be a minute: a sum with 18, or without it, would be too small and could pass."""
    start = next(line for line in _lines(root) if line.startswith("22,"))
    edit(root, "log.csv", start + "\n", start.removesuffix("18") + text + "\n")
    of = result(core(root), RESULT)
    assert (of.value, of.outcome) == (None, Outcome.NOT_ASSESSABLE)
    assert f'R-log-22 reads "{text}"' in of.text and "R-log-22" in of.of


def test_an_activation_without_a_current_is_not_left_out_of_its_cluster(root: Path) -> None:
    start = next(line for line in _lines(root) if line.startswith("22,"))
    edit(root, "log.csv", start, start.replace(",1.15,", ",,"))
    of = result(core(root), RESULT)
    assert of.value is None and "of R-log-22 no current is on record" in of.text
    alone = next(line for line in _lines(root) if line.startswith("1,"))
    edit(root, "log.csv", start.replace(",1.15,", ",,"), start)
    lines = [line.replace(",0.81,", ",,") if line.split(",")[1] == "1" else line for line in _lines(root)]
    assert alone not in lines
    (root / "cases" / CASE / "readings" / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    of = result(core(root), RESULT)
    assert of.outcome is Outcome.FAIL and of.text.endswith(
        "; of 1 no current is on record, and no heating factor is worked out."
    )


def test_a_current_that_was_not_measured_so_takes_no_doubt_from_elsewhere(root: Path) -> None:
    """1.15 A stands in the log; readings of 1.55 A are not where it comes from."""
    path = root / "cases" / CASE / "readings" / "current.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",1.1", ",1.5"), encoding="utf-8")
    assert result(core(root), RESULT).doubt is None


@pytest.mark.parametrize("item", ["I-5", "I-10"])
def test_a_current_measured_on_another_thing_lends_no_doubt(root: Path, item: str) -> None:
    """An exemplar that delivers 1.15 A says nothing of the device whose log says so."""
    assert result(core(root), RESULT).doubt is not None
    place = root / "cases" / CASE / "sheets.yml"
    text = place.read_text(encoding="utf-8")
    was = "S-current:\n  test: output-current\n  item: I-1\n"
    assert text.count(was) == 1
    place.write_text(text.replace(was, was.replace("I-1", item)), encoding="utf-8")
    of = result(core(root), RESULT)
    assert of.doubt is None and of.text.endswith("since that of the current is not on record.")


@pytest.mark.parametrize("text", ["<1.15", ">1.15", "over range"])
def test_a_current_known_on_one_side_only_lends_no_doubt(root: Path, text: str) -> None:
    """`<1.15` may be anything below: it is no measurement of 1.15 A."""
    place = root / "cases" / CASE / "readings" / "current.csv"
    head, *lines = place.read_text(encoding="utf-8").splitlines()
    at = head.split(",").index("value [A]")
    cells = [line.split(",") for line in lines]
    open_ = [",".join([*row[:at], text, *row[at + 1 :]]) for row in cells]
    place.write_text("\n".join([head, *open_]) + "\n", encoding="utf-8")
    assert result(core(root), RESULT).doubt is None


def test_a_doubt_from_elsewhere_is_that_of_asking_every_reading(root: Path) -> None:
    """The plain road, reading by reading: the largest doubt of those under no conditions but such as the row states."""
    place = root / "cases" / CASE / "readings" / "current.csv"
    lines = place.read_text(encoding="utf-8").splitlines()
    more = [f"{row},{line.partition(',')[2]}" for row, line in enumerate([*lines[1:], *lines[1:]], len(lines))]
    more[::2] = [line.replace("1.1", "1.10", 1).replace("0.8", "0.79", 1) for line in more[::2]]
    place.write_text("\n".join([*lines, *more]) + "\n", encoding="utf-8")
    shared = open_repository(root)
    found = core(root)
    tests = {name: test for protocol in found.protocols.values() for name, test in protocol.tests.items()}
    sheets = {
        name: work
        for name in found.case.sheets
        if (work := prepare(name, found.case, tests, shared.bench.instruments)) is not None
    }
    assert sum(len(group) for group in sheets["S-current"].alike) < len(sheets["S-current"].measured)
    ampere = unit("A")
    assert ampere is not None
    log, known = sheets["S-log"], 0
    for one in log.measured:
        stated = log.setting.amount(one.reading, "current", ampere)
        doubts = []
        for other in sheets.values():
            if other is log or other.sheet.item != log.sheet.item or other.to.quantity is not ampere.quantity:
                continue
            for taken in other.measured:
                given = {name: text for name, text in taken.reading.conditions.items() if text}
                if taken.y is None or not taken.U or not given:
                    continue
                wide = taken.U * float(other.to.factor / ampere.factor)
                off = abs(float(convert(taken.y, other.to, ampere) - stated))
                if off <= wide and all(
                    same(log.setting.spoken(one.reading, name), other.setting.spoken(taken.reading, name) or "")
                    for name in given
                ):
                    doubts.append((wide / taken.k, wide, other.sheet.instrument))
        want = max(doubts, default=None)
        got = doubt_elsewhere(log, sheets, one, "current", ampere)
        assert (got is None) == (want is None)
        if got is not None and want is not None:
            assert (got.U, got.instrument) == (pytest.approx(want[1], rel=1e-12), want[2])
            known += 1
    assert known > 10


def test_a_doubt_from_elsewhere_is_the_largest_standard_one(root: Path) -> None:
    """JCGM 100:2008, 4.3.3 and 5.1.2: 0.05 A at k = 13.97, of two repeats, is less doubt than 0.02 A at k = 2; so it is
    the second that goes into a sum, and neither order of the sheets changes that."""
    shared = open_repository(root)
    found = core(root)
    tests = {name: test for protocol in found.protocols.values() for name, test in protocol.tests.items()}
    log, fine = (prepare(name, found.case, tests, shared.bench.instruments) for name in ("S-log", "S-current"))
    ampere = unit("A")
    assert log is not None and fine is not None and ampere is not None
    few, many = (
        (fine.measured[0]._replace(U=U, k=k, dof=dof),) for U, k, dof in ((0.05, 13.97, 1.0), (0.02, 2.0, 1e9))
    )
    sheets = {"few": structs.replace(fine, alike=(few,)), "many": structs.replace(fine, alike=(many,))}
    one = next(one for one in log.measured if log.setting.amount(one.reading, "current", ampere) == few[0].y)
    for order in (("few", "many"), ("many", "few")):
        got = doubt_elsewhere(log, {name: sheets[name] for name in order}, one, "current", ampere)
        assert got is not None and (got.U, got.k, got.twice) == (0.02, 2.0, 0.02)


def _lines(root: Path) -> list[str]:
    return (root / "cases" / CASE / "readings" / "log.csv").read_text(encoding="utf-8").splitlines()


def test_the_largest_cluster_by_hand() -> None:
    """2 A for 5 s and 1 A for 2 s are 22 A²s in 7 s; 1 A for 13 s is 13: the longer one is not the larger."""
    rows = [("10", {"cluster": "b", "current": "1"}), ("5", {"cluster": "a", "current": "2"}),
            ("3", {"cluster": "b", "current": "1"}), ("2", {"cluster": "a", "current": "1 A"}),
            ("not measured: late", {"cluster": "a", "current": "9"}),
            ("1", {"cluster": "c", "current": "1"})]  # fmt: skip
    timed = {"quantity": "time", "unit": "s", "results": ["heating factor"]}
    limit = {"result": "heating factor", "quantity": "heating factor"}
    for bound, outcome in (("22 A2s", "pass"), ("21 A2s", "fail")):
        made = judged(rows, {**limit, "bound": {"kind": "fixed", "value": bound}}, unit="s", test=timed,
                      units={"current": "A"})  # fmt: skip
        [one] = made.results
        assert (one.value, one.unit, one.doubt, str(one.outcome)) == (22, "A2s", None, outcome)
        assert one.of == ("R-x-2", "R-x-4")
    assert (
        "heating factor, a, put 22\u00a0A²·s through the pad, in 7\u00a0s of activation; its doubt is not" in one.text
    )
    assert [(name, said.replace("\u00a0", " ")) for name, said in one.numbers] == [
        ("cluster a", "22 A²·s"), ("cluster b", "13 A²·s"), ("cluster c", "1 A²·s"),
    ]  # fmt: skip
    without = judged([("5", {"cluster": "a"})], unit="s", test=timed)
    assert without.results == (), "without a current there is no heating factor, and none is made up"
