"""Which order of two events a sentence states, and which sentences state none."""

from __future__ import annotations

import pytest

from asfound.rules.timeline._order_words import orders

STATED = [
    ("The alarm sounded [T-3] before the drape came off [T-5].", [("T-3", "T-5")]),
    ("[T-3] came before [T-5].", [("T-3", "T-5")]),
    ("[T-3] came four minutes before [T-5].", [("T-3", "T-5")]),
    ("The first activation [T-2], two minutes before the pad was laid on [T-1], is in the log.", [("T-2", "T-1")]),
    ("[T-7] lies after [T-6].", [("T-6", "T-7")]),
    ("The lesion was seen [T-7] only after the drape and the pad were taken off [T-6].", [("T-6", "T-7")]),
    ("After the drape came off [T-6], the lesion was seen [T-7].", [("T-6", "T-7")]),
    ("Before the drape came off [T-6], the last activation had ended [T-4].", [("T-4", "T-6")]),
    ("The pad was laid on [T-1], then the first activation came [T-2].", [("T-1", "T-2")]),
    ("The pad was laid on [T-1] and two minutes later the first activation came [T-2].", [("T-1", "T-2")]),
    ("The pad was laid on [T-1], and then the first activation came [T-2].", [("T-1", "T-2")]),
    ("The charge [T-1] was followed by the shock [T-2].", [("T-1", "T-2")]),
    ("The charge [T-1] preceded the shock [T-2], which came later than the call [T-3].",
     [("T-1", "T-2")]),
    ("[T-1] and [T-2] came before [T-3].", [("T-1", "T-3"), ("T-2", "T-3")]),
    ("The call [T-1] [E-4] came prior to the charge [T-2] [R-log-7].", [("T-1", "T-2")]),
    ("The shock came before the call [T-1] [T-2].", [("T-1", "T-2")]),
    ("**The call** [T-1] came *before* the charge [T-2].", [("T-1", "T-2")]),
]  # fmt: skip

NOT_STATED = [
    "Whether the alarm sounded [T-3] before the drape came off [T-5] is not known.",
    "The alarm may have sounded [T-3] before the drape came off [T-5].",
    "It cannot be said that [T-3] came before [T-5].",
    "If [T-3] came before [T-5], the alarm did what it should.",
    "The alarm did not sound [T-3] before the drape came off [T-5].",
    "[T-3] came no later than [T-5].",
    "[T-3] came not before [T-5].",
    "[T-3] lies before or after [T-5].",
    "[T-3] and [T-5] are in no order: either came before the other.",
    "The first activation [T-2] and the last [T-4] are in the log.",
    "The pad was laid on [T-1], and the drape came off before the lesion was seen [T-7].",
    "The drape came off [T-6] and the pad was in the bin before the lesion was seen [T-7].",
    "The pad was laid on [T-1] before the operation, and the drape was taken off [T-6].",
    "The pad was laid on before the operation [T-1]; the drape was taken off [T-6].",
    "The before-custody account [T-6] speaks of the pad [T-10].",
    "Until then [T-1] the unit was off, says the log [T-2].",
    "[T-1] was before the operation as [T-2] shows.",
    "[T-4] follows from [T-3].",
    "The witness said “the shock [T-1] came before the call [T-2]”.",
    "> The shock [T-1] came before the call [T-2].",
    "The shock came before the call [T-1].",
    "The alarm [E-3] came before the call [E-4].",
    "The device was used [T-1] after the check [S-3] and, as told, before the call [T-2].",
    "Did [T-1] come before [T-2]?",
    "[T-1] is known to the second, while the call came before noon [T-2].",
    "The room was closed [T-8]. Before that, the lesion was seen [T-7].",
]


@pytest.mark.parametrize(("text", "expected"), STATED)
def test_an_order_is_read(text: str, expected: list[tuple[str, str]]) -> None:
    assert [(one.early, one.late) for one in orders(text)] == expected


@pytest.mark.parametrize("text", NOT_STATED)
def test_no_order_is_read_where_none_is_stated(text: str) -> None:
    assert orders(text) == ()


def test_two_citations_behind_one_word_do_not_say_which_is_which() -> None:
    assert [one.sure for one in orders("The shock came before the call [T-1] [T-2].")] == [False]
    assert [one.sure for one in orders("[T-1] came before [T-2].")] == [True]
