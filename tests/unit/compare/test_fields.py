"""Two records side by side: entries of a list are set beside what they were, wherever they stand now."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from asfound.compare import Area, Difference, Kind, in_words
from asfound.compare.difference import Move
from asfound.compare.fields import fields_of, moves_of
from asfound.model.reasoning import Conclusion

SENTENCES = {"a": "The pad lay on dry skin.", "b": "The output held.", "c": "The alarm came late."}


def conclusion(letters: str, ground: str = "F-1") -> Conclusion:
    """A conclusion carried by the sentences of these letters."""
    opinion = {"text": "It was so.", "level": "possible", "rests_on": [ground], "explanations": ["X-1"]}
    return Conclusion.model_validate(
        {
            "by": "examiner",
            "mechanism": opinion,
            "reason": opinion,
            "carried_by": [{"text": SENTENCES[one], "rests_on": [ground]} for one in letters],
            "limits_of_work": "The patient was not seen.",
            "would_settle": "Nothing.",
        }
    )


def told(old: str, new: str) -> list[tuple[str, str | None, str | None]]:
    return [
        (one.called, one.old, one.new)
        for one in moves_of(conclusion(old), conclusion(new))
        if "ground" not in one.called
    ]


def test_a_sentence_taken_out_is_told_as_that_one_gone() -> None:
    gone = "wording of sentence 2 (as numbered before) that carries it"
    assert told("abc", "ac") == [(gone, SENTENCES["b"], None)]
    assert told("abc", "ab") == [("wording of sentence 3 that carries it", SENTENCES["c"], None)]
    assert told("ac", "abc") == [("wording of sentence 2 that carries it", None, SENTENCES["b"])]
    assert told("ab", "ac") == [("wording of sentence 2 that carries it", SENTENCES["b"], SENTENCES["c"])]


LISTS = [letters for size in (1, 2, 3) for some in permutations("abc", size) for letters in ["".join(some)]]


@pytest.mark.parametrize(("old", "new"), list(product(LISTS, LISTS)))
def test_what_is_told_leads_from_the_one_list_to_the_other(old: str, new: str) -> None:
    """Played back upon the old list: what is gone is gone, and what is new stands where it is said to stand."""
    found = moves_of(conclusion(old), conclusion(new))
    names = [one.name for one in found]
    assert len(names) == len(set(names))
    assert bool(found) == (old != new)
    texts = [SENTENCES[one] for one in old]
    for one in told(old, new):
        if one[1] is not None:
            texts.remove(one[1])
    for called, _, now in sorted(told(old, new), key=lambda one: int(one[0].split()[3])):
        if now is not None:
            texts.insert(int(called.split()[3]) - 1, now)
    assert texts == [SENTENCES[one] for one in new]


def test_a_record_that_came_or_went_is_told_with_all_its_fields() -> None:
    whole = conclusion("ab")
    assert [(one.name, one.old, one.new) for one in moves_of(None, whole)] == [
        (name, None, text) for name, text in fields_of(whole).items()
    ]
    assert [(one.name, one.old, one.new) for one in moves_of(whole, None)] == [
        (name, text, None) for name, text in fields_of(whole).items()
    ]


def sentence(old: str | None, new: str | None) -> str:
    kind = Kind.CHANGED if old and new else Kind.ADDED if new else Kind.REMOVED
    return in_words(Difference(Area.RECORD, kind, "F-1", (Move("rests on", old, new),)))


def test_of_a_list_of_records_the_ones_that_came_and_went_are_named() -> None:
    assert sentence("R-a-1, R-a-2, E-1", "R-a-1, E-1, E-2") == (
        "The finding F-1 was changed: rests on no longer names R-a-2 and now names E-2."
    )
    assert sentence("R-a-1", "R-a-1, R-a-10, R-a-9") == (
        "The finding F-1 was changed: rests on now names R-a-9, R-a-10."
    )
    assert sentence("F-1", "F-2") == "The finding F-1 was changed: rests on from F-1 to F-2."
    # The same in another order has no other words than both in full.
    assert sentence("F-1, F-2", "F-2, F-1") == "The finding F-1 was changed: rests on from F-1, F-2 to F-2, F-1."


def test_a_long_list_of_records_is_cut_between_two_and_is_no_quotation() -> None:
    many = ", ".join(f"R-output-{number}" for number in range(1, 60))
    said = sentence(None, many)
    assert said.endswith("R-output-13 and 46 more.") and "“" not in said
    assert sentence(None, "R-output-1, R-output-2, R-output-3, R-output-4, R-output-5") == (
        "The finding F-1 is new: rests on R-output-1, R-output-2, R-output-3, R-output-4, R-output-5."
    )
    long = f"R-{'a' * 200}-1"
    assert sentence(None, f"{long}, R-b-1") == f"The finding F-1 is new: rests on {long} and 1 more."
