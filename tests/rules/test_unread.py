"""What a rule says where part of what it asks could not be read: nothing of that part, and all of the rest."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from asfound.assess import assess_cases, find_cases
from asfound.problems import Level
from tests.rules.support import BASE, CASE, ON, Copy, Edit, assert_fires, assert_silent, run_with

FLOW: Edit = ("readings/flow.csv", "value [mL/h]", "vlaue [mL/h]")
AGAIN: Edit = ("readings/flow-again.csv", "value [mL/h]", "vlaue [mL/h]")
EARTH: Edit = ("readings/earth.csv", "value [mohm]", "vlaue [mohm]")
BOLD: Edit = ("conclusion.yml", "level: probable", "level: established")


def rejected(edits: Sequence[Edit]) -> list[str]:
    return [one.headline() for one in run_with(edits) if one.level is Level.REJECT]


@pytest.mark.parametrize("sheet", [FLOW, AGAIN, EARTH])
def test_a_case_with_a_broken_sheet_is_refused_for_it_and_for_nothing_else(sheet: Edit) -> None:
    found = rejected([sheet])
    assert len(found) == 1 and f"{sheet[0]}:1 " in found[0] and "column-missing" in found[0]


def test_no_exception_lifts_what_hinders_the_reading() -> None:
    lifted = (
        "Q-1:\n  rule: column-missing\n  at: 2026-03-07 09:00 -06:00\n  by: examiner\n"
        "  why: the file came so\n  effect: none on the conclusion\n"
    )
    found = run_with([FLOW], extra={"exceptions.yml": lifted})
    assert [one.level for one in found if one.rule == "column-missing"] == [Level.REJECT]


def test_what_does_not_hang_on_it_is_judged_as_ever() -> None:
    """The level rests on the flow, not on the earth; the third explanation on nothing."""
    assert_fires("level-above-ceiling", [BOLD, EARTH], at=("conclusion.yml", "level: established"))
    assert_silent("level-above-ceiling", [BOLD, FLOW])
    down = (
        "explanations.yml",
        "status: not tested\n  not_tested: the ward's",
        "status: weakened\n  not_tested: the ward's",
    )
    assert_fires("status-above-evidence", [down, FLOW], at=("explanations.yml", "status: weakened"))
    up = (
        "explanations.yml",
        "status: not tested\n  not_tested: the ward's",
        "status: supported\n  not_tested: the ward's",
    )
    assert_fires("supported-by-elimination", [up, FLOW], at=("explanations.yml", "X-3: > status"))


def test_a_level_is_still_capped_by_what_has_nothing_to_do_with_the_sheet() -> None:
    """Nobody but the examiner looked at it: no sheet, however it reads, bears more than *probable*."""
    alone = ("case.yml", "\nreviewer: reviewer\n", "\n")
    found = [one.rule for one in run_with([BOLD, FLOW, alone])]
    assert "level-above-ceiling" in found


def test_one_row_that_cannot_be_read_leaves_the_count_of_repeats_open() -> None:
    bad = ("readings/flow.csv", "4,100,111.9", "4,100,11..9")
    assert_silent("few-repeats", [bad])
    assert_silent("status-above-evidence", [bad])
    assert_silent("surprise-not-repeated", [AGAIN])


REGISTER = ".asfound/instruments.yml"


@pytest.mark.parametrize(
    ("edit", "rules"),
    [
        ((REGISTER, "M-1:\n  what: ", "M-1:\n  waht: "), {"field-missing", "field-unknown"}),
        ((REGISTER, "M-1:\n", "zz: [\nM-1:\n"), {"yaml-syntax"}),
    ],
    ids=["one instrument", "the whole register"],
)
def test_an_instrument_that_cannot_be_read_is_refused_for_itself_alone(edit: Edit, rules: set[str]) -> None:
    found = [one for one in run_with([edit]) if one.level in {Level.REJECT, Level.WARN}]
    said = "\n".join(one.headline() for one in found)
    assert {one.rule for one in found} == rules and all(one.span.path == REGISTER for one in found), said
    assert Level.REJECT in {one.level for one in found}, said
    # One that nobody entered is missed as ever.
    by = "instrument: M-1\n  function: earth resistance"
    assert_fires("instrument-unknown", [("sheets.yml", by, by.replace("M-1", "M-77"))], at=("sheets.yml", "M-77"))


def test_no_site_is_built_and_no_case_is_free_while_the_register_cannot_be_read(tmp_path: Path) -> None:
    copy = Copy(tmp_path, [(REGISTER, "M-1:\n", "zz: [\nM-1:\n")])
    found = assess_cases(copy.root, find_cases(copy.root, "cases"), ON, history=False)
    rejects = [problem.rule for one in found for problem in one.problems if problem.level is Level.REJECT]
    assert rejects == ["yaml-syntax"]


FILES = sorted(
    path.name for path in (BASE / CASE).iterdir() if path.suffix in {".yml", ".csv"} and path.name != "case.yml"
)


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_cannot_be_read_is_refused_for_that_alone(name: str) -> None:
    """A bracket left open before the first line of a YAML file; before a table a byte that is no UTF-8."""
    whole = (BASE / CASE / name).read_bytes()
    broken = b"\xff" + whole if name.endswith(".csv") else b"zz: [\n" + whole
    found = [one for one in run_with(extra={name: broken}) if one.level in {Level.REJECT, Level.WARN}]
    said = "\n".join(one.headline() for one in found)
    assert [one.span.path for one in found] == [f"{CASE}/{name}"] and found[0].level is Level.REJECT, said
