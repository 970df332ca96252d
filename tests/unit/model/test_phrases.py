"""The language of phrases, and whether a sentence asserts what stands in it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.model.phrases import PhraseError, composed, fold, read_phrase
from asfound.model.words import asserted


def found(phrase: str, text: str) -> list[str]:
    folded = fold(text)
    return [folded[start:end] for start, end in read_phrase(phrase).find(folded)]


@pytest.mark.parametrize(
    ("phrase", "text", "what"),
    [
        ("owing to", "It rose Owing\nto heat.", ["owing\nto"]),
        ("neglig*", "Negligence, negligent.", ["negligence", "negligent"]),
        ("caus(e|ed|es|ing|)", "causes cause caus causal", ["causes", "cause", "caus"]),
        (
            "should (not|never|) have",
            "should have, should not have, should always have",
            ["should have", "should not have"],
        ),
        ("(the|) cause", "The cause and a cause", ["the cause", "cause"]),
        ("cause of … death", "the cause of his early death", ["cause of his early death"]),
        ("cause of … death", "the cause of a b c d death", []),
        ("# % (certain|sure)", "99.5 % sure", ["99.5 % sure"]),
        ("user(s|)('|) error", "the users’ error", ["users' error"]),
        ("due to", "residue to, due together", []),
        ("(used|set) (wrongly|badly)", "it was set badly", ["set badly"]),
        ("so-called", "a so‑called fault", ["so-called"]),
    ],
)
def test_phrases_find_what_they_say(phrase: str, text: str, what: list[str]) -> None:
    assert found(phrase, text) == what


@pytest.mark.parametrize(
    ("phrase", "why"),
    [
        ("", "no word"),
        ("*", "star"),
        ("(a|b", "not closed"),
        ("a)", "outside brackets"),
        ("()", "holds nothing"),
        ("… end", "before the first word"),
        ("#", "no word"),
        ("(a|)", "no word"),
    ],
)
def test_what_is_no_phrase_says_why(phrase: str, why: str) -> None:
    with pytest.raises(PhraseError, match=why):
        read_phrase(phrase)


@given(st.text(alphabet="ab ()|*#…'", max_size=30), st.text(alphabet="ab '1", max_size=60))
def test_any_text_is_a_phrase_or_says_why_not(phrase: str, text: str) -> None:
    try:
        read = read_phrase(phrase)
    except PhraseError as error:
        assert str(error)
        return
    for start, end in read.find(fold(text)):
        assert 0 <= start < end <= len(text)


@given(st.text())
def test_folding_keeps_every_letter_in_its_place(text: str) -> None:
    assert len(fold(text)) == len(text)


def test_accents_are_put_together() -> None:
    # Unicode Standard Annex 15, figure 4: A + ring is one letter in NFC (from memory).
    assert composed("A\u030a") == "\u00c5"
    assert composed("plain") == "plain"


@pytest.mark.parametrize(
    ("text", "outright"),
    [
        ("the print proves it", True),
        ("the print does not prove it", False),
        ("nothing here proves it", False),
        ("it would prove it", False),
        ("whether the print proves it is open", False),
        ("does the print prove it?", False),
        ("the pad was not dry, and that proves it", True),
        ("the print doesn't prove it", False),
        ("it not only agrees, it proves it", True),
        ("not only does it agree but proves it", True),
    ],
)
def test_denials_questions_and_suppositions(text: str, outright: bool) -> None:
    folded = fold(text)
    assert asserted(folded, folded.index("prove")) is outright
