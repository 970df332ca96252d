"""Lists of words put together: nothing is taken out, and what an organisation wrote wrongly is told."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.limits import packaged
from asfound.limits.fault import BookFault
from asfound.limits.word_lists import put_together
from asfound.model.words import OwnWords, WordList

FILE = ".asfound/words/house.yml"
HEAD = {"adds_to": "opinion", "source": "house rules, 4", "status": "common practice, no source"}
WORD = {"say": ["luckily"], "why": "praises or regrets"}
ALLOW = {"say": "faulty lamp key", "why": "A legend.", "by": "quality-manager", "on": "2026-01-12"}


def together(**changes: Any) -> tuple[dict[str, WordList], tuple[BookFault, ...]]:
    own = OwnWords.model_validate({**HEAD, **changes})
    return put_together(packaged().words, {FILE: own})


def test_entries_are_added_and_carry_their_source() -> None:
    lists, faults = together(entries={"luck": WORD})
    assert faults == ()
    added = lists["opinion"].entries["luck"]
    assert (added.source, added.status) == ("house rules, 4", "common practice, no source")
    assert [hit.text for hit in lists["opinion"].hits("Luckily it was off.")] == ["Luckily"]


def test_nothing_of_a_list_goes() -> None:
    before = put_together(packaged().words, {})[0]
    after, _ = together(entries={"because": WORD, "luck": WORD}, allow={"key": ALLOW})
    for name, words in before.items():
        assert all(after[name].entries[entry] == word for entry, word in words.entries.items())


@pytest.mark.parametrize(
    ("rule", "path", "changes"),
    [
        ("word-list-unknown", ("adds_to",), {"adds_to": "opinions"}),
        ("word-list-closed", ("entries",), {"adds_to": "not-surnames", "entries": {"luck": WORD}}),
        ("word-entry-twice", ("entries", "because"), {"entries": {"because": WORD}}),
        ("word-phrase-unreadable", ("entries", "luck", "say", 0), {"entries": {"luck": {**WORD, "say": ["(a"]}}}),
        (
            "word-phrase-unreadable",
            ("entries", "luck", "unless", 0),
            {"entries": {"luck": {**WORD, "unless": ["* x"]}}},
        ),
        ("word-phrase-unreadable", ("allow", "key", "say"), {"allow": {"key": {**ALLOW, "say": "a) b"}}}),
        ("word-example-wrong", ("entries", "luck", "refuses", 0), {"entries": {"luck": {**WORD, "refuses": ["Bad."]}}}),
        (
            "word-example-wrong",
            ("entries", "luck", "passes", 0),
            {"entries": {"luck": {**WORD, "passes": ["Luckily so."]}}},
        ),
        ("word-allowance-too-wide", ("allow", "key", "say"), {"allow": {"key": {**ALLOW, "say": "faulty"}}}),
        ("word-allowance-too-wide", ("allow", "key", "say"), {"allow": {"key": {**ALLOW, "say": "due to"}}}),
        ("word-allowance-too-wide", ("allow", "key", "say"), {"allow": {"key": {**ALLOW, "say": "faulty lam*"}}}),
    ],
)
def test_what_is_wrong_is_told_and_left_out(rule: str, path: tuple[str | int, ...], changes: dict[str, Any]) -> None:
    lists, faults = together(**changes)
    assert [(fault.rule, fault.path) for fault in faults] == [(rule, path)]
    assert faults[0].found and faults[0].needed and faults[0].mend.endswith(".")
    assert lists == put_together(packaged().words, {})[0]
