"""What came and what went between two runs."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from asfound.problems import Level, Problem, Span, moved

ONE = Problem("seal-mismatch", Level.WARN, Span("cases/a/custody.csv", 9), "two seals", "one is needed", subject="C-8")
TWO = Problem("yaml-syntax", Level.REJECT, Span("cases/a/gates.yml", 3, 1), "a bracket is open", "its end is needed")


def test_a_problem_whose_line_alone_changed_has_not_moved() -> None:
    assert not moved([ONE, TWO], [replace(ONE, span=Span("cases/a/custody.csv", 12, 3)), TWO])


def test_what_came_what_went_and_what_reads_otherwise() -> None:
    heavier = ONE.at(Level.REJECT)
    change = moved([ONE, TWO], [heavier, replace(TWO, span=Span("cases/a/items.yml", 1))])
    assert change.new == (replace(TWO, span=Span("cases/a/items.yml", 1)),)
    assert change.otherwise == (heavier,) and change.mended == (TWO,) and change


def test_of_several_alike_as_many_are_told_as_came_or_went() -> None:
    assert moved([TWO, TWO], [TWO]).mended == (TWO,)
    assert moved([TWO], [TWO, TWO, TWO]).new == (TWO, TWO)


_SOME = st.lists(
    st.builds(
        lambda rule, subject, found, line: Problem(rule, Level.NOTE, Span("a", line), found, "x", subject=subject),
        st.sampled_from(["one", "two"]), st.sampled_from(["", "I-1"]), st.sampled_from(["p", "q"]), st.integers(1, 3),
    ),
    max_size=6,
)  # fmt: skip


@given(_SOME, _SOME)
def test_the_counts_add_up_and_the_way_back_is_the_mirror(before: list[Problem], after: list[Problem]) -> None:
    there, back = moved(before, after), moved(after, before)
    assert len(before) + len(there.new) - len(there.mended) == len(after)
    assert (len(there.new), len(there.otherwise), len(there.mended)) == (
        len(back.mended), len(back.otherwise), len(back.new),
    )  # fmt: skip
    assert not moved(before, before)
