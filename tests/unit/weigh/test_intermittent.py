"""Something that comes and goes: who tells of it, and what provoked it (our own words; common practice, no source)."""

from __future__ import annotations

import pytest

from asfound.model.reasoning import ConfidenceLevel
from asfound.weigh import unprovoked, weigh, without

from .bench import AT, Change, facts, links, put

LINK = "intermittent-not-provoked"
GOES = put("head.event.account", "It Flickered, then went out.")
TOLD = put(
    "statements.W-1",
    {"by": "nurse", "taken_at": AT.format("08"), "taken_by": "examiner", "was_told": "It stopped now and then."},
)


def test_an_account_or_a_statement_tells_of_it() -> None:
    of_account = links(GOES)[LINK]
    assert (of_account.refs, of_account.caps) == ((), ConfidenceLevel.PROBABLE)
    assert of_account.text.startswith("The account tells of something that comes and goes")
    of_statement = links(TOLD)[LINK]
    assert of_statement.refs == ("W-1",) and of_statement.text.startswith("W-1 tells of")
    assert unprovoked(facts(GOES).case) == "the account" and unprovoked(facts(TOLD).case) == "W-1"
    assert LINK not in links() and unprovoked(facts().case) == ""


@pytest.mark.parametrize(
    "change",
    [
        put("sheets.S-leak.note", "The lead was FLEXED at the plug meanwhile."),
        put("sheets.S-leak.constants", {"state": "after six hours on"}),
        put("sheets.S-leak.constants", {"state": "housing wetted"}),
    ],
)
def test_a_sheet_that_says_what_was_done_to_provoke_it_answers_that(change: Change) -> None:
    assert LINK not in links(GOES, change)
    assert unprovoked(facts(GOES, change).case) == ""


def test_a_sheet_nothing_was_read_on_provoked_nothing() -> None:
    said = put("sheets.S-leak.note", "The lead was flexed at the plug meanwhile.")
    assert LINK in links(GOES, said, put("readings.leak", []))
    assert unprovoked(facts(GOES, said, put("readings.leak", [])).case) == "the account"


def test_without_whoever_told_of_it_nothing_need_be_provoked_and_without_the_sheet_it_was_not() -> None:
    """A strike never raises a level; here it would, and does not."""
    whole = weigh(facts(TOLD))
    assert whole is not None and whole.mechanism.level is ConfidenceLevel.PROBABLE
    assert not without(facts(TOLD), ["W-1"]).levels
    done = put("sheets.S-leak.note", "The lead was flexed at the plug meanwhile.")
    provoked = facts(GOES, done, put("explanations.X-2.needs.0.shown_false_by", ["V-1"]))
    found = weigh(provoked)
    assert found is not None and found.mechanism.level is ConfidenceLevel.ESTABLISHED
    fall = [(one.of, one.before, one.after) for one in without(provoked, ["S-leak"]).levels]
    assert fall == [("mechanism", "established", "probable")]
