"""Each line of the starter list for this kind of event is weighed, or set aside with the reason.

A line is in play unless the answers in case.yml take it out; a question that nobody answered leaves it in. It is
weighed where an explanation names it under `starters` or has its topic. For a lesion of the skin this is demanded; for
other kinds of event the list is offered, and what is left open warns.

Fails: a skin lesion with a generator in use, and nothing about the insulation of the instruments.
Passes: an explanation with `starters: [insulation-failure]`; or `set_aside: {insulation-failure: none was used}`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.starters import StarterList
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import listed
from asfound.rules._work import stands

ENTRY = Entry(
    name="starter-line-open",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="Each explanation that such an event asks for is weighed, or set aside with the reason.",
    reason="The explanation that nobody thought of is the one the other side brings.",
    source="public summaries of guidance on skin injury called burns (1980, 1993); J Med Eng 2014, article 314138",
    status="secondary",
    mend="Run asfound explain --starter for the list; weigh each line, or set it aside in case.yml under set_aside.",
    rows=("R74",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """For each list: one problem for questions without an answer, one for lines that are open."""
    case = facts.case
    if not case.explanations and not stands(facts, "explanations.yml"):
        return  # that there is none at all has a rule of its own
    if case.some_unread("X"):
        return
    for made in facts.book.starters.values():
        if made.is_for(case.head):
            yield from _questions(facts, made)
            yield from _lines(facts, made)


def _questions(facts: Facts, made: StarterList) -> Iterator[Problem]:
    unanswered = [name for name in made.questions if name not in facts.case.head.answers]
    if unanswered:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "answers",
            found=f"of the questions of the list {made.starter}, {listed(unanswered)} {_is(unanswered)} not answered",
            needed="yes, no or not known is needed for each, under answers",
            level=Level.WARN,
        )


def _lines(facts: Facts, made: StarterList) -> Iterator[Problem]:
    open_ = list(made.left_open(facts.case))
    if open_:
        yield facts.problem(
            ENTRY,
            "explanations.yml",
            found=f"of the list {made.starter}, {listed(open_)} {_is(open_)} neither weighed nor set aside",
            needed="an explanation, or the reason it is not in play, is needed for each",
            level=None if made.asked == "must" else Level.WARN,
            mend=f"Run asfound explain --starter {made.starter}; weigh each, or set it aside in case.yml.",
        )


def _is(names: list[str]) -> str:
    return "is" if len(names) == 1 else "are"
