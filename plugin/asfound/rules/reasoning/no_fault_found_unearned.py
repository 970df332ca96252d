"""*No fault found* is earned: everything that was in use is there, as-found settings were tested, nothing failed.

Fails: `no_problem_found: yes` while the foot switch in use was never impounded, or where a reading could not be held
against its limit; a mechanism that says there that the device worked as intended.
Passes: `no_problem_found: yes` where each thing in use was examined, function was tested as found, each planned
combination was measured and no reading is outside its limit.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.model.verdict import CellState, Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._lexicon import word_problems
from asfound.rules._texts import named
from asfound.rules._work import tested_as_found
from asfound.weigh import unprovoked

ENTRY = Entry(
    name="no-fault-found-unearned",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The report says that no fault was found only where the whole set-up was there, tested as found, and passed.",
    reason="A fault that nobody could have found was not shown to be absent.",
    source="IMDRF/AE WG/N43 (Edition 4, 2020), annexes B and D (no problem detected needs the device tested)",
    status="confirmed",
    mend="Take back no_problem_found, or the words, and say what was not examined, or examine it.",
    rows=("R82",),
)


_OPINION = frozenset(("mechanism", "reason"))


def check(facts: Facts) -> Iterator[Problem]:
    """One problem with all the reasons; a warning where the only one is that an intermittent fault was not provoked."""
    conclusion = facts.case.conclusion
    if conclusion is None:
        return
    if not conclusion.no_problem_found:
        yield from _in_words(facts)
        return
    reasons = tuple(_reasons(facts))
    gentle = tuple(_unstressed(facts))
    if reasons or gentle:
        yield facts.problem(
            ENTRY,
            "conclusion.yml",
            "no_problem_found",
            found="no fault is said to be found, but " + "; ".join((*reasons, *gentle)),
            needed="the whole set-up, tested as found and within its limits, is needed for that",
            level=None if reasons else Level.WARN,
        )


def _in_words(facts: Facts) -> Iterator[Problem]:
    """A sentence that clears the device, without the field that asks for its grounds. What carries it may be sound."""
    reasons = tuple(_reasons(facts))
    if reasons:
        needed = f"what was found is needed, since {'; '.join(reasons)}"
        yield from word_problems(facts, ENTRY, "no-fault", needed, lambda text, hit: text.path[0] in _OPINION)


def _reasons(facts: Facts) -> Iterator[str]:
    case = facts.case
    absent = [
        ref
        for ref, item in case.items.items()
        if item.in_use_at_event and not item.impounded and item.role is not ItemRole.OTHER_DEVICE
    ]
    if absent:
        yield f"{named(absent)} {'was' if len(absent) == 1 else 'were'} in use and not impounded"
    as_found = tested_as_found(facts)
    untested = [ref for ref, item in case.items.items() if item.role is ItemRole.MAIN_DEVICE and ref not in as_found]
    if untested:
        yield f"{named(untested)} was not tested at its as-found settings"
    known = (grid for grid in facts.coverage if not facts.unread.test(grid.test))
    missing = sum(grid.count(CellState.MISSING) for grid in known)
    if missing:
        yield f"{_combinations(missing)} not measured"
    denied = sum(grid.count(CellState.NOT_OBTAINABLE) for grid in facts.coverage)
    if denied:
        yield f"{_combinations(denied)} not obtainable"
    open_ = dict.fromkeys(one.subject for one in facts.verdicts if one.outcome is Outcome.NOT_ASSESSABLE)
    if open_:
        yield f"{named(open_, 3)} could not be held against the limit"
    bad = [one.subject for one in facts.verdicts if one.outcome in {Outcome.FAIL, Outcome.CONDITIONAL_FAIL}]
    if bad:
        yield f"{named(dict.fromkeys(bad), 3)} {'is' if len(set(bad)) == 1 else 'are'} outside the limit"


def _combinations(count: int) -> str:
    return "1 planned combination was" if count == 1 else f"{count} planned combinations were"


def _unstressed(facts: Facts) -> Iterator[str]:
    told = unprovoked(facts.case)
    if told:
        yield f"{told} tells of something intermittent, and nothing was done to provoke it"
