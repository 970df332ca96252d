"""Rules about the weighing, on the base case: what a status and a level earn, and what goes with them."""

from __future__ import annotations

from asfound.problems import Level
from asfound.rules import discover
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

X = "explanations.yml"
CONCLUSION = "conclusion.yml"
DETECTS = "\n      detects: A display that shows another figure than 100 mL/h."
SUPPORTED: Edit = (
    X,
    "  not_tested: the bag was discarded before the impound",
    "  why: the others were removed",
)
TWO: tuple[Edit, ...] = (
    (X, f"      shown_false_by: [F-4]{DETECTS}\n  contradicts: [F-4]\n  status: ruled out",
     "      shown_by: [F-4]\n  supports: [F-4]\n  status: supported"),
)  # fmt: skip


def test_level_above_ceiling() -> None:
    assert_fires(
        "level-above-ceiling",
        [(CONCLUSION, "level: probable", "level: established")],
        at=(CONCLUSION, "level: established"),
        says="held as established, and the evidence earns probable: X-3 was not tested",
    )
    # The plan no longer says that the test parts the two: then it does not.
    apart: Edit = ("plan.yml", "separates: [X-1, X-2, X-3, X-4]", "separates: [X-1, X-2, X-3]")
    found = assert_fires(
        "level-above-ceiling",
        [apart],
        at=(CONCLUSION, "level: probable"),
        says="held as probable, and the evidence earns possible: X-4 was not tested",
    )
    assert "says explains: reason" in found.mend
    # What is a reason, and no way in which it happened, is no rival of one, tested or not.
    reason: Edit = (X, "  line: not a device-made injury\n", "  line: not a device-made injury\n  explains: reason\n")
    assert_silent("level-above-ceiling", [apart, reason])
    found = assert_fires(
        "level-above-ceiling",
        [(CONCLUSION, "level: undetermined", "level: possible")],
        at=(CONCLUSION, "level: possible"),
        says="the reason is held as possible, and the evidence earns undetermined",
    )
    assert "explains" not in found.mend
    for level in ("possible", "undetermined"):
        assert_silent("level-above-ceiling", [(CONCLUSION, "level: probable", f"level: {level}")])


def test_status_above_evidence() -> None:
    assert_fires(
        "status-above-evidence",
        [(X, DETECTS, "")],
        at=(X, "status: ruled out"),
        says="said to be ruled out, and the evidence earns weakened",
    )
    assert_silent("status-above-evidence", [(X, DETECTS, ""), (X, "status: ruled out", "status: weakened")])
    # Only told is not enough to rule out, with whatever limit it is said to detect.
    assert_fires(
        "status-above-evidence",
        [("findings.yml", "rests_on: [A-1, V-3, E-2]", "rests_on: [W-1]")],
        at=(X, "status: ruled out"),
        says="earns weakened",
    )


def test_supported_by_elimination() -> None:
    assert_fires(
        "supported-by-elimination",
        [SUPPORTED, (X, "status: not tested\n  why", "status: supported\n  why")],
        at=(X, "X-4: > status"),
        says="X-4 is said to be supported, and nothing is listed that shows it",
    )
    # That another explanation fell is no evidence for this one, whatever it is listed under.
    assert_fires(
        "supported-by-elimination",
        [SUPPORTED, (X, "status: not tested\n  why", "supports: [F-3]\n  status: supported\n  why")],
        at=(X, "X-4: > status"),
        says="F-3 cannot speak to it",
    )
    assert_silent(
        "supported-by-elimination",
        [SUPPORTED, (X, "status: not tested\n  why", "supports: [F-4]\n  status: undetermined\n  why")],
    )


def test_test_out_of_reach() -> None:
    assert_fires(
        "test-out-of-reach",
        [(X, "contradicts: [F-4]", "contradicts: [F-4, F-3]")],
        at=(X, "contradicts: [F-4, F-3]"),
        says="F-3 is held against X-2",
    )
    # The plan said beforehand that the flow would separate the two.
    assert_silent("test-out-of-reach", [(X, "contradicts: [F-4]", "contradicts: [F-4, F-5]")])
    assert_fires(
        "test-out-of-reach",
        [(X, "tested_by: [pump-flow]", "tested_by: [pump-earth]")],
        at=(X, "tested_by: [pump-earth]"),
        says="pump-earth is said to test a need of X-1, and cannot reach flow",
    )
    assert_fires(
        "test-out-of-reach",
        [(X, "reached_by: [pump-flow]", "reached_by: [pump-flow, pump-touch]")],
        at=(X, "reached_by: [pump-flow, pump-touch]"),
        says="pump-touch is said to reach X-1, and cannot reach flow",
    )


def test_the_plan_may_narrow_what_a_test_reaches() -> None:
    narrowed = (
        "plan.yml",
        "    coverage:\n      setting",
        "    reaches: [touch-current]\n    coverage:\n      setting",
    )
    assert_fires(
        "supported-by-elimination",
        [narrowed],
        at=(X, "X-1: > status: supported"),
        says="F-1 and F-2 cannot speak to it",
    )


def test_ruled_out_without_the_item() -> None:
    depends = (X, "  line: use\n", "  line: use\n  items: [I-5]\n")
    assert_fires(
        "ruled-out-without-the-item", [depends], at=(X, "status: ruled out"), says="I-5, on which it depends, was not"
    )
    assert_silent("ruled-out-without-the-item", [(X, "  line: use\n", "  line: use\n  items: [I-3]\n")])
    assert_silent("ruled-out-without-the-item", [depends, (X, "status: ruled out", "status: weakened")])


def test_two_at_one_level() -> None:
    named = (CONCLUSION, "  level: probable\n", "  level: probable\n  explanations: [X-1]\n")
    assert_fires("two-at-one-level", [*TWO, named], at=(CONCLUSION, "explanations: [X-1]"), says="X-2 stands as high")
    both = (CONCLUSION, "  level: probable\n", "  level: probable\n  explanations: [X-1, X-2]\n")
    assert_silent("two-at-one-level", [*TWO, both])
    assert_silent("two-at-one-level", [named])


def test_explanation_not_named() -> None:
    assert_fires(
        "explanation-not-named",
        TWO,
        at=(CONCLUSION, "level: probable"),
        says="which explanation it names cannot be told",
    )
    assert_fires(
        "explanation-not-named",
        [(CONCLUSION, "level: undetermined", "level: possible\n  explanations: [X-2]")],
        at=(CONCLUSION, "explanations: [X-2]"),
        says="the reason names X-2, which explains the mechanism",
    )
    assert_silent("explanation-not-named", [(CONCLUSION, "level: undetermined", "level: undetermined")])


def test_user_error_unexamined() -> None:
    said = (CONCLUSION, "Why it does so was not examined.", "It was a user error.")
    assert_fires("user-error-unexamined", [said], at=(CONCLUSION, "user error"), says='says "user error"')
    looked = (
        CONCLUSION,
        "by: examiner\n",
        "by: examiner\nuse_reviewed: {display: read, label: read, training: asked, alarm: heard, layout: seen}\n",
    )
    assert_silent("user-error-unexamined", [said, looked])
    assert_silent(
        "user-error-unexamined", [(CONCLUSION, "Why it does so was not examined.", "Nothing points to a user error.")]
    )
    assert_fires(
        "user-error-unexamined",
        [(X, "  line: device\n", "  line: use\n")],
        at=(CONCLUSION, "mechanism:"),
        says="names X-1, an explanation by use",
    )


def test_levels_merged() -> None:
    merged = (CONCLUSION, "Why it does so was not examined.", "The pump delivered more than it was set to [F-1].")
    assert_fires(
        "levels-merged", [merged], at=(CONCLUSION, "reason: > text"), level=Level.WARN, says="the same sentence"
    )
    assert_silent("levels-merged", [(CONCLUSION, "Why it does so was not examined.", "That was not examined.")])


def test_dose_not_computed() -> None:
    bare = (X, "  arithmetic: [F-1, F-2]\n", "")
    assert_fires("dose-not-computed", [bare], at=(X, "X-1:"), says="no arithmetic of how much and how long is cited")
    assert_silent("dose-not-computed", [(X, "arithmetic: [F-1, F-2]", "not_computable: the volume given is not known")])
    assert_silent("dose-not-computed", [bare, (CONCLUSION, "level: probable", "level: undetermined")])
    assert_silent("dose-not-computed", [bare, ("case.yml", "kind: too much", "kind: alarm missed")])
    # How well a flow repeats is a derived result, and no dose.
    computed = ("findings.yml", "rests_on: [R-flow-4, ", "rests_on: [Y-flow-repeatability-2, R-flow-4, ")
    assert_fires("dose-not-computed", [bare, computed], at=(X, "X-1:"))


def test_literature_as_test() -> None:
    leaning = "  arithmetic: [F-1, F-2]\n  literature: [{source: an invented journal, says: Pumps of this age run fast."
    assert_fires(
        "literature-as-test",
        [(X, "  arithmetic: [F-1, F-2]\n", leaning + "}]\n")],
        at=(X, "literature:"),
        level=Level.WARN,
        says='X-1 leans on "an invented journal"',
    )
    assert_silent(
        "literature-as-test",
        [(X, "  arithmetic: [F-1, F-2]\n", leaning + ", conditions: The same rate; another set.}]\n")],
    )


def test_undetermined_unlisted() -> None:
    assert_fires(
        "undetermined-unlisted",
        [(CONCLUSION, "  would_settle: [an examination of the drive with the maker present]\n", "")],
        at=(CONCLUSION, "undetermined:"),
        says="nothing says what would settle it",
    )
    assert_silent("undetermined-unlisted", [(CONCLUSION, "tried: [flow at two settings]", "tried: [the flow]")])


def test_earlier_events_unsearched() -> None:
    line = (
        "earlier_events: The hospital's own register and one public register were searched on 2026-03-04; "
        "nothing similar was found.\n"
    )
    assert_fires("earlier-events-unsearched", [("case.yml", line, "")], at=("case.yml", "case: base"), level=Level.WARN)
    assert_silent("earlier-events-unsearched", [("case.yml", line, "earlier_events: {not_accessible: no register}\n")])


def test_starter_line_open() -> None:
    assert_fires(
        "starter-line-open",
        [("case.yml", "  free-flow: the clamp was found closed [V-3]\n", "")],
        at=(X, "X-1:"),
        level=Level.WARN,
        says="of the list infusion, free-flow is neither weighed nor set aside",
    )
    gone = ("case.yml", "  free-flow: the clamp was found closed [V-3]\n", "")
    assert_silent("starter-line-open", [(X, "  line: use\n", "  line: use\n  topic: free-flow\n"), gone])
    # For a lesion of the skin the list is demanded, and what the answers take out is not.
    lesion = ("case.yml", "kind: too much", "kind: skin lesion")
    answers = (
        "case.yml",
        "set_aside:\n",
        "answers: {rf-used: no, electrodes-on-skin: no, laser-in-the-room: no, mri-used: no}\nset_aside:\n",
    )
    assert_fires(
        "starter-line-open",
        [lesion, answers],
        at=(X, "X-1:"),
        says="heated-contact, pressure, prep-or-adhesive and drug-or-disease are neither",
    )
    aside = (
        "case.yml",
        "set_aside:\n",
        "answers: {rf-used: no, electrodes-on-skin: no, laser-in-the-room: no, mri-used: no}\nset_aside:\n"
        "  heated-contact: nothing hot was near\n  pressure: seen at once\n  prep-or-adhesive: none\n"
        "  drug-or-disease: said the clinician\n",
    )
    assert_silent("starter-line-open", [lesion, aside])
    found = [
        one for one in run_with([lesion, aside, ("case.yml", ", mri-used: no", "")]) if one.rule == "starter-line-open"
    ]
    assert [(one.level, one.found) for one in found] == [
        (Level.WARN, "of the questions of the list skin-lesion, mri-used is not answered"),
        (Level.REJECT, "of the list skin-lesion, scanner-loop is neither weighed nor set aside"),
    ]


def test_every_row_about_the_weighing_has_a_rule() -> None:
    """The requirement rows about findings, causes and conclusion, and those of the ceiling; their list is our own."""
    rows = {row for rule in discover() for row in rule.entry.rows}
    wanted = {"R9", *(f"R{number}" for number in range(74, 89)), *(f"V{number}" for number in range(1, 6))}
    assert wanted - rows == set()
