"""Rules about the plan, on the base case."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import BASE, CASE, assert_fires, assert_silent, run_with

NOT_DONE = ("plan.yml", "why: Safety before power.", "why: Safety before power.\n    not_done: the tester was away")
TESTS = "tests:\n  pump-earth:"


def test_plan_missing() -> None:
    assert_fires("plan-missing", delete=["plan.yml"], at=("plan.yml", None), says="4 sheets of readings")
    # A plan that stands and cannot be read has its own problem where it is wrong.
    assert_silent("plan-missing", [("plan.yml", "decision_rule: guard band", "decision_rule: guard bandd")])


def test_protocol_unknown() -> None:
    assert_fires(
        "protocol-unknown",
        [("plan.yml", "[base-pump]", "[base-pumb]")],
        at=("plan.yml", "protocols:"),
        column=13,
        says='perhaps meant as "base-pump"',
    )
    assert_silent("protocol-unknown", [("plan.yml", "[base-pump]", "[base-pump, generic]")])


def test_limit_set_unknown() -> None:
    assert_fires(
        "limit-set-unknown",
        [("plan.yml", "[base-limits]", "[base-limits, base-limit]")],
        at=("plan.yml", "limit_sets:"),
        column=27,
        says='"base-limit"',
    )
    assert_fires(
        "limit-set-unknown",
        [("plan.yml", "why: Safety before power.", "why: Safety before power.\n    limits: [erth]")],
        at=("plan.yml", "limits: [erth]"),
        says='perhaps meant as "earth"',
    )
    assert_silent(
        "limit-set-unknown",
        [("plan.yml", "why: Safety before power.", "why: Safety before power.\n    limits: [earth]")],
    )


def test_planned_test_unknown() -> None:
    assert_fires(
        "planned-test-unknown",
        [("plan.yml", "  pump-earth:", "  pump-erth:")],
        at=("plan.yml", "pump-erth:"),
        says='perhaps meant as "pump-earth"',
    )
    assert_silent(
        "planned-test-unknown",
        [("plan.yml", TESTS, "tests:\n  pump-earth--again: {item: I-1, why: More., not_done: no time}\n  pump-earth:")],
    )


SECOND = """\
protocol: house-pump
title: Tests of the house
device_kinds: [infusion-pump-volumetric]
order: [{name}]
topics: {{other: {{title: Other}}}}
tests:
  {name}:
    title: Another
    quantity: resistance
    unit: mohm
    purpose: To see.
    energised: no
    connects: nothing
    alters: none
    functional: no
    reaches: [other]
"""


def test_test_in_two_protocols() -> None:
    both = [("plan.yml", "[base-pump]", "[base-pump, house-pump]")]
    file = "../../.asfound/protocols/house-pump.yml"
    assert_fires(
        "test-in-two-protocols",
        both,
        extra={file: SECOND.format(name="pump-earth")},
        at=("plan.yml", "  pump-earth:"),
        says='"pump-earth" stands in the protocols base-pump and house-pump',
    )
    assert_silent("test-in-two-protocols", both, extra={file: SECOND.format(name="house-earth")})
    # One that the plan makes no use of has no meaning to lose.
    assert_silent("test-in-two-protocols", [], extra={file: SECOND.format(name="pump-earth")})


def test_planned_test_not_done() -> None:
    assert_fires(
        "planned-test-not-done",
        delete=["readings/earth.csv"],
        at=("plan.yml", "pump-earth:"),
        says="has a sheet and no file of readings",
    )
    assert_fires(
        "planned-test-not-done",
        extra={"readings/earth.csv": "row,point,value [mohm],void\n1,case screw,142,lead loose\n"},
        at=("plan.yml", "pump-earth:"),
        says="no reading that stands",
    )
    assert_fires(
        "planned-test-not-done",
        [("plan.yml", TESTS, "tests:\n  pump-earth--again: {item: I-1, why: More.}\n  pump-earth:")],
        at=("plan.yml", "pump-earth--again:"),
        says="has no sheet",
    )
    # A first value was typed and the sheet's entry lacks what goes with it: that is told there.
    again = [("plan.yml", TESTS, "tests:\n  pump-earth--again: {item: I-1, why: More.}\n  pump-earth:")]
    begun = ("sheets.yml", "S-earth:\n", "S-pump-earth-again: {test: pump-earth--again, item: I-1}\nS-earth:\n")
    values = {"readings/pump-earth-again.csv": "row,point,value [mohm]\n1,case screw,142\n"}
    assert_silent("planned-test-not-done", [*again, begun], extra=values)
    assert "field-missing" in {one.rule for one in run_with([*again, begun], extra=values)}
    # As a spreadsheet saves it: whether it holds a value cannot be told before it is mended.
    laid = ("sheets.yml", "S-earth:\n", "S-again: {test: pump-earth--again, item: I-1}\nS-earth:\n")
    saved = {"readings/again.csv": "row;point;value [mohm]\n1;case screw;142,5\n"}
    assert_silent("planned-test-not-done", [*again, laid], extra=saved)
    blank = {"readings/again.csv": "row,point,value [mohm]\n1,case screw,\n"}
    assert_fires(
        "planned-test-not-done", [*again, laid], extra=blank, at=("plan.yml", "pump-earth--again:"), says="lies ready"
    )
    assert_silent("planned-test-not-done", [NOT_DONE], delete=["readings/earth.csv"])


def test_nothing_measured_is_said_once() -> None:
    assert_fires(
        "planned-test-not-done",
        delete=["sheets.yml", "readings"],
        at=("plan.yml", "tests:"),
        says="none of the 3 planned tests has a sheet",
    )
    assert_silent("coverage-incomplete", delete=["sheets.yml", "readings"])


def test_coverage_incomplete() -> None:
    wider = ("plan.yml", "[50 mL/h, 100 mL/h]", "[50 mL/h, 100 mL/h, 200 mL/h]")
    assert_fires(
        "coverage-incomplete",
        [wider],
        at=("plan.yml", "coverage:"),
        level=Level.WARN,
        says="1 of 3 combinations of pump-flow were not measured (setting 200 mL/h)",
    )
    reason = '    not_obtainable: {"setting=200 mL/h": the set would not stand it}\n    as_used:'
    assert_silent("coverage-incomplete", [wider, ("plan.yml", "    as_used:", reason)])


def test_many_cells_are_counted_not_listed() -> None:
    wide = ", ".join(f"{number} mL/h" for number in range(201, 210))
    problem = assert_fires(
        "coverage-incomplete",
        [("plan.yml", "[50 mL/h, 100 mL/h]", f"[50 mL/h, {wide}]")],
        at=("plan.yml", "coverage:"),
        level=Level.WARN,
    )
    assert problem.found.count("setting") == 6
    assert "and 3 more" in problem.found


def test_test_not_planned() -> None:
    again = ("sheets.yml", "S-flow-again:\n  test: pump-flow", "S-flow-again:\n  test: pump-flow--again")
    assert_fires("test-not-planned", [again], at=("sheets.yml", "pump-flow--again"), level=Level.WARN)
    added = "tests:\n  pump-flow--again: {item: I-1, why: More., added: the first result surprised}\n  pump-earth:"
    assert_silent("test-not-planned", [again, ("plan.yml", TESTS, added)])


def test_sheet_other_item() -> None:
    """ISO/IEC 17025:2017, 7.8.2.1 g, from memory: a result is of an item that can be told from others."""
    earth = "  test: pump-earth\n  item: I-1"
    assert_fires(
        "sheet-other-item",
        [("sheets.yml", earth, earth.replace("I-1", "I-2"))],
        at=("sheets.yml", "S-earth: > item: I-2"),
        column=9,
        says="the sheet S-earth is of I-2, and pump-earth was planned for I-1",
    )
    # Where the sheet lies ready nothing has been measured at the wrong thing yet.
    empty = [("readings/earth.csv", "screw,142", "screw,"), ("readings/earth.csv", "clamp,151", "clamp,")]
    assert_fires(
        "sheet-other-item",
        [*empty, ("sheets.yml", earth, earth.replace("I-1", "I-2"))],
        at=("sheets.yml", "S-earth: > item: I-2"),
        says="was planned for I-1",
    )
    # A use of its own, planned for the other thing.
    second = (
        "plan.yml",
        "  pump-touch:\n",
        "  pump-earth--bag:\n    item: I-2\n    why: The same at the bag.\n  pump-touch:\n",
    )
    assert_silent("sheet-other-item", [second, ("sheets.yml", earth, "  test: pump-earth--bag\n  item: I-2")])


def test_as_found_function_untested() -> None:
    first = ("sheets.yml", "reading: 100.1 mL/h, ok: yes}\n  as_found_settings: yes", "reading: 100.1 mL/h, ok: yes}")
    second = ("sheets.yml", "repeats_of: S-flow\n  as_found_settings: yes", "repeats_of: S-flow")
    assert_fires("as-found-function-untested", [first, second], at=("items.yml", "I-1:"))
    assert_silent("as-found-function-untested", [first])
    adjusted = (
        "sheets.yml",
        "as_found_settings: yes\nS-flow-again:",
        "as_found_settings: yes\n  moment: after adjustment\nS-flow-again:",
    )
    assert_fires("as-found-function-untested", [adjusted, second], at=("items.yml", "I-1:"))
    not_done = (
        "plan.yml",
        "why: The event is about the volume delivered.",
        "why: More.\n    not_done: the door key was never found",
    )
    assert_fires(
        "as-found-function-untested",
        [first, second, not_done],
        at=("items.yml", "I-1:"),
        level=Level.WARN,
        says="the door key was never found",
    )


def test_an_open_case_is_told_what_is_still_needed() -> None:
    problems = run_with(
        [("case.yml", "stage: in review", "stage: open")], delete=["plan.yml", "sheets.yml", "readings"]
    )
    missing = [problem for problem in problems if problem.rule == "plan-missing"]
    assert [problem.level for problem in missing] == [Level.NEEDED]
    assert missing[0].found == "there is no plan"


def test_row_not_taken() -> None:
    earth = "2,pole clamp,151\n"
    assert_fires(
        "row-not-taken",
        [("readings/earth.csv", earth, earth + "3,foot,\n4,wheel,\n")],
        at=("readings/earth.csv", "3,foot,"),
        level=Level.WARN,
        says="R-earth-3 and R-earth-4 hold no value",
    )
    assert_fires(
        "row-not-taken",
        [("readings/flow-again.csv", "3,100,112.2,2026", "3,100,,2026")],
        at=("readings/flow-again.csv", "3,100,,"),
        level=Level.WARN,
        says="R-flow-again-3 holds no value, though a time stands beside R-flow-again-3",
    )
    assert_silent("row-not-taken", [("readings/earth.csv", earth, earth + "3,foot,not measured: painted over\n")])
    header = (
        "readings/earth.csv",
        "row,point,value [mohm]\n1,case screw,142\n",
        "row,point,value [mohm],void\n1,case screw,142,\n",
    )
    assert_silent(
        "row-not-taken", [header, ("readings/earth.csv", earth, "2,pole clamp,151,\n3,foot,,no such point\n")]
    )


def test_a_sheet_that_lies_ready_is_no_sheet_of_readings() -> None:
    ready = "S-ready:\n  test: pump-earth--again\n  item: I-1\nS-earth:"
    planned = ("plan.yml", TESTS, "tests:\n  pump-earth--again: {item: I-1, why: More.}\n  pump-earth:")
    sheet = {"readings/ready.csv": "row,point,value [mohm]\n1,foot,\n"}
    edits = [planned, ("sheets.yml", "S-earth:", ready)]
    assert_fires(
        "planned-test-not-done", edits, extra=sheet, at=("plan.yml", "  pump-earth--again:"),
        says="S-ready of the planned test pump-earth--again lies ready, without a value",
    )  # fmt: skip
    found = [one for one in run_with(edits, extra=sheet) if one.rule != "planned-test-not-done"]
    assert found == []


def test_with_the_first_value_all_is_asked_for_that_a_sheet_needs() -> None:
    ready = "S-ready:\n  test: pump-earth\n  item: I-1\n  by:\nS-earth:"
    found = run_with([("sheets.yml", "S-earth:", ready)], extra={"readings/ready.csv": "row,value [mohm]\n1,5\n"})
    assert {(one.rule, one.found) for one in found} == {
        (
            "field-missing",
            "values stand on the sheet S-ready, and its entry lacks “instrument”, “function”, “from” and “to”",
        ),
        ("value-blank", "nothing stands here"),
    }
    assert {one.span.path for one in found} == {"cases/base/sheets.yml"}


def test_values_on_a_sheet_without_a_head_are_one_reject_and_no_test_is_said_to_be_undone() -> None:
    """Five fields are missing, and they are one thing: how the values were taken. The test has its sheet."""
    head = (BASE / CASE / "sheets.yml").read_text()
    entry = head[head.index("S-flow:") : head.index("S-flow-again:")]
    bare = "\n".join(
        line for line in entry.split("\n")
        if not line.startswith(tuple(f"  {name}:" for name in ("instrument", "function", "by", "from", "to")))
    )  # fmt: skip
    assert len(entry.split("\n")) - len(bare.split("\n")) == 5
    rejects = [one for one in run_with([("sheets.yml", entry, bare)]) if one.level is Level.REJECT]
    assert [(one.rule, one.subject) for one in rejects if one.span.path.endswith("sheets.yml")] == [
        ("field-missing", "S-flow")
    ]
    assert "planned-test-not-done" not in {one.rule for one in rejects}
