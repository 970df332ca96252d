"""From a dossier to the list of what is to be done, each with its reason.

Nothing is judged here. What is missing of the tests is told by their grids, what stands against the case by the rules,
what is owed by the reckoned duties; this module puts them in order and says which gate comes next.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from asfound.ahead.phases import OF_GATE, OF_RULE, Phase, phase_of
from asfound.model.dossier import Core, Dossier
from asfound.model.duties import DutyLine
from asfound.model.grid import Grid
from asfound.model.limits import Test
from asfound.model.work import GateKind
from asfound.problems import Level, Problem, Span
from asfound.verdicts.grid import grids

# What these rules say is told by the step that stands for it: the gate that is next, the rows of a test.
_TOLD_BY_GATE = frozenset({"gates-missing"})
_TOLD_BY_ROWS = frozenset({"planned-test-not-done", "coverage-incomplete"})
_TOLD_BY_SIGNING = frozenset({"approval-void"})
_SIGNING = ("examiner", "reviewer")
_ROWS = 3
"""Rows of a test that are named, the first ones."""


class Step(Struct, frozen=True):
    """One thing to do.

    phase    where in the work it belongs
    what     what to do, a sentence
    why      why, a clause without a final stop
    where    its place in a file; None where there is none yet
    level    how much it weighs for the check; None where no rule speaks of it
    rule     the rule whose reason it is; empty where there is none
    subject  the record it concerns; empty where there is none
    command  a command that does it, or begins it; empty where there is none
    due      the last day for it
    """

    phase: Phase
    what: str
    why: str
    where: Span | None = None
    level: Level | None = None
    rule: str = ""
    subject: str = ""
    command: str = ""
    due: dt.date | None = None


def ahead(dossier: Dossier, topics: Mapping[str, str], issued: str = "") -> tuple[Step, ...]:
    """What is to be done, in the order of the work; within a stretch of it what weighs most first.

    `topics` says under which topic each rule stands; `issued` names the edition that holds the case as it is, or is
    empty. The facility's own duties are among the steps only where the dossier has them, which is at work.
    """
    core = dossier.core
    heavy = [one for one in core.problems if one.level is not Level.NOTE]
    end = tuple(_sign_and_issue(core, heavy, issued))
    told = _subsumed(core, heavy)
    # The signature that is asked for anew says why the one before it holds no more.
    told |= {one for one in heavy if one.rule in _TOLD_BY_SIGNING and any(one.found in step.why for step in end)}
    steps = [
        *_gate(core, heavy),
        *_rows(core, heavy),
        *_problems(heavy, topics, told),
        *_duties(dossier.duties.open, core.on),
        *end,
    ]
    order = {phase: number for number, phase in enumerate(Phase)}
    return tuple(sorted(steps, key=lambda step: (order[step.phase], _weight(step), step.due or dt.date.max)))


def _weight(step: Step) -> int:
    """A gate and the rows of a test stand before single remarks; of these first what cannot wait, then the heavier."""
    if step.level is None:
        return -2
    return -1 if step.rule in OF_RULE else step.level.rank


# Gates


def next_gate(core: Core) -> GateKind | None:
    """The gate after the furthest that was passed; None after the last one.

    Gates that were left out on the way are not asked for here: where one was needed, a rule says so.
    """
    passed = {gate.gate for gate in core.case.gates.gates.values()}
    order = tuple(OF_GATE)
    furthest = max((number for number, kind in enumerate(order) if kind in passed), default=-1)
    return next((kind for kind in order[furthest + 1 :] if not _idle(core, kind)), None)


def _idle(core: Core, kind: GateKind) -> bool:
    """Whether there is nothing that a gate could be passed for: no statement to open, no passive test in the plan."""
    case = core.case
    if kind is GateKind.STATEMENTS_OPENED:
        return not case.statements
    if kind is GateKind.PASSIVE_TESTS_DONE and case.plan is not None:
        known = _tests(core)
        planned = [known.get(name.partition("--")[0]) for name in case.plan.tests]
        return all(test is not None and test.energised for test in planned)
    return False


def _gate(core: Core, heavy: Iterable[Problem]) -> Iterator[Step]:
    kind = next_gate(core)
    if kind is None:
        return
    said = [one for one in heavy if one.rule in _TOLD_BY_GATE]
    passed = list(core.case.gates.gates.items())
    last = max(passed, key=lambda pair: pair[1].at.at, default=None)
    why = f"the last one passed is “{last[1].gate}” ({last[0]}, {last[1].at.text})" if last else "none was passed yet"
    if said and OF_GATE[kind] is Phase.GATES:
        why = f"{why}; {said[0].found}"
    if kind is GateKind.MADE_SAFE:
        why += "; nobody else may be hurt by the thing while it is examined"
    what, command = f"Pass the gate “{kind}”", f'asfound gate {core.case.id} "{kind}" --by ROLE'
    if kind is GateKind.PLAN_SEALED and core.case.plan is None:
        # What is not written cannot be sealed.
        what, command = f"Write the plan, then pass the gate “{kind}”", f"asfound plan {core.case.id}"
    yield Step(
        OF_GATE[kind],
        f"{what}, and write it down when it is passed.",
        why,
        Span(f"{core.case.folder}/gates.yml"),
        command=command,
        rule=said[0].rule if said and OF_GATE[kind] is Phase.GATES else "",
    )


# Rows of planned tests


def _tests(core: Core) -> dict[str, Test]:
    found: dict[str, Test] = {}
    for protocol in core.protocols.values():
        for name, test in protocol.tests.items():
            found.setdefault(name, test)
    return found


def _grids(core: Core) -> dict[str, Grid]:
    return grids(core.case, _tests(core), core.organisation.repeats_wanted)


def _rows(core: Core, heavy: Iterable[Problem]) -> Iterator[Step]:
    said = {one.subject.removeprefix("P-"): one for one in heavy if one.rule in _TOLD_BY_ROWS}
    for name, grid in _grids(core).items():
        # Repeats that a conclusion may want are no rows that lack: rules ask for them where one rests on the reading.
        rows = [row for row in grid.missing if row.repeat == 1]
        if not rows:
            continue
        problem = said.get(name)
        shown = [", ".join(f"{column} {value}" for column, value in row.conditions) for row in rows[:_ROWS]]
        named = "; ".join(text for text in shown if text)
        more = f"; and {len(rows) - _ROWS} more" if named and len(rows) > _ROWS else ""
        many = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
        yield Step(
            Phase.TESTS,
            f"Take {many} of {grid.title} on {grid.item}{f': {named}{more}' if named else ''}.",
            problem.found if problem else f"the plan asks for {len(grid.rows)} and {many} have no reading",
            core.places.get(f"P-{name}"),
            rule=problem.rule if problem else "",
            subject=f"P-{name}",
        )


def _subsumed(core: Core, heavy: Iterable[Problem]) -> frozenset[Problem]:
    """Problems that a step of their own tells already."""
    told = {f"P-{name}" for name, grid in _grids(core).items() if any(row.repeat == 1 for row in grid.missing)}
    gate = next_gate(core) is not None
    return frozenset(
        one
        for one in heavy
        if (one.rule in _TOLD_BY_GATE and gate)
        or (one.rule in _TOLD_BY_ROWS and (one.subject in told or (not one.subject and told)))
    )


# What the rules say


def _problems(heavy: Iterable[Problem], topics: Mapping[str, str], told: frozenset[Problem]) -> Iterator[Step]:
    for one in heavy:
        if one in told or one.lifted:
            continue
        what = one.mend or f"{one.needed[:1].upper()}{one.needed[1:]}."
        yield Step(
            phase_of(topics.get(one.rule, ""), one.rule), what, one.found, one.span, one.level, one.rule, one.subject
        )  # fmt: skip


# What is owed


def _duties(lines: Iterable[DutyLine], on: dt.date) -> Iterator[Step]:
    for line in lines:
        to = ", ".join(dict.fromkeys(str(one.to) for one in line.unsent))
        if line.due is None:
            why = f"{line.started_by} starts its clock, and when that was is not on record"
        elif line.due < on:
            why = f"it was due on {line.due}, {(on - line.due).days} days before {on}; {line.source}"
        else:
            why = f"it is due on {line.due}, {line.within} from {line.start}; {line.source}"
        yield Step(
            Phase.DUTIES,
            f"Decide on {line.title} ({line.owed_by}, to {to}), and write in duties.yml what was decided or sent.",
            why,
            subject=line.records[-1] if line.records else "",
            due=line.due,
        )


# The end


def _sign_and_issue(core: Core, heavy: Iterable[Problem], issued: str) -> Iterator[Step]:
    """Signatures are asked for only where nothing refuses the case any more; the edition only where both hold."""
    case = core.case
    if case.open or issued or any(one.level is Level.REJECT for one in heavy):
        return
    signed = {one.role for one in core.approvals if one.verified and one.current}
    lacking = [role for role in _SIGNING if role not in signed]
    for role in lacking:
        void = [one.found for one in heavy if one.rule in _TOLD_BY_SIGNING and f" as {role}, " in one.found]
        why = "; ".join([f"no signature of the {role} that holds for the case as it stands is there", *void])
        yield Step(
            Phase.SIGN,
            f"Have the {role} read {'what changed ' if void else ''}and sign the case{' again' if void else ''}.",
            why,
            command=f"asfound approve {case.id} --role {role}",
        )
    if not lacking:
        yield Step(
            Phase.ISSUE,
            "Issue the case as an edition.",
            "examiner and reviewer have signed it as it stands",
            command=f"asfound issue {case.id}",
        )
