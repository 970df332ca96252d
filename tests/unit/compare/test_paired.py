"""What is the same under another name or with another figure is told once, and as that."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.compare import Area, CaseChange, Difference, Kind, Move, differences, in_short, in_words
from asfound.compare.paired import paired, renamed
from asfound.compare.words import around, short
from asfound.model.dossier import Core
from asfound.model.outcome import Outcome
from asfound.problems import Level, Problem, Span

from .test_differences import BASE, CASE, ON, assess_case, changed

AT = Span("cases/base/plan.yml", 1, 1)


@pytest.fixture(scope="module")
def base() -> Core:
    made = assess_case(BASE, BASE / CASE, ON).dossier
    assert made is not None
    return made.core


def problem(found: str, subject: str = "", rule: str = "limit-unconfirmed", level: Level = Level.NOTE) -> Problem:
    return Problem(rule, level, AT, found, "a limit that was read", subject=subject)


def told(old: tuple[Problem, ...], new: tuple[Problem, ...], base: Core) -> list[Difference]:
    found = differences(replace(base, problems=old), replace(base, problems=new))
    return [one for one in found if one.area is Area.PROBLEM]


def test_a_problem_that_speaks_of_another_number_did_not_come_or_go(base: Core) -> None:
    old = problem("41 verdicts rest on a/b"), problem("7 verdicts rest on a/c")
    new = problem("40 verdicts rest on a/b"), problem("7 verdicts rest on a/c")
    (one,) = told(old, new, base)
    assert in_words(one) == (
        "Still a note of the rule limit-unconfirmed: 40 verdicts rest on a/b; a limit that was read. "
        "Before: 41 verdicts rest on a/b."
    )


def test_of_two_that_could_be_meant_neither_is_paired(base: Core) -> None:
    old = problem("4 rest on a"), problem("5 rest on a")
    found = told(old, (problem("6 rest on a"),), base)
    assert sorted(one.kind for one in found) == [Kind.ADDED, Kind.REMOVED, Kind.REMOVED]


def test_a_rule_that_says_another_thing_of_the_one_record_still_speaks_and_at_another_level_it_says_so(
    base: Core,
) -> None:
    old, new = problem("earns possible", "X-1", "ceiling"), problem("earns nothing", "X-1", "ceiling", Level.REJECT)
    (one,) = told((old,), (new,), base)
    assert in_words(one).startswith("Now a reject, before a note, of the rule ceiling on X-1: earns nothing; ")
    assert in_words(one).endswith(" Before: earns possible.") and one.weight == 30


def test_rules_that_speak_of_no_record_are_paired_by_figures_alone() -> None:
    old, new = problem("a has no source"), problem("b has no source")
    assert list(paired([old], [new])) == [(old, None), (None, new)]


def test_an_approval_that_was_void_and_still_is_did_not_fall_again(base: Core) -> None:
    at = Span("cases/base/approvals/reviewer-a-1.json")
    old, new = (Problem("approval-void", Level.WARN, at, f"a approved this, and {why}", "another") for why in "xy")
    (one,) = told((old,), (new,), base)
    assert in_words(one).startswith("Still a warning of the rule approval-void: a approved this, and y; ")


def test_a_record_under_another_id_is_told_as_that(base: Core, tmp_path) -> None:  # type: ignore[no-untyped-def]
    text = (BASE / CASE / "items.yml").read_text("utf-8")
    ref = text.split(":", 1)[0].splitlines()[-1]
    new = changed(tmp_path, ("items.yml", f"{ref}:\n", "I-77:\n"))
    found = [one for one in differences(base, new) if one.area is Area.RECORD and one.ref in (ref, "I-77")]
    assert [in_words(one) for one in found] == [f"The item {ref} is now called I-77 and says the same."]


def test_two_that_say_the_same_are_not_taken_for_one_another(base: Core) -> None:
    case = base.case
    ref, one = next(iter(case.findings.items()))
    twin = replace(base, case=replace(case, findings={**case.findings, "F-98": one}))
    moved = {key: value for key, value in case.findings.items() if key != ref} | {"F-97": one, "F-99": one}
    other = replace(base, case=replace(case, findings=moved))
    refs = {each.ref: each.kind for each in differences(twin, other) if each.area is Area.RECORD}
    assert refs == {ref: Kind.REMOVED, "F-98": Kind.REMOVED, "F-97": Kind.ADDED, "F-99": Kind.ADDED}


def test_a_file_that_cannot_be_read_took_no_record_out(base: Core, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """As git leaves it where two branches added a row of one number."""
    row = "6,100,112.0"
    new = changed(
        tmp_path, ("readings/flow.csv", f"\n{row}", f"\n<<<<<<< HEAD\n{row}\n=======\n{row}\n>>>>>>> one\n{row}")
    )
    found = differences(base, new)
    assert not [one for one in found if one.area is Area.RECORD]
    rules = {one.beside for one in found if one.area is Area.PROBLEM and one.move("level").new == "reject"}  # type: ignore[union-attr]
    assert rules == {"conflict-left"}
    assert not [one for one in differences(new, base) if one.area is Area.RECORD]


def test_a_file_is_told_with_the_record_it_belongs_to(base: Core, tmp_path) -> None:  # type: ignore[no-untyped-def]
    new = changed(tmp_path, ("evidence/plan.txt", "on paper", "on card"))
    (one,) = [each for each in differences(base, new) if each.area is Area.FILE]
    assert in_words(one).startswith("The file evidence/plan.txt (E-5) was changed: SHA-256 ")


def test_of_a_long_text_what_differs_is_quoted_wherever_it_stands() -> None:
    text = " ".join(f"word{n}" for n in range(200))
    old, new = around(text, text.replace("word150 ", "another "))
    assert old == "… word145 word146 word147 word148 word149 word150 word151 word152 word153 word154 word155 …"
    assert "another" in new and new.startswith("… word145") and new.endswith("word155 …")
    assert around(text, f"{text} more")[1].endswith("word199 more") and around("a", "b") == ("a", "b")
    assert around(text, "word0 only")[1] == "word0 only"


def test_a_digest_is_shown_as_others_are() -> None:
    assert short("606f799e" * 8) == "606f 799e 606f" and short("606f") == "606f"


def test_a_verdict_that_moved_with_its_limit_names_the_value_that_stayed(base: Core) -> None:
    """Where only the bound moved, the reading is what a reviewer holds against it."""
    one = next(each for each in base.verdicts if each.value is not None and each.limit and each.outcome == "pass")
    moved = [each._replace(outcome=Outcome.FAIL) if each is one else each for each in base.verdicts]
    (found,) = [each for each in differences(base, replace(base, verdicts=tuple(moved))) if each.area is Area.VERDICT]
    said = in_words(found)
    assert " is fail at " in said and said.endswith("; it was pass at the same value.") and found.said in said
    assert [move.name for move in found.moves] == ["outcome"]


def test_a_limit_that_changed_is_named_in_short() -> None:
    limit = Difference(Area.LIMIT, Kind.CHANGED, "own/trips", (Move("high, value", "140 Ω", "123.5 Ω"),))
    case = CaseChange("c", "t", "cases/c", "cases/c", (limit,))
    assert in_short(case) == "In short: 1 limit (1 changed: own/trips)."


def test_of_two_records_that_say_the_same_none_is_called_renamed(base: Core) -> None:
    """Nobody knows which of the two went and which bears another name now."""
    ref, one = next(iter(base.case.findings.items()))
    assert renamed({ref: one}, {"F-91": one}) == {ref: "F-91"}
    assert renamed({ref: one, "F-90": one}, {"F-91": one}) == {}
    assert renamed({ref: one}, {"F-91": one, "F-92": one}) == {}


def test_of_a_rule_that_speaks_of_two_records_each_is_paired_with_its_own() -> None:
    old = problem("earns possible", "X-1", "ceiling"), problem("earns probable", "X-2", "ceiling")
    new = problem("earns nothing", "X-1", "ceiling"), problem("earns little", "X-2", "ceiling")
    assert list(paired(old, new)) == list(zip(old, new, strict=True))
