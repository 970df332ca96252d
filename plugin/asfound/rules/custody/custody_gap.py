"""For every impounded item the log leads without a gap from holder to holder and from place to place.

Each line must begin where and with whom the one before it ended. Between the two ends of one hand-over somebody, or a
seal, must have kept the item. A `before custody` line tells who found the thing, where and when, before anybody
had charge of it: signed, it warns, and the conclusion can be no more than probable; unsigned, it is a hole.

Fails: `received_by: porter` on one line, `released_by: risk-manager` on the next.
Passes: the next line released by the porter, from the place where the porter received it.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.account import Hole, HoleKind, accounts, broken_custody
from asfound.model.facts import Facts
from asfound.model.things import CustodyLine
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids

ENTRY = Entry(
    name="custody-gap",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The custody log of each impounded item leads without a gap from holder to holder and place to place.",
    reason="While nobody had charge of a thing, anybody could have changed it, and nobody can swear that they did not.",
    source="ASTM E1459-13(2018), 4.1.5; ASTM D4840-99(2010)",
    status="confirmed",
    mend="Add the missing line if somebody can sign it; else record what is known as a before custody line.",
    rows=("R10",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem for items without a line, one for each hole and each before-custody line, whatever items it holds."""
    case = facts.case
    if broken_custody(case):
        return
    known = accounts(case)
    missing = [ref for ref, item in case.items.items() if item.impounded and not known[ref].lines]
    if missing and not case.custody:
        yield facts.problem(
            ENTRY,
            "custody.csv",
            found=f"no custody line is on record for {ids(missing)}",
            needed="a line for each hand-over is needed, from the first person who took it",
            mend="Start custody.csv by asfound log with who collected what, where and when, signed.",
        )
    elif missing:
        for ref in missing:
            yield facts.problem(
                ENTRY,
                ref,
                "impounded",
                found=f"{ref} was impounded and stands on no custody line",
                needed="a line for each hand-over is needed, from the first person who took it",
            )
    holes: dict[tuple[str, str, str, Level], list[str]] = {}
    for item in sorted(known):
        for hole in known[item].holes:
            found, needed, level = _words(hole)
            holes.setdefault((hole.line.id, found, needed, level), []).append(item)
    for (ref, found, needed, level), items in holes.items():
        yield facts.problem(
            ENTRY, ref, found=found.replace("{items}", ids(items)), needed=needed, level=level, subject=ref
        )


def _words(hole: Hole) -> tuple[str, str, Level]:
    """What is found, what is needed, and how heavy it is; `{items}` stands for the items it concerns."""
    line = hole.line
    if hole.before is None or hole.kind in {HoleKind.BEFORE_TOLD, HoleKind.BEFORE_UNTOLD, HoleKind.UNSEALED}:
        return _alone(line, hole.kind)
    before = hole.before
    if hole.kind is HoleKind.COLLECTED_AGAIN:
        return (
            f'a second collection of {{items}}, while "{before.received_by}" held it ({before.id})',
            "the line by which that holder let it go is needed",
            Level.REJECT,
        )
    if hole.kind is HoleKind.HOLDER:
        return (
            f'of {{items}} the release is by "{line.released_by}", '
            f'the receipt before it ({before.id}) by "{before.received_by}"',
            "the same holder on both lines is needed",
            Level.REJECT,
        )
    return (
        f'of {{items}} the way starts at "{line.from_place}", '
        f'the one before it ({before.id}) ends at "{before.to_place}"',
        "the same place on both lines is needed",
        Level.REJECT,
    )


def _alone(line: CustodyLine, kind: HoleKind) -> tuple[str, str, Level]:
    if kind is HoleKind.START:
        return (
            f"the log of {{items}} starts with a line of the kind {line.kind}",
            "a line that says who first took it, where and when, is needed",
            Level.REJECT,
        )
    if kind is HoleKind.BEFORE_TOLD:
        return (
            f"until this line nobody had charge of {{items}} ({line.from_place or 'place not stated'})",
            "unbroken custody is needed for more than a probable conclusion",
            Level.WARN,
        )
    if kind is HoleKind.BEFORE_UNTOLD:
        return (
            "the time before custody of {items} is not accounted for",
            "who found it, where and when, with a signature, is needed",
            Level.REJECT,
        )
    released = line.released_at.text if line.released_at else "a time not stated"
    received = line.received_at.text if line.received_at else "a time not stated"
    return (
        f"of {{items}} the release is at {released}, the receipt at {received}, without a seal",
        "one moment for both, or the seal it travelled under, is needed",
        Level.REJECT,
    )
