"""The order of thought: plan, readings, statements opened, weighed; and how each step is shown to follow another.

Three things can show it. The digest of a dated paper plan, handed to somebody before the first reading, stands by
itself. The order of commits is order inside this repository, and only where one commit rests on the other: of branches
that ran side by side, of one commit for both, and of commits made anew nothing can be said. Times written down by the
examiner contradict an order, and never prove one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum

from msgspec import Struct

from asfound.measure.show import show_time
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.past import Past, brought_value
from asfound.model.work import Gate, GateKind

OPENED = "opened_to_examiner_at"


class How(StrEnum):
    """How an order is shown."""

    PAPER = "shown by the digest of a dated paper plan"
    COMMITS = "shown by the order of the commits"
    NOT_PROVABLE = "not provable"
    AGAINST = "contradicted"
    NOT_RECORDED = "not on record"


class Turn(StrEnum):
    """The steps, in the order in which they should be taken."""

    PLAN = "plan"
    READINGS = "readings"
    OPENED = "statements opened"
    WEIGHED = "weighed"


class Taken(Struct, frozen=True):
    """A step: the time on record, the records that hold it, and the first and last commit that brought them.

    refs is short for readings: the sheets that were asked.
    """

    turn: Turn
    at: Moment | None
    refs: tuple[str, ...]
    first: str = ""
    last: str = ""


class Order(Struct, frozen=True):
    """That one step came before another.

    why     a clause: what shows it, contradicts it, or keeps it from being proved
    refs    the records that speak, the earlier step's first
    commits the commits that speak, the earlier step's first; empty where none do
    times   whether it is the times on record that contradict it, and not the commits
    unsaved whether both steps still wait to be committed, so that committing one before the other would show it
    """

    first: Turn
    then: Turn
    how: How
    why: str
    refs: tuple[str, ...] = ()
    commits: tuple[str, ...] = ()
    times: bool = False
    unsaved: bool = False


class Thought(Struct, frozen=True):
    """The steps in order, and each order between two."""

    taken: tuple[Taken, ...]
    orders: tuple[Order, ...]

    def order(self, then: Turn) -> Order | None:
        """How it is shown that a step came after the one before it."""
        return next((one for one in self.orders if one.then is then), None)


def order_of_thought(case: Case, past: Past) -> Thought:
    """The steps of a case and how their order is shown. `Past()` asks what the case shows by itself, without git."""
    return Thought(
        (_plan(case, past), _readings(case, past), _opened(case, past), _weighed(case, past)),
        tuple(one for one in (plan_first(case, past), readings_first(case, past), weighed_last(case, past)) if one),
    )


def first_result(case: Case) -> tuple[str, Moment] | None:
    """The first sheet of a test that was planned, not added later, and the time its readings began."""
    found = [(case.sheets[ref].from_.at, ref, case.sheets[ref].from_) for ref in planned_sheets(case)]
    first = min(found, key=lambda one: one[:2], default=None)
    return None if first is None else (first[1], first[2])


def last_result(case: Case) -> tuple[str, Moment] | None:
    """The last sheet of a test that was planned, not added later, and the time its readings ended."""
    found = [(case.sheets[ref].to.at, ref, case.sheets[ref].to) for ref in planned_sheets(case)]
    last = max(found, key=lambda one: one[:2], default=None)
    return None if last is None else (last[1], last[2])


def planned_sheets(case: Case) -> tuple[str, ...]:
    """Sheets with standing readings whose test stood in the plan from the beginning."""
    tests = case.plan.tests if case.plan else {}
    return tuple(
        ref
        for ref, sheet in case.sheets.items()
        if sheet.test in tests and tests[sheet.test].added is None and case.standing(ref)
    )


def plan_first(case: Case, past: Past) -> Order | None:
    """That the plan came before its results; None where there is no plan, or no result yet."""
    plan, first = case.plan, first_result(case)
    if plan is None or first is None:
        return None
    sheet, at = first
    seal = plan.sealed
    if plan.written_at > at:
        why = f"the plan was written at {_told(plan.written_at)}, the first results are of {_told(at)} ({sheet})"
        return Order(Turn.PLAN, Turn.READINGS, How.AGAINST, why, ("plan.yml", sheet), times=True)
    if seal is not None and seal.at > at:
        why = f"the plan was sealed at {_told(seal.at)}, the first results are of {_told(at)} ({sheet})"
        return Order(Turn.PLAN, Turn.READINGS, How.AGAINST, why, ("plan.yml", sheet), times=True)
    if seal is not None and (seal.sha256 or seal.evidence):
        why = f"sealed at {_told(seal.at)}, and the first results are of {_told(at)}"
        return Order(Turn.PLAN, Turn.READINGS, How.PAPER, why, ("plan.yml", *seal.evidence, sheet))
    pairs = [(f"P-{case.sheets[ref].test}", row.id) for ref in planned_sheets(case) for row in case.standing(ref)]
    return _by_commits(case, past, Turn.PLAN, Turn.READINGS, pairs, ("the plan", "its results"))


def readings_first(case: Case, past: Past) -> Order | None:
    """That the readings came before statements were opened; None where there is no reading or nothing was opened."""
    last = last_result(case)
    opened = [(ref, one.opened_to_examiner_at) for ref, one in case.statements.items() if one.opened_to_examiner_at]
    gates = [(ref, gate.at) for ref, gate in _gates(case, GateKind.STATEMENTS_OPENED)]
    if last is None or not (opened or gates):
        return None
    sheet, at = last
    early = [(ref, moment) for ref, moment in (*opened, *gates) if moment is not None and moment < at]
    if early:
        ref, moment = min(early, key=lambda one: (one[1].at, one[0]))
        why = f"{ref} was opened at {_told(moment)}, the last planned readings are of {_told(at)} ({sheet})"
        if ref.startswith("G-"):
            last_of = f"the last planned readings are of {_told(at)} ({sheet})"
            why = f"statements were opened at {_told(moment)} ({ref}), {last_of}"
        refs = (*(one for one, _ in early), sheet)
        return Order(Turn.READINGS, Turn.OPENED, How.AGAINST, why, refs, times=True)
    rows = [row.id for ref in planned_sheets(case) for row in case.standing(ref)]
    after = [ref for ref, _ in (*opened, *gates)]
    pairs = [(row, ref) for row in rows for ref in after]
    return _by_commits(case, past, Turn.READINGS, Turn.OPENED, pairs, ("the readings", "the opening of the statements"))


def weighed_last(case: Case, past: Past) -> Order | None:
    """That the explanations were weighed after the readings, and after the statements were opened where they were.

    Several weighings contradict it only where none of them came after. Of git the conclusion is asked: an opinion that
    was written down before its evidence is what this is about. A statement that was weighed again is not asked there:
    the conclusion that stood before it is that of an earlier edition.
    """
    last = last_result(case)
    gates = _gates(case, GateKind.WEIGHED)
    if last is None or (case.conclusion is None and not gates):
        return None
    sheet, at = last
    opened = [(one.opened_to_examiner_at, ref) for ref, one in case.statements.items() if one.opened_to_examiner_at]
    if opened:
        latest, ref = max(opened, key=lambda one: (one[0].at, one[1]))
        if latest > at:
            sheet, at = ref, latest
    first = Turn.OPENED if opened else Turn.READINGS
    early = sorted(((ref, gate.at) for ref, gate in gates if gate.at < at), key=lambda one: (one[1].at, one[0]))
    # What came in later was weighed again, as before an amendment: the last weighing counts, as the rule has it.
    if early and len(early) == len(gates):
        why = f"the explanations were weighed at {_told(early[0][1])} ({early[0][0]}), "
        if sheet.startswith("W-"):
            why += f"{sheet} was opened at {_told(at)}"
        else:
            why += f"the last planned readings are of {_told(at)} ({sheet})"
        return Order(first, Turn.WEIGHED, How.AGAINST, why, (early[0][0], sheet), times=True)
    if case.conclusion is None:
        return Order(first, Turn.WEIGHED, How.NOT_RECORDED, "no conclusion is on record")
    again = min((gate.at for _, gate in gates), default=None) if early else None
    before = [ref for moment, ref in opened if again is None or moment <= again] or [
        row.id for ref in planned_sheets(case) for row in case.standing(ref)
    ]
    pairs = [(ref, "conclusion.yml") for ref in before]
    words = ("the opening of the statements" if opened else "the readings", "the conclusion")
    return _by_commits(case, past, first, Turn.WEIGHED, pairs, words)


def _by_commits(
    case: Case, past: Past, first: Turn, then: Turn, pairs: Iterable[tuple[str, str]], words: tuple[str, str]
) -> Order:
    """What the order of the commits says of records that should have come one before the other."""

    def told(how: How, why: str, refs: tuple[str, ...] = (), commits: tuple[str, ...] = ()) -> Order:
        return Order(first, then, how, why, refs, commits)

    if case.head.entered_later is not None:
        return told(How.NOT_PROVABLE, "the case says that it was entered into git after the work")
    if not past.known:
        return told(How.NOT_PROVABLE, _clause(past.why))
    if past.cut:
        return told(How.NOT_PROVABLE, "the beginning of the history is not in this clone")
    open_: Order | None = None
    shown: Order | None = None
    asked: dict[tuple[str, str], tuple[str, str]] = {}
    brought: dict[str, str] = {}
    for refs in pairs:
        for ref in refs:
            if ref not in brought:
                brought[ref] = entered(past, ref)
        asked.setdefault((brought[refs[0]], brought[refs[1]]), refs)
    for (ours, theirs), refs in asked.items():
        if not ours and not theirs:
            why = f"neither {refs[0]} nor {refs[1]} is committed yet"
            open_ = open_ or Order(first, then, How.NOT_PROVABLE, why, refs, unsaved=True)
        elif not ours:
            open_ = open_ or told(How.NOT_PROVABLE, f"{refs[0]} is not committed yet, and {refs[1]} is", refs)
        elif not theirs and (commit := past.commit(ours)) is not None and commit.anew:
            open_ = open_ or told(How.NOT_PROVABLE, _anew(ours), refs, (ours,))
        elif not theirs:
            # What is only in the folder comes after every commit that is there.
            why = f"{refs[0]} was committed ({ours[:10]}), {refs[1]} is not committed yet"
            shown = shown or told(How.COMMITS, why, refs, (ours,))
        elif ours == theirs:
            why = f"{words[0]} and {words[1]} entered git in one commit, {ours[:10]}"
            open_ = open_ or told(How.NOT_PROVABLE, why, refs, (ours,))
        elif past.before(theirs, ours):
            why = f"{refs[1]} was committed ({theirs[:10]}) before {refs[0]} ({ours[:10]})"
            return told(How.AGAINST, why, refs, (ours, theirs))
        elif not past.before(ours, theirs):
            why = f"commits {ours[:10]} ({refs[0]}) and {theirs[:10]} ({refs[1]}) lie on branches that ran side by side"
            open_ = open_ or told(How.NOT_PROVABLE, why, refs, (ours, theirs))
        elif any(commit is not None and commit.anew for commit in (past.commit(ours), past.commit(theirs))):
            anew = next(one for one in (ours, theirs) if (commit := past.commit(one)) is not None and commit.anew)
            open_ = open_ or told(How.NOT_PROVABLE, _anew(anew), refs, (ours, theirs))
        else:
            why = f"{refs[1]} was committed ({theirs[:10]}) after {refs[0]} ({ours[:10]})"
            shown = shown or told(How.COMMITS, why, refs, (ours, theirs))
    return open_ or shown or told(How.NOT_PROVABLE, "the history holds neither")


def _anew(commit: str) -> str:
    return f"commit {commit[:10]} was made anew after first being written, as by an amendment or a rebase"


def entered(past: Past, ref: str) -> str:
    """The commit that first brought a record; of a reading its value; of a statement, that it was opened.

    Empty where no commit did, as of a row that was committed empty and is filled in the folder.
    """
    if ref.startswith("R-"):
        found = brought_value((*past.of(ref), *past.lying.get(ref, ())))
        return found.commit if found is not None else ""
    for change in past.of(ref):
        if not ref.startswith("W-"):
            if change.kind == "added":
                return change.commit
        elif any(field.name == OPENED and field.new for field in change.fields):
            return change.commit
    return ""


def _clause(sentence: str) -> str:
    """The first sentence as a clause; a way to mend that follows it is said elsewhere."""
    first = sentence.partition(". ")[0]
    return (first[:1].lower() + first[1:]).rstrip(".")


def _gates(case: Case, kind: GateKind) -> list[tuple[str, Gate]]:
    return [(ref, gate) for ref, gate in case.gates.gates.items() if gate.gate is kind]


def _plan(case: Case, past: Past) -> Taken:
    plan = case.plan
    if plan is None:
        return Taken(Turn.PLAN, None, ())
    at = plan.sealed.at if plan.sealed is not None else plan.written_at
    tests = [f"P-{name}" for name, test in plan.tests.items() if test.added is None]
    return Taken(Turn.PLAN, at, ("plan.yml",), *_span(past, tests))


def _readings(case: Case, past: Past) -> Taken:
    sheets = planned_sheets(case)
    last = last_result(case)
    rows = (row.id for ref in sheets for row in case.standing(ref))
    return Taken(Turn.READINGS, last[1] if last else None, sheets, *_span(past, rows))


def _opened(case: Case, past: Past) -> Taken:
    found = [(one.opened_to_examiner_at, ref) for ref, one in case.statements.items() if one.opened_to_examiner_at]
    found += [(gate.at, ref) for ref, gate in _gates(case, GateKind.STATEMENTS_OPENED)]
    first = min(found, key=lambda one: (one[0].at, one[1]), default=None)
    refs = tuple(ref for _, ref in found)
    return Taken(Turn.OPENED, first[0] if first else None, refs, *_span(past, refs))


def _weighed(case: Case, past: Past) -> Taken:
    gates = _gates(case, GateKind.WEIGHED)
    refs = (*(ref for ref, _ in gates), *(("conclusion.yml",) if case.conclusion else ()))
    first = min((gate.at for _, gate in gates), key=lambda at: at.at, default=None)
    return Taken(Turn.WEIGHED, first, refs, *_span(past, refs[-1:]))


def _span(past: Past, refs: Iterable[str]) -> Iterator[str]:
    """The first and the last of the commits that brought some records, in the order of the history."""
    places = {one.id: place for place, one in enumerate(past.commits)}
    found = sorted({places[commit] for ref in refs if (commit := entered(past, ref)) in places})
    return iter((past.commits[found[0]].id, past.commits[found[-1]].id) if found else ("", ""))


def _told(moment: Moment) -> str:
    return show_time(moment.at)
