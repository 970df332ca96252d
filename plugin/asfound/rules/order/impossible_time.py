"""Nothing ends before it begins, follows what it must precede, or lies after the date of the check.

Times that a clock of the case showed (pictures, the timeline) are not held against the date, since that clock may be
wrong: that is what its measured error is for.

Fails: a sheet `to` earlier than `from`; a reading outside its sheet; *inspected* before *received*; a date next month.
Passes: everything in its order, and `due` dates in the future.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.case import Path
from asfound.model.facts import Facts
from asfound.model.walk import SpotKind, walk_case
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules.order._gates import gates_for

ENTRY = Entry(
    name="impossible-time",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="Nothing ends before it begins, follows what it must precede, or lies after the date of the check.",
    reason="One impossible time makes a reader doubt every other.",
    source="common practice, no source",
    status="common practice",
    mend="Compare with the paper and correct what was copied wrongly; look at the offset from UTC first.",
    rows=("R11", "R93"),
)

ORDER = (
    (GateKind.IMPOUNDED, GateKind.RECEIVED),
    (GateKind.RECEIVED, GateKind.INSPECTED),
    (GateKind.INSPECTED, GateKind.SAFE_TO_CONNECT),
    (GateKind.SAFE_TO_CONNECT, GateKind.FUNCTION_TESTED),
    (GateKind.WEIGHED, GateKind.RECHECKED),
)
"""Gates that cannot be passed in the other order, for one and the same item."""

_FUTURE = frozenset({("Notice", "reply_by"), ("Duty", "due"), ("Duty", "keep_until")})
_BY_A_CLOCK = frozenset({("Evidence", "taken_at"), ("TimelineRow", "at")})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a contradiction, at the later-written of its two ends."""
    yield from _sheets(facts)
    yield from _gates(facts)
    yield from _head(facts)
    yield from _after_on(facts)


def _sheets(facts: Facts) -> Iterator[Problem]:
    for ref, sheet in facts.case.sheets.items():
        if sheet.to < sheet.from_:
            yield facts.problem(
                ENTRY,
                ref,
                "to",
                about="",
                found=f"the sheet ends at {sheet.to.text}, before it begins at {sheet.from_.text}",
                needed="an end after the beginning is needed",
            )
            continue
        for row in facts.case.standing(ref):
            if row.at is not None and not sheet.from_ <= row.at <= sheet.to:
                yield facts.problem(
                    ENTRY,
                    row.id,
                    about="",
                    found=f"the reading is of {row.at.text}, its sheet runs from {sheet.from_.text} to {sheet.to.text}",
                    needed="a time within its sheet is needed",
                )


def _gates(facts: Facts) -> Iterator[Problem]:
    items = [*facts.case.items] or [""]
    seen: set[tuple[str, str]] = set()
    for first, then in ORDER:
        for item in items:
            before, after = gates_for(facts, first, item), gates_for(facts, then, item)
            if not before or not after or after[0][1].at >= before[0][1].at:
                continue
            pair = (after[0][0], before[0][0])
            if pair in seen:
                continue
            seen.add(pair)
            late, early = after[0][1].at.text, before[0][1].at.text
            yield facts.problem(
                ENTRY,
                after[0][0],
                "at",
                about=then,
                found=f'"{then}" at {late} comes before "{first}" at {early} ({before[0][0]})',
                needed="the order of the work is needed",
            )
    plan, gates = facts.case.plan, facts.case.gates.gates
    for ref, gate in gates.items():
        if gate.gate is GateKind.PLAN_SEALED and plan is not None and gate.at < plan.written_at:
            yield facts.problem(
                ENTRY,
                ref,
                "at",
                about="",
                found=f"the plan was sealed at {gate.at.text}, and written at {plan.written_at.text}",
                needed="a seal no earlier than the plan is needed",
            )


def _head(facts: Facts) -> Iterator[Problem]:
    case = facts.case
    head, told_at = case.head, case.head.event.told_at
    authority = head.authority
    pairs: list[tuple[str, Path, str, Moment | None, str, Moment | None]] = [
        ("case.yml", ("event", "aware_at"), "staff learned of it", head.event.aware_at, "the event", told_at),
        (
            "case.yml",
            ("asked", "at"),
            "the examination was asked for",
            head.asked.at if head.asked else None,
            "the event",
            told_at,
        ),
        ("case.yml", ("first_touch",), "the first touch", head.first_touch, "the event", told_at),
    ]
    if authority is not None:
        pairs.append(
            ("case.yml", ("authority", "confirmed_at"), "the authority was confirmed", authority.confirmed_at,
             "it was given", authority.at)
        )  # fmt: skip
    if case.injury is not None:
        pairs.append(
            ("injury.yml", ("first_seen_at",), "the injury was seen", case.injury.first_seen_at, "the event", told_at)
        )
    for ref, statement in case.statements.items():
        pairs.append((ref, ("taken_at",), "the statement was taken", statement.taken_at, "the event", told_at))
        pairs.append(
            (ref, ("opened_to_examiner_at",), "the statement was opened", statement.opened_to_examiner_at,
             "it was taken", statement.taken_at)
        )  # fmt: skip
    for ref, notice in case.notices.items():
        pairs.append((ref, ("reply_by",), "a reply was asked", notice.reply_by, "the notice", notice.sent_at))
    for where, path, what, at, other, before in pairs:
        if at is not None and before is not None and at < before:
            yield facts.problem(
                ENTRY,
                where,
                *path,
                about="",
                found=f"{what} at {at.text}, before {other} at {before.text}",
                needed="a time after it is needed",
            )
    for ref, instrument in facts.instruments.items():
        for number, calibration in enumerate(instrument.calibrations):
            if calibration.due < calibration.on:
                yield facts.problem(
                    ENTRY,
                    ref,
                    "calibrations",
                    number,
                    "due",
                    about="",
                    found=f"{ref} was due again on {calibration.due}, before it was calibrated on {calibration.on}",
                    needed="a due date after the calibration is needed",
                )


def _after_on(facts: Facts) -> Iterator[Problem]:
    for spot in walk_case(facts.case):
        if (spot.model, spot.field) in _FUTURE | _BY_A_CLOCK:
            continue
        day: dt.date
        if spot.kind is SpotKind.TIME:
            day, text = spot.value.at.date(), spot.value.text
        elif spot.kind is SpotKind.DAY:
            day, text = spot.value, str(spot.value)
        else:
            continue
        if day > facts.on:
            yield facts.problem(
                ENTRY,
                spot.where,
                *spot.path,
                about="",
                found=f"{text} lies after {facts.on}, the date of this check",
                needed="a time that has come is needed",
            )
