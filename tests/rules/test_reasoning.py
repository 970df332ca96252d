"""Rules about findings, explanations and the conclusion, on the base case; and the list of opinion words by itself."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

F1 = ("findings.yml", "[=R-flow-4], [=R-flow-5] and [=R-flow-6]", "[=R-flow-4]")
F1_RESTS = "rests_on: [R-flow-4, R-flow-5, R-flow-6]"


def account(text: str) -> Edit:
    return ("case.yml", "The ward nurse reports that the bag of saline was empty at 10:40.", text)


def test_adverse_reading_uncited() -> None:
    assert_fires(
        "adverse-reading-uncited",
        [F1, ("findings.yml", F1_RESTS, "rests_on: [R-flow-4]")],
        at=("readings/flow.csv", "5,100"),
        says="R-flow-5 and R-flow-6 (fail against base-limits/flow)",
    )
    # A whole sheet shows what it shows; it does not speak of the readings in it that fail.
    assert_fires(
        "adverse-reading-uncited",
        [F1, ("findings.yml", F1_RESTS, "rests_on: [S-flow]")],
        at=("readings/flow.csv", "5,100"),
        says="R-flow-5 and R-flow-6",
    )
    assert_silent("adverse-reading-uncited", [F1])
    # A passing reading may stay without a finding.
    assert_silent(
        "adverse-reading-uncited",
        [("findings.yml", "rests_on: [R-earth-1, R-earth-2,", "rests_on: [R-earth-2,")],
    )


def test_a_conditional_pass_is_adverse_too() -> None:
    near = ("readings/touch.csv", "60.3", "99.5")
    assert_fires(
        "adverse-reading-uncited",
        [near, ("findings.yml", ", R-touch-3, R-touch-4]", ", R-touch-3]")],
        at=("readings/touch.csv", "99.5"),
        says="conditional pass",
    )


def test_finding_without_source() -> None:
    assert_fires(
        "finding-without-source",
        [("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: []")],
        at=("findings.yml", "rests_on: []"),
        says="F-4 rests on no record",
    )
    void = "row,point,value [mohm],void\n1,case screw,142,lead loose\n2,pole clamp,151,\n"
    assert_fires(
        "finding-without-source",
        extra={"readings/earth.csv": void},
        at=("findings.yml", "rests_on: [R-earth-1"),
        says="F-3 rests on R-earth-1, which is void: lead loose",
    )
    assert_silent("finding-without-source", [("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [A-1]")])


def test_findings_missing() -> None:
    assert_fires("findings-missing", delete=["findings.yml"], at=("findings.yml", None))
    # A finding that cannot be read has its own problem where it is wrong.
    assert_silent("findings-missing", [("findings.yml", "rests_on: [A-1, V-3, E-2]", "rest_on: [A-1]")])


def test_conclusion_missing() -> None:
    assert_fires("conclusion-missing", delete=["conclusion.yml"], at=("conclusion.yml", None))
    assert_silent("conclusion-missing", [("conclusion.yml", "level: probable", "level: probably")])
    held = ("case.yml", "stage: in review", "stage: held for joint examination")
    assert_fires("conclusion-missing", [held], delete=["conclusion.yml"], at=("conclusion.yml", None), level=Level.WARN)


def test_opinion_in_facts() -> None:
    assert_fires(
        "opinion-in-facts",
        [("findings.yml", "text: The rate was found set", "text: Obviously the rate was found set")],
        at=("findings.yml", "Obviously"),
        says='F-4 says "obviously", which claims a certainty',
    )
    assert_fires(
        "opinion-in-facts", [account("The bag ran empty because the pump was faulty.")], at=("case.yml", "faulty")
    )
    assert_fires(
        "opinion-in-facts",
        [("inspection.csv", "clamp closed and no kink", "clamp defective")],
        at=("inspection.csv", "clamp defective"),
    )
    assert_silent("opinion-in-facts", [account("The ward nurse said: “It ran empty because the pump was faulty.”")])


def test_too_few_explanations() -> None:
    assert_fires(
        "too-few-explanations",
        delete=["explanations.yml"],
        at=("explanations.yml", None),
        says="no explanation is on record",
    )
    fewer = [(".asfound/settings.yml", "organisation:", 'explanations_wanted: "5"\norganisation:')]
    assert_fires("too-few-explanations", fewer, at=("explanations.yml", "X-1:"), says="4 explanations are on record")
    assert_fires(
        "too-few-explanations",
        [("explanations.yml", "line: room and supply", "line: device")],
        at=("explanations.yml", "X-1:"),
        says="looks to: room, supply or another device",
    )
    assert_silent("too-few-explanations", [("explanations.yml", "line: room and supply", "line: other device")])


def test_which_sides_are_asked_for_goes_by_the_event() -> None:
    """Nobody asks whether a fire was an effect of the patient."""
    patient = ("explanations.yml", "line: not a device-made injury", "line: unknown")
    assert_fires(
        "too-few-explanations", [patient], at=("explanations.yml", "X-1:"), says="patient, or not made by a device"
    )
    assert_silent("too-few-explanations", [patient, ("case.yml", "kind: too much", "kind: fire")])
    assert_silent("too-few-explanations", [patient, ("case.yml", "harmed: patient", "harmed: none")])


def test_ruled_out_untested() -> None:
    nothing = ("explanations.yml", "  contradicts: [F-4]\n  status: ruled out", "  status: ruled out")
    false = ("explanations.yml", "      shown_false_by: [F-4]\n", "")
    assert_fires(
        "ruled-out-untested", [nothing, false], at=("explanations.yml", "status: ruled out"), says="with no test done"
    )
    assert_silent("ruled-out-untested", [nothing])
    assert_silent("ruled-out-untested", [false])
    tested = ("explanations.yml", "      shown_false_by: [F-4]\n", "      tested_by: [pump-flow]\n")
    assert_fires(
        "ruled-out-untested",
        [nothing, tested],
        at=("explanations.yml", "status: ruled out"),
        level=Level.WARN,
        says="ruled out by pump-flow",
    )


def test_a_planned_test_that_was_not_done_rules_nothing_out() -> None:
    nothing = ("explanations.yml", "  contradicts: [F-4]\n  status: ruled out", "  status: ruled out")
    tested = ("explanations.yml", "      shown_false_by: [F-4]\n", "      tested_by: [pump-earth]\n")
    assert_fires(
        "ruled-out-untested",
        [nothing, tested],
        delete=["readings/earth.csv"],
        at=("explanations.yml", "status: ruled out"),
        level=Level.REJECT,
    )


def test_contradiction_unanswered() -> None:
    silent = (
        "explanations.yml",
        "  answer: At 50 mL/h [F-5] the flow is as set; the event was at 100 mL/h [A-1].\n",
        "",
    )
    assert_fires(
        "contradiction-unanswered",
        [silent],
        at=("explanations.yml", "contradicts: [F-5]"),
        says="F-5 speaks against X-1 (supported)",
    )
    # The lowest status of all is no way out: what is named are the field, and the two statuses that are one.
    untried = ("explanations.yml", "status: supported", "status: not tested")
    found = assert_fires(
        "contradiction-unanswered",
        [silent, untried],
        at=("explanations.yml", "contradicts: [F-5]"),
        says="against X-1 (not tested)",
    )
    assert "under answer of the explanation" in found.mend and "weakened or ruled out" in found.mend
    for status in ("weakened", "ruled out"):
        given_way = ("explanations.yml", "status: supported", f"status: {status}")
        assert_silent("contradiction-unanswered", [silent, given_way])


def test_no_fault_found_unearned() -> None:
    said = ("conclusion.yml", "alternatives:", "no_problem_found: yes\nalternatives:")
    at = ("conclusion.yml", "no_problem_found: yes")
    found = assert_fires(
        "no-fault-found-unearned", [said], at=at, says="R-flow-4, R-flow-5, R-flow-6 and 3 more are outside"
    )
    assert "not impounded" not in found.found  # the monitor, another device, stayed with the patient and is on record
    good_flow = "row,setting [mL/h],value [mL/h]\n1,50,50.4\n4,100,100.2\n5,100,100.3\n6,100,100.1\n"
    good_again = "row,setting [mL/h],value [mL/h]\n1,100,100.2\n2,100,100.1\n3,100,100.2\n"
    good = {"readings/flow.csv": good_flow, "readings/flow-again.csv": good_again}
    assert_silent("no-fault-found-unearned", [said], extra=good)
    cord = "role: power cord\n  in_use_at_event: yes\n  impounded: "
    lost = ("items.yml", f"{cord}yes", f"{cord}no\n  why_not_impounded: discarded")
    assert_fires("no-fault-found-unearned", [said, lost], extra=good, at=at, says="I-2 was in use and not impounded")
    wider = ("plan.yml", "[50 mL/h, 100 mL/h]", "[50 mL/h, 100 mL/h, 200 mL/h]")
    assert_fires("no-fault-found-unearned", [said, wider], extra=good, at=at, says="combination was not measured")
    gone = {**good, "readings/flow.csv": good_flow.replace("50.4\n", "not obtainable: the bath was lent\n")}
    assert_fires("no-fault-found-unearned", [said], extra=gone, at=at, says="1 planned combination was not obtainable")
    around: Edit = (
        ".asfound/limits/base-limits.yml",
        'percent, percent: "5", of: setting',
        'percent, percent: "5", of: rated output',
    )
    assert_fires(
        "no-fault-found-unearned", [said, around], extra=good, at=at, says="could not be held against the limit"
    )
    flickers = account("The ward nurse reports that the display went on and off.")
    assert_fires(
        "no-fault-found-unearned",
        [said, flickers],
        extra=good,
        at=at,
        level=Level.WARN,
        says="nothing was done to provoke it",
    )
    flexed = (
        "sheets.yml",
        "  function: earth resistance\n",
        "  function: earth resistance\n  note: The cord was flexed.\n",
    )
    assert_silent("no-fault-found-unearned", [said, flickers, flexed], extra=good)


def test_an_open_case_without_reasoning_gets_one_line_of_it() -> None:
    problems = run_with(
        [("case.yml", "stage: in review", "stage: open")], delete=["explanations.yml", "findings.yml", "conclusion.yml"]
    )
    asked = [problem for problem in problems if problem.rule == "too-few-explanations"]
    assert [problem.level for problem in asked] == [Level.NEEDED]
