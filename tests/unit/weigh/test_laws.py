"""What holds for every case: a strike raises nothing, nor does an exception; the order of records has no say."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.model.limits import SourceStatus
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import rank
from asfound.weigh import weigh, without
from asfound.weigh.standings import standing
from asfound.weigh.strikes import Whole, taken

from .bench import AT, Change, drop, facts, limit, put
from .test_links import BARE, WAYS, _sound
from .test_strikes import AGAIN

CHANGES: list[list[Change]] = [way[1] for way in WAYS] + [list(AGAIN), [limit(SourceStatus.CONFIRMED)]]
REFS = (
    "I-1", "I-2", "I-3", "M-1", "M-2", "S-glow", "S-leak", "S-again", "R-glow-1", "R-glow-2", "R-leak-1", "V-1", "E-1",
    "W-1", "A-1", "F-1", "F-2", "F-3", "K-1", "P-glow", "examiner", "second",
)  # fmt: skip

several = st.lists(st.sampled_from(range(len(CHANGES))), max_size=3, unique=True)
quietly = settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def chosen(numbers: list[int]) -> list[Change]:
    """Some of the changes, those left out that no longer find what they change."""
    found: list[Change] = []
    for number in numbers:
        try:
            facts(*found, *CHANGES[number], _sound)
        except (KeyError, IndexError):
            continue
        found += CHANGES[number]
    return [*found, _sound]


def levels(*changes: Change, shuffle: bool = False) -> tuple[ConfidenceLevel, ConfidenceLevel]:
    found = weigh(facts(*changes, shuffle=shuffle))
    assert found is not None
    return found.mechanism.level, found.reason.level


@quietly
@given(several, st.lists(st.sampled_from(REFS), min_size=1, max_size=3, unique=True))
def test_a_strike_never_raises_a_level(numbers: list[int], refs: list[str]) -> None:
    struck = without(facts(*chosen(numbers)), refs)
    for fall in struck.levels:
        assert rank(ConfidenceLevel(fall.after)) < rank(ConfidenceLevel(fall.before))


@quietly
@given(several, st.lists(st.sampled_from(REFS), min_size=1, max_size=2, unique=True), st.sampled_from(REFS))
def test_taking_more_away_leaves_no_more(numbers: list[int], refs: list[str], further: str) -> None:
    whole = facts(*chosen(numbers))
    less = {fall.of: fall.after for fall in without(whole, refs).levels}
    least = {fall.of: fall.after for fall in without(whole, [*refs, further]).levels}
    for part, after in less.items():
        assert part in least and rank(ConfidenceLevel(least[part])) <= rank(ConfidenceLevel(after))


@quietly
@given(several, st.lists(st.sampled_from(REFS), min_size=1, max_size=2, unique=True))
def test_what_a_strike_takes_over_from_the_whole_stands_as_weighed_anew(numbers: list[int], refs: list[str]) -> None:
    whole = Whole.of(facts(*chosen(numbers)))
    struck = whole.ground.without(taken(whole.ground.facts, refs))
    for ref, one in whole.standings.items():
        explanation = struck.case.explanations[ref]
        assert standing(struck, ref, explanation, one) == standing(struck, ref, explanation)


@quietly
@given(several, st.sampled_from([None, "S-glow", "I-1", "I-3", "X-1", "M-2"]))
def test_an_exception_never_raises_a_level(numbers: list[int], subject: str | None) -> None:
    base = chosen(numbers)
    record = {"rule": "custody-gap", "by": "examiner", "at": AT.format("12"), "why": "So.", "effect": "Less."}
    more = put("exceptions.Q-9", {**record, **({"subject": subject} if subject else {})})
    for before, after in zip(levels(*base), levels(*base, more), strict=True):
        assert rank(after) <= rank(before)


@quietly
@given(several)
def test_a_further_rival_never_raises_a_level(numbers: list[int]) -> None:
    base = chosen(numbers)
    assert rank(levels(*base, put("explanations.X-9", BARE))[0]) <= rank(
        max(levels(*base)[0], ConfidenceLevel.POSSIBLE, key=rank)
    )


@quietly
@given(several)
def test_the_order_of_records_has_no_say(numbers: list[int]) -> None:
    base = chosen(numbers)
    assert weigh(facts(*base)) == weigh(facts(*base, shuffle=True))


@quietly
@given(several)
def test_no_caution_of_the_author_raises_a_level(numbers: list[int]) -> None:
    base = chosen(numbers)
    before = levels(*base)[0]
    try:
        careful = levels(*base, put("explanations.X-1.status", "undetermined"))[0]
    except KeyError:
        return
    assert rank(careful) <= rank(before)


def test_the_law_about_strikes_could_fail() -> None:
    """The strikes tried above do lower levels: else the laws would hold of anything."""
    assert any(without(facts(), [ref]).levels for ref in REFS)
    assert not without(facts(drop("explanations.X-2")), ["V-1"]).levels
