"""The lists of words: what they must find, what they must let pass, and what an organisation may do with them.

The sentences stand in `sentences/pass.txt` and `sentences/trip.txt`. They are our own, in the language of the trade,
for all kinds of device the demonstration cases speak of (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from asfound.limits import packaged
from asfound.limits.word_lists import put_together
from asfound.model.identifiers import identifiers
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import rank
from asfound.model.words import Passage, WordList
from asfound.problems import Level
from asfound.rules import discover
from asfound.rules._texts import whole_sentences
from asfound.rules.evidence.person_named import Looked
from asfound.rules.report.result_beyond_items import beyond
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

HOME = Path(__file__).parent / "sentences"
PROBABLE = rank(ConfidenceLevel.PROBABLE)


@cache
def lists() -> dict[str, WordList]:
    return put_together(packaged().words, {})[0]


def sentences(name: str) -> Iterator[tuple[Passage, str]]:
    where = Passage.FACTS
    for line in (HOME / name).read_text(encoding="utf-8").splitlines():
        if line.startswith("== "):
            where = Passage(line.removeprefix("== "))
        elif line and not line.startswith("#"):
            yield where, line


def found(where: Passage, text: str) -> set[tuple[str, str]]:
    """What the rules that go by lists would say of a text at *probable*: (rule, word)."""
    looked = Looked.of(lists())
    assert looked is not None
    said = {("person-named", hit.text) for hit in looked.names(text)}
    for words in lists().values():
        if where not in words.where or words.rule == "setting-without-meaning":
            continue
        for sentence in whole_sentences(text):
            for hit in words.hits(sentence.text):
                level = hit.word.from_level
                if words.rule != "claim-above-level" or level is None or rank(level) > PROBABLE:
                    said.add((words.rule, hit.text.lower()))
    return said


PASS = tuple(sentences("pass.txt"))
TRIP = tuple(sentences("trip.txt"))


@pytest.mark.parametrize("text", [text for _, text in (*PASS, *TRIP)])
def test_a_name_is_found_as_by_holding_every_pattern_against_the_text(text: str) -> None:
    looked = Looked.of(lists())
    assert looked is not None
    always = frozenset({""})
    every = Looked(
        looked.by_title, looked.by_calling, looked.by_letters, looked.not_surnames, looked.callings,
        always, always, always,
    )  # fmt: skip
    assert looked.names(text) == every.names(text)


def test_there_are_enough_sentences_to_mean_something() -> None:
    assert len(PASS) >= 150 and len(TRIP) >= 100
    assert len(set(PASS)) == len(PASS) and len(set(TRIP)) == len(TRIP)


@pytest.mark.parametrize(("where", "text"), PASS)
def test_good_prose_trips_nothing(where: Passage, text: str) -> None:
    assert found(where, text) == set()


def test_good_prose_holds_no_identifier_and_reaches_no_further_than_its_items() -> None:
    for _, text in PASS:
        assert identifiers(text) == (), text
        assert all(beyond(sentence.text) == "" for sentence in whole_sentences(text)), text


@pytest.mark.parametrize(("where", "line"), TRIP)
def test_what_must_be_found_out_is(where: Passage, line: str) -> None:
    rule, word, text = line.split(" | ")
    assert (rule, word if rule == "person-named" else word.lower()) in found(where, text)


def test_every_entry_is_tried_by_a_sentence() -> None:
    """An entry no sentence trips might as well not be there."""
    tried: set[tuple[str, str]] = set()
    for where, line in TRIP:
        for words in lists().values():
            if where in words.where:
                tried |= {(words.words, hit.entry) for hit in words.hits(line.split(" | ")[2])}
    typed = {"callings", "letters-after-names", "no-value", "not-surnames", "titles"}
    wanted = {(one.words, name) for one in lists().values() if one.words not in typed for name in one.entries}
    assert wanted - tried == set()


def test_every_list_belongs_to_a_rule_and_reads_on() -> None:
    rules = {rule.entry.name for rule in discover()}
    for words in lists().values():
        assert words.rule in rules
        for name, word in words.entries.items():
            assert word.why and not word.why.endswith("."), name
            assert word.say and len(set(word.say)) == len(word.say), name


BOLD = ("conclusion.yml", "level: probable", "level: established")
MECHANISM = ("conclusion.yml", "The pump delivered more than it was set to [F-1].")
AT = ("conclusion.yml", "  text: ")


def mechanism(text: str) -> Edit:
    return (*MECHANISM, text)


def finding(text: str) -> Edit:
    return ("findings.yml", "text: The rate was found set", f"text: {text} The rate was found set")


def test_claim_above_level() -> None:
    said = mechanism("The pump certainly delivered more than it was set to [F-1].")
    assert_fires(
        "claim-above-level",
        [said],
        at=("conclusion.yml", "certainly"),
        says='the mechanism says "certainly", which says that nothing is left to doubt',
    )
    assert_silent("claim-above-level", [mechanism("It does not prove that the pump delivered more [F-1].")])
    # The reason is held at its own level, which is lower.
    assert_fires(
        "claim-above-level",
        [("conclusion.yml", "Why it does so was not examined.", "Its drive is probably worn.")],
        at=("conclusion.yml", "probably worn"),
        says='the reason says "probably", which uses the words of a level that was not reached',
    )
    assert_silent("claim-above-level", [mechanism("The pump probably delivered more than it was set to [F-1].")])


def test_what_carries_is_held_at_the_level_of_the_mechanism() -> None:
    carried = ("conclusion.yml", "The flow was measured by two instruments.", "Two instruments prove it.")
    assert_fires("claim-above-level", [carried], at=("conclusion.yml", "prove it"), says="carrying fact 1")
    open_point = ("conclusion.yml", "What the bag held.", "What would prove how much the bag held.")
    assert_silent("claim-above-level", [open_point])


def test_the_level_earned_binds_where_the_one_claimed_is_higher() -> None:
    """Claiming *established* does not make its words true: level and words are refused."""
    said = [
        mechanism("It certainly delivered more [F-1]."),
        ("conclusion.yml", "level: probable", "level: established"),
    ]
    assert {"claim-above-level", "level-above-ceiling"} <= {problem.rule for problem in run_with(said)}


def test_conclusion_beyond_field() -> None:
    assert_fires(
        "conclusion-beyond-field",
        [mechanism("The flow caused the patient's injury [F-1].")],
        at=("conclusion.yml", "injury"),
        says="which draws the link from a device to a patient's harm",
    )
    assert_fires(
        "conclusion-beyond-field",
        [("explanations.yml", "why: Two instruments show", "why: The ward was negligent. Two instruments show")],
        at=("explanations.yml", "negligent"),
        says='X-1 says "negligent", which judges conduct in the words of the law',
    )
    assert_silent(
        "conclusion-beyond-field",
        [mechanism("The pump delivered more [F-1]. Whether that led to the patient's injury is for the clinician.")],
    )


def test_marks_around_a_word_do_not_unsay_it() -> None:
    marked = mechanism("The ward was “negligent” and it delivered more [F-1].")
    assert_fires("conclusion-beyond-field", [marked], at=("conclusion.yml", "negligent"))
    code = mechanism("The ward was `negligent` and it delivered more [F-1].")
    assert_fires("conclusion-beyond-field", [code], at=("conclusion.yml", "negligent"))
    told = mechanism("It delivered more [F-1]; that “the ward was negligent in this” is what W-1 tells [W-1].")
    assert_silent("conclusion-beyond-field", [told])


def test_confidence_word_unscaled() -> None:
    assert_fires(
        "confidence-word-unscaled",
        [mechanism("The pump very likely delivered more [F-1].")],
        at=("conclusion.yml", "very likely"),
        level=Level.WARN,
        says="grades a level that has no grades",
    )
    assert_silent("confidence-word-unscaled", [mechanism("It is possible that the pump delivered more [F-1].")])


USE = mechanism("A user error agrees with it [F-1].")
REVIEWED = ("display", "label", "training", "alarm", "layout")


def reviewed(*names: str) -> Edit:
    lines = "".join(f"  {name}: looked at on 2026-03-04, nothing of note\n" for name in names)
    return ("conclusion.yml", "alternatives:", f"use_reviewed:\n{lines}alternatives:")


def test_use_named_in_any_text_of_the_conclusion() -> None:
    at = ("conclusion.yml", "user error")
    assert_fires("user-error-unexamined", [USE], at=at, says="display, label, training, alarm and layout")
    assert_fires("user-error-unexamined", [USE, reviewed(*REVIEWED[:2])], at=at, says="training, alarm and layout")
    assert_silent("user-error-unexamined", [USE, reviewed(*REVIEWED)])
    assert_silent("user-error-unexamined", [mechanism("No user error was found, and more was delivered [F-1].")])


def test_quotation_without_teller() -> None:
    def f1(text: str) -> Edit:
        return ("findings.yml", "the pump delivered [=R-flow-4], [=R-flow-5]", f"{text} [=R-flow-4], [=R-flow-5]")

    said = "it was called “defective from the very start”;"
    assert_fires(
        "quotation-without-teller",
        [f1(said)],
        at=("findings.yml", "defective from"),
        level=Level.WARN,
        says="F-1 quotes “defective from the very start” of nobody",
    )
    assert_silent("quotation-without-teller", [f1(f"{said} [W-1];")])
    assert_silent("quotation-without-teller", [f1("the key reads “READY”;")])
    # What is quoted is told: its words are not the finding's.
    assert_silent("opinion-in-facts", [f1(said)])


OWN = """adds_to: {name}
source: house rules, 4
status: common practice, no source
"""
ADDED = (
    OWN.format(name="opinion")
    + """entries:
  luck:
    say: ["(un|)luckily"]
    why: praises or regrets
"""
)
ALLOWED = (
    OWN.format(name="opinion")
    + """allow:
  key:
    say: faulty lamp key
    why: It is the legend of a key on the front.
    by: quality-manager
    on: 2026-01-12
"""
)


def test_an_organisation_adds_words() -> None:
    said = finding("Luckily it was off.")
    assert_fires(
        "opinion-in-facts",
        [said],
        extra={".asfound/words/house.yml": ADDED},
        at=("findings.yml", "Luckily"),
        says='F-4 says "luckily", which praises or regrets',
    )
    assert_silent("opinion-in-facts", [said])


def test_what_an_organisation_lets_pass_leaves_a_note() -> None:
    said = finding("The faulty lamp key was dark.")
    assert_fires("opinion-in-facts", [said], at=("findings.yml", "faulty lamp"))
    note = assert_fires(
        "opinion-in-facts",
        [said],
        extra={".asfound/words/house.yml": ALLOWED},
        at=("findings.yml", "faulty lamp"),
        level=Level.NOTE,
        says='lets pass in "faulty lamp key"; whoever reads it should know that the quality manager answers for that',
    )
    assert "It is the legend of a key" in note.mend
    # It lets that phrase pass and no other.
    other = finding("The faulty lamp was dark.")
    extra = {".asfound/words/house.yml": ALLOWED}
    assert_fires("opinion-in-facts", [other], extra=extra, at=("findings.yml", "faulty lamp was"))


def test_a_name_is_let_pass_only_with_a_note() -> None:
    text = ("case.yml", "The ward nurse reports", "The nurse Quarrel key was lit. The ward nurse reports")
    allowed = (
        OWN.format(name="not-surnames")
        + """allow:
  key:
    say: nurse quarrel key
    why: The key is called so on the panel.
    by: quality-manager
    on: 2026-01-12
"""
    )
    assert_fires("person-named", [text], at=("case.yml", "Quarrel"))
    extra = {".asfound/words/house.yml": allowed}
    assert_fires("person-named", [text], extra=extra, at=("case.yml", "Quarrel"), level=Level.NOTE)


def test_a_fault_in_an_organisation_s_words_is_told_at_its_place() -> None:
    for rule, text, at in (
        ("word-list-unknown", OWN.format(name="opinions"), "adds_to"),
        ("word-phrase-unreadable", ADDED.replace("(un|)luckily", "(un|luckily"), '"(un|luckily"'),
        ("word-allowance-too-wide", ALLOWED.replace("faulty lamp key", "faulty"), "say: faulty"),
    ):
        problems = run_with(extra={".asfound/words/house.yml": text})
        found = [problem for problem in problems if problem.rule == rule]
        assert [problem.span.path for problem in found] == [".asfound/words/house.yml"], rule
        assert text.splitlines()[found[0].span.line - 1].strip().find(at) >= 0, found[0].headline()
