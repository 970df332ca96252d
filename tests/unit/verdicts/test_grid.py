"""The required rows of a planned test. What is asked first and how often: common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from asfound.intake.csv_rows import read_csv
from asfound.intake.readings import read_readings
from asfound.model import limits
from asfound.model.case import Case
from asfound.model.grid import Grid
from asfound.model.things import Item
from asfound.model.verdict import CellState
from asfound.model.work import Plan, PreparedSheet, Sheet
from asfound.verdicts.coverage import cover
from asfound.verdicts.grid import grid, grids
from tests.unit.verdicts.bench import HEAD, TEST, TIMES

POWER = limits.Test.model_validate(
    {
        **TEST, "quantity": "power", "unit": "W",
        "conditions": {
            "port": {"title": "Port"}, "setting": {"title": "Setting", "unit": "W"},
            "load": {"title": "Load", "unit": "Ω"}, "leads": {"title": "Leads", "required": "no"},
        },
    }
)  # fmt: skip
ASKED = {"port": ["1", "2"], "setting": ["20 W", "0.09 kW"]}
USED = {"port": "2", "setting": "90 W"}


def case_of(
    sheets: Mapping[str, str], planned: Mapping[str, Any], *, prepared: Sequence[str] = (), **sheet: Any
) -> Case:
    """A case with one planned test `t`, its sheets read from the text of their files."""
    plan = Plan.model_validate(
        {
            "written_at": "2026-03-10 08:00 +00:00", "written_by": "examiner", "protocols": ["p"],
            "limit_sets": ["s"], "decision_rule": "simple acceptance",
            "tests": {"t": {"item": "I-1", "why": "to see", **planned}},
        }
    )  # fmt: skip
    read = {}
    for name, text in sheets.items():
        rows = read_readings(read_csv(f"readings/{name}.csv", text.encode()), name)
        assert rows.sheet is not None and not rows.problems, rows.problems
        read[f"S-{name}"] = rows.sheet
    base = {"test": "t", "item": "I-1", "instrument": "M-1", "function": "f", "by": "examiner", **TIMES, **sheet}
    thing = {"what": "a thing", "role": "main device", "in_use_at_event": "yes", "impounded": "yes"}
    return Case(
        folder="cases/bench", head=HEAD, items={"I-1": Item.model_validate(thing)}, plan=plan,
        sheets={f"S-{name}": Sheet.model_validate(base) for name in sheets if name not in prepared},
        prepared={f"S-{name}": PreparedSheet.model_validate({"test": "t", "item": "I-1"}) for name in prepared},
        readings=read,
    )  # fmt: skip


def told(found: Grid) -> list[tuple[str, str, str, str]]:
    """Cells of each row, and what fills it."""
    return [
        (" ".join(text or "-" for _, text in row.cells), str(row.repeat), row.reading, row.waiting)
        for row in found.rows
    ]


def test_rows_are_the_product_of_the_plan_with_those_of_the_event_first() -> None:
    found = grid(case_of({}, {"coverage": ASKED, "as_used": USED}), "t", POWER)
    assert [row.number for row in found.rows] == [1, 2, 3, 4]
    assert told(found) == [
        ("2 90 -", "1", "", ""), ("1 20 -", "1", "", ""), ("1 90 -", "1", "", ""), ("2 20 -", "1", "", ""),
    ]  # fmt: skip
    assert [row.as_used for row in found.rows] == [True, False, False, False]
    assert [column.head for column in found.columns] == ["port", "setting [W]", "load [Ω]"]
    assert (found.value_head, found.missing) == ("value [W]", found.rows)
    wanted = {tuple(zip(ASKED, values, strict=True)) for values in product(*ASKED.values())}
    assert {row.conditions for row in found.rows} == wanted


def test_a_row_is_filled_by_the_reading_under_its_conditions_whatever_its_unit() -> None:
    sheet = "row,port,setting [mW],value [W]\n1,2,90000,88\n2,1,20000,\n3,1,20000,20.1\n4,3,90000,1\n"
    found = grid(case_of({"a": sheet}, {"coverage": ASKED, "as_used": USED}, constants={"load": "400 Ω"}), "t", POWER)
    assert told(found) == [
        ("2 90", "1", "R-a-1", ""), ("1 20", "1", "R-a-3", ""), ("1 90", "1", "", ""), ("2 20", "1", "", ""),
    ]  # fmt: skip
    assert found.superfluous == ("R-a-4", "R-a-2")
    assert [column.name for column in found.columns] == ["port", "setting"]


def test_an_empty_row_is_laid_ready_and_no_reading() -> None:
    case = case_of({"a": "row,port,setting [W],value [W]\n1,2,90,\n2,1,20,\n"}, {"coverage": ASKED, "as_used": USED})
    assert case.reading == {} and list(case.waiting) == ["R-a-1", "R-a-2"]
    assert not case.exists("R-a-1") and case.standing("S-a") == ()
    found = grid(case, "t", POWER)
    assert [row.waiting for row in found.rows] == ["R-a-1", "R-a-2", "", ""]
    assert len(found.missing) == 4 and [row.number for row in found.unprepared] == [3, 4]
    assert found.superfluous == ()
    covered = cover(case, "t", POWER, {})
    assert covered is not None and covered.count(CellState.MISSING) == 4


def test_a_prepared_sheet_belongs_to_its_test() -> None:
    found = grid(
        case_of({"a": "row,port,setting [W],value [W]\n1,2,90,\n"}, {"coverage": ASKED}, prepared=["a"]), "t", POWER
    )
    assert found.sheets == ("S-a",) and [row.waiting for row in found.rows] == ["", "", "", "R-a-1"]


def test_repeats_are_asked_where_a_conclusion_may_rest() -> None:
    asked = {"coverage": ASKED, "as_used": USED, "separates": ["X-1"]}
    sheet = "row,port,setting [W],value [W]\n1,2,90,88\n2,2,90,\n"
    found = grid(case_of({"a": sheet}, asked), "t", POWER, repeats=3)
    assert [(row.repeat, row.reading, row.waiting) for row in found.rows[:3]] == [
        (1, "R-a-1", ""), (2, "", "R-a-2"), (3, "", ""),
    ]  # fmt: skip
    assert len(found.rows) == 6
    assert len(grid(case_of({"a": sheet}, {**asked, "separates": []}), "t", POWER, repeats=3).rows) == 4
    yes_no = POWER.model_copy(update={"answer": "yes or no"})
    assert len(grid(case_of({}, asked), "t", yes_no, repeats=3).rows) == 4


def test_a_count_of_trials_holds_its_repeats() -> None:
    sheet = "row,value\n1,3 of 10\n"
    found = grid(case_of({"a": sheet}, {"separates": ["X-1"]}), "t", POWER, repeats=3)
    assert told(found) == [("- - -", "1", "R-a-1", "")] and found.missing == ()


def test_a_test_without_combinations_is_filled_by_any_reading_of_it() -> None:
    planned = {"as_used": {"load": "0.4 kΩ"}}
    found = grid(case_of({"a": "row,load [Ω],value [W]\n1,300,5\n"}, planned), "t", POWER)
    assert [dict(row.cells)["load"] for row in found.rows] == ["400"] and found.missing == ()
    assert found.superfluous == ()


def test_conditions_of_the_event_beside_the_coverage_are_asked_first_and_do_not_count_as_coverage() -> None:
    planned = {"coverage": ASKED, "as_used": {"port": "2", "setting": "85 W"}}
    case = case_of({"a": "row,port,setting [W],value [W]\n1,2,85,84\n"}, planned)
    found = grid(case, "t", POWER)
    assert told(found)[0] == ("2 85 -", "1", "R-a-1", "") and len(found.rows) == 5 and found.superfluous == ()
    covered = cover(case, "t", POWER, {})
    assert covered is not None and len(covered.cells) == 4


def test_what_could_not_be_had_is_not_missing() -> None:
    planned = {"coverage": ASKED, "not_obtainable": {"port=2, setting=0.02 kW": "sealed"}}
    sheet = "row,port,setting [W],value [W]\n1,1,20,not obtainable: burnt out\n2,1,90,not measured: no time\n"
    found = grid(case_of({"a": sheet}, planned), "t", POWER)
    assert [(row.obtainable, row.why) for row in found.rows] == [
        (False, "burnt out"), (True, "no time"), (False, "sealed"), (True, ""),
    ]  # fmt: skip
    assert [row.number for row in found.missing] == [2, 4]


def test_a_test_not_done_has_nothing_missing() -> None:
    found = grid(case_of({}, {"coverage": ASKED, "not_done": "its maker asked"}), "t", POWER)
    assert found.not_done == "its maker asked" and found.missing == () and len(found.rows) == 4


def test_a_struck_row_fills_nothing_and_is_nothing_superfluous() -> None:
    sheet = "row,port,setting [W],value [W],void\n1,1,20,55,wrong range\n2,9,20,,never taken\n"
    case = case_of({"a": sheet}, {"coverage": ASKED})
    found = grid(case, "t", POWER)
    assert len(found.missing) == 4 and found.superfluous == () and case.waiting == {}


def test_words_under_a_unit_stay_words_and_units_are_taken_from_the_plan_where_the_protocol_has_none() -> None:
    planned = {"coverage": {"setting": ["20 W", "as far as it goes"], "bath": ["36.00 °C", "34 °C"]}}
    found = grid(case_of({}, planned), "t", POWER)
    assert [column.head for column in found.columns] == ["setting [W]", "bath [°C]", "port", "load [Ω]"]
    assert [row.cells[:2] for row in found.rows][1:3] == [
        (("setting", "20"), ("bath", "34")), (("setting", "as far as it goes"), ("bath", "36.00")),
    ]  # fmt: skip


def test_an_unknown_test_and_a_case_without_a_plan() -> None:
    case = case_of({}, {"coverage": ASKED})
    assert grid(case, "t", None).title == "t" and len(grids(case, {})["t"].rows) == 4
    assert grids(Case(folder="c", head=HEAD), {}) == {}
