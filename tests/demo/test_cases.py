"""What the check says of the demonstration cases, line by line."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

import pytest
import yaml

from asfound.assess import Assessment, assess_case
from asfound.problems import Level
from tests.support import twins

ROOT = Path(__file__).parents[2]
ON = dt.date(2026, 3, 20)


@cache
def assessed(folder: str, root: str = "") -> Assessment:
    return assess_case(ROOT / root, ROOT / folder, ON)


def said(found: Assessment, level: Level) -> list[str]:
    """`file:line rule` of each problem of a level, the file as it stands in the case folder."""
    return [
        f"{problem.span.path.removeprefix(found.folder + '/')}:{problem.span.line} {problem.rule}"
        for problem in found.problems
        if problem.level is level
    ]


def expected(name: str) -> list[str]:
    return (ROOT / f"tests/cases/{name}.expected.txt").read_text(encoding="utf-8").splitlines()


def test_the_good_case_is_clean_and_owns_up_to_its_one_gap() -> None:
    found = assessed(twins.GOOD)
    assert said(found, Level.REJECT) == []
    # The pad and its pouch lay in the bin before anybody had charge of them; that cannot be mended, only told.
    assert said(found, Level.WARN) == ["custody.csv:2 custody-gap", "custody.csv:3 custody-gap"]
    assert {problem.rule for problem in found.problems if problem.level is Level.NOTE} <= {"limit-unconfirmed"}


def test_the_weak_twin_is_refused_at_each_of_its_faults_and_nowhere_else() -> None:
    found = assessed(twins.WEAK.folder)
    assert said(found, Level.REJECT) == expected("weak-return-pad")
    assert said(found, Level.WARN) == said(assessed(twins.GOOD), Level.WARN)


def test_four_faults_of_four_kinds_are_reported_in_one_run() -> None:
    found = assessed("tests/cases/four-faults/cases/four-faults", twins.FOUR.folder)
    assert said(found, Level.REJECT) == expected("four-faults")


def test_the_first_hour_is_a_list_of_what_is_still_needed() -> None:
    found = assessed("tests/cases/hour-one")
    assert said(found, Level.REJECT) == []
    assert said(found, Level.WARN) == []
    assert said(found, Level.NEEDED) == expected("hour-one")


@pytest.mark.parametrize("twin", twins.TWINS, ids=lambda twin: twin.folder.rpartition("/")[2])
def test_the_twins_differ_from_the_good_case_by_their_edits_alone(twin: twins.Twin) -> None:
    home = ROOT / twin.folder
    on_disk = {path.relative_to(home).as_posix(): path.read_bytes() for path in home.rglob("*") if path.is_file()}
    wanted = twins.made(ROOT, twin)
    assert sorted(on_disk) == sorted(wanted)
    assert [name for name, data in wanted.items() if on_disk[name] != data] == []


def test_an_edit_that_no_longer_finds_its_text_is_an_error() -> None:
    stale = twins.Twin("nowhere", (), (("case.yml", "text that stands nowhere", ""),))
    with pytest.raises(ValueError, match="0 times"):
        twins.made(ROOT, stale)


def test_every_limit_a_maker_states_speaks_to_a_reading_of_the_demonstration() -> None:
    """A test that was given another name leaves a limit behind that decides nothing, and no rule misses it."""
    spoken = set()
    stated = set()
    for case in sorted(one.parent for one in (ROOT / "cases").glob("*/case.yml")):
        found = assessed(f"cases/{case.name}").dossier
        assert found is not None
        spoken |= {(one.limit.set, one.limit.name) for one in found.core.verdicts if one.limit is not None}
    for file in sorted((ROOT / ".asfound/limits").glob("*.yml")):
        read = yaml.safe_load(file.read_text(encoding="utf-8"))
        stated |= {(read["set"], name) for name in read["limits"]}
    assert len(stated) > 10
    assert stated - spoken == set()


def test_the_cut_out_of_the_warmer_is_held_against_what_its_maker_states() -> None:
    """At most 53 °C by the invented handbook; 52.1 °C ± 0.21 °C lies below with the whole doubt as a guard band
    (JCGM 106:2012, 8.3; from memory)."""
    found = assessed("cases/warmer-calf").dossier
    assert found is not None
    of = {one.subject: (str(one.outcome), one.upper) for one in found.core.verdicts}
    assert {of[f"R-cut-out-{row}"] for row in (1, 2, 3)} == {("pass", 53)}
