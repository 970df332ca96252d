"""Rules about the text of the report, on the base case."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from asfound.account import report_parts
from asfound.assess import assess_cases
from asfound.problems import Level
from asfound.rules.report.result_beyond_items import beyond
from tests.rules.support import CASE, ON, Copy, Edit, assert_fires, assert_silent, run_with

F1 = "delivered [=R-flow-4], [=R-flow-5] and [=R-flow-6]."


def f1(text: str) -> Edit:
    return ("findings.yml", F1, text)


def test_number_retyped_and_equal_warns() -> None:
    assert_fires(
        "number-retyped",
        [f1("delivered 112 mL/h [R-flow-5], and [=R-flow-4], [=R-flow-6].")],
        at=("findings.yml", "delivered 112 mL/h"),
        level=Level.WARN,
        says="which is the value of R-flow-5",
    )
    assert_fires(
        "number-retyped",
        [f1("delivered 112,3 mL/h [R-flow-5].")],
        at=("findings.yml", "112,3"),
        level=Level.WARN,
    )
    assert_silent("number-retyped", [f1("delivered [=R-flow-4], at a setting of 100 mL/h.")])


def test_number_retyped_and_different_is_refused() -> None:
    assert_fires(
        "number-retyped",
        [f1("delivered 115 mL/h [R-flow-5].")],
        at=("findings.yml", "delivered 115 mL/h"),
        says="types 115 mL/h beside R-flow-5, which is 112.3 mL/h",
    )
    assert_silent("number-retyped", [f1("delivered [R-flow-5], more than 110 mL/h.")])


def test_each_number_of_a_sentence_is_read() -> None:
    found = run_with([f1("delivered 112.3 mL/h 111.9 mL/h [R-flow-4] [R-flow-5].")])
    assert [one.found for one in found if one.rule == "number-retyped"] == [
        "F-1 types 111.9 mL/h, which is the value of R-flow-4",
        "F-1 types 112.3 mL/h, which is the value of R-flow-5",
    ]


def test_a_slip_of_a_thousand_is_named() -> None:
    touch = "touch current [=R-touch-3] with the earth open."
    assert_fires(
        "number-retyped",
        [("findings.yml", touch, "touch current 61.2 mA [R-touch-3] with the earth open.")],
        at=("findings.yml", "touch current 61.2 mA"),
        says="types 61.2 mA, 1000 times R-touch-3 (61.2 uA)",
    )
    # The same value in another unit is a retyped number, not a slip.
    assert_fires(
        "number-retyped",
        [("findings.yml", touch, "touch current 0.0612 mA [R-touch-3] with the earth open.")],
        at=("findings.yml", "touch current 0.0612 mA"),
        level=Level.WARN,
    )
    assert_fires(
        "number-retyped",
        [("findings.yml", touch, "touch current 61.2 mA with the earth open.")],
        at=("findings.yml", "touch current 61.2 mA"),
        says="1000 times R-touch-3",
    )


def test_numbers_that_may_be_typed() -> None:
    """A limit, a doubt, a setting and what is of another quantity."""
    touch = "touch current [=R-touch-3] with the earth open."
    for text in (
        "touch current [=R-touch-3] against a limit of 100 uA.",
        "touch current [=R-touch-3] ±1.9 uA.",
        "touch current [=R-touch-3] at 120.4 V for 10 min.",
        "touch current [=R-touch-3], see figure 12 of the standard.",
    ):
        assert_silent("number-retyped", [("findings.yml", touch, text)])


def test_the_conclusion_is_read_too() -> None:
    assert_fires(
        "number-retyped",
        [("conclusion.yml", "more than it was set to [F-1].", "111.9 mL/h [F-1].")],
        at=("conclusion.yml", "111.9 mL/h"),
        level=Level.WARN,
        says="[=R-flow-4]",
    )


def test_report_part_missing() -> None:
    """ISO/IEC 17025:2017, 7.8.2.1 a to p; each missing part is named with its letter."""
    block = """report:
  examined_at: the examiner's bench
  customer: the hospital
  authorised_by: examiner
"""
    found = assert_fires("report-part-missing", [("case.yml", block, "")], at=("case.yml", "case: base"))
    assert "(c: examined_at)" in found.found and "(e: customer)" in found.found and "(o: authorised_by)" in found.found
    assert "(b:" not in found.found
    assert_fires(
        "report-part-missing",
        [("case.yml", "  authorised_by: examiner\n", "")],
        at=("case.yml", "report:"),
        says="lacks who authorises it (o: authorised_by)",
    )
    assert_fires(
        "report-part-missing",
        [(".asfound/settings.yml", "organisation: The examiner's laboratory\n", "")],
        at=("case.yml", "report:"),
        says="the name of the laboratory (b:",
    )
    assert_fires(
        "report-part-missing",
        [("items.yml", "  condition_on_receipt: as in E-1\n", "")],
        at=("case.yml", "report:"),
        says="the condition on receipt of I-1 (g:",
    )
    assert_silent(
        "report-part-missing",
        [("case.yml", "examined_at: the examiner's bench", "examined_at: the hospital's workshop")],
    )


def test_confidentiality_unstated() -> None:
    label = ("case.yml", "confidentiality: internal\n", "")
    assert_fires("confidentiality-unstated", [label], at=("case.yml", "case: base"), level=Level.WARN, says="no label")
    for word in ("“internal”", "“privileged, at the direction of counsel”", "“released to the parties”", "“public”"):
        assert_fires("confidentiality-unstated", [label], at=("case.yml", "case: base"), level=Level.WARN, says=word)
    assert_silent("confidentiality-unstated", [("case.yml", "confidentiality: internal", "confidentiality: public")])


def test_analysis_among_facts() -> None:
    assert_fires(
        "analysis-among-facts",
        [f1("delivered [=R-flow-4], as [X-1] says.")],
        at=("findings.yml", "[X-1]"),
        level=Level.WARN,
        says="F-1 cites X-1, which is analysis",
    )
    why = "Two instruments show the same flow at the rate that was in use."
    assert_silent("analysis-among-facts", [("explanations.yml", why, f"{why} So [X-2] is weaker.")])


def test_outside_result_unmarked() -> None:
    """ISO/IEC 17025:2017, 7.8.2.1 p (confirmed)."""
    other = ("sheets.yml", "function: touch current\n  by: examiner", "function: touch current\n  by: risk-manager")
    assert_fires(
        "outside-result-unmarked",
        [other],
        at=("sheets.yml", "by: risk-manager"),
        says="S-touch was read by the",
    )
    marked = ("sheets.yml", other[1], f"{other[2]}\n  provider: the hospital's workshop")
    assert_silent("outside-result-unmarked", [marked])
    told = (
        "case.yml",
        "  authorised_by: examiner\n",
        "  authorised_by: examiner\n  outside_results: those of [S-touch]\n",
    )
    assert_silent("outside-result-unmarked", [other, told])


def test_each_part_of_a_report_is_named_with_its_clause() -> None:
    """ISO/IEC 17025:2017, 7.8.2.1 a to p, 7.8.6.1, 7.8.6.2 (confirmed) and 7.8.7 (from memory)."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        (assessed,) = assess_cases(copy.root, [copy.root / CASE], ON)
    assert assessed.dossier is not None
    core = assessed.dossier.core
    parts = report_parts(core.case, core.organisation)
    assert [one.clause for one in parts if one.missing] == []
    wanted = [f"7.8.2.1 {letter}" for letter in "abcdefghijklmnop"] + ["7.8.6.1", "7.8.6.2", "7.8.7"]
    assert list(dict.fromkeys(one.clause for one in parts)) == wanted


def test_result_beyond_items() -> None:
    assert_fires(
        "result-beyond-items",
        [("conclusion.yml", "What the bag held.", "All pumps of this model deliver too much.")],
        at=("conclusion.yml", "All pumps of this model"),
        says='("All pumps of this model")',
    )
    assert_silent(
        "result-beyond-items",
        [("conclusion.yml", "What the bag held.", "Nothing is said of other pumps of this model.")],
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Every device of this type fails.", "Every device of this type"),
        ("This model is prone to it.", "This model is"),
        ("The whole fleet is affected.", "The whole fleet"),
        ("All similar devices will do the same.", "All similar devices"),
        ("Pumps of this make are inaccurate.", "Pumps of this make are"),
        ("The pump delivered what it was set to.", ""),
        ("All pads in the kit were of one lot.", ""),
        ("Every port of the device was measured.", ""),
        ("All other pumps of this model should be checked.", ""),
        ("The results do not speak for other pumps of this model.", ""),
        ("Whether all units of this model do so was not examined.", ""),
        ("The device is of this model.", ""),
        ("This type of connector was found in the kit.", ""),
    ],
)
def test_words_that_reach_beyond_the_items(text: str, words: str) -> None:
    assert beyond(text) == words
