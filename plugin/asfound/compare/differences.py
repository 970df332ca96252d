"""What two dossiers of one case say differently, biggest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from asfound.compare.difference import EARNED, Area, Difference, Kind, Move
from asfound.compare.fields import moves_of
from asfound.compare.paired import paired, renamed
from asfound.compare.verdicts import moved_verdicts
from asfound.model.base import Record
from asfound.model.case import Case
from asfound.model.dossier import Core
from asfound.model.ids import sort_key
from asfound.model.limits import Limit
from asfound.model.verdict import Result
from asfound.model.weighing import Weighing
from asfound.problems import Level, Problem

_AREAS = tuple(Area)
_PROBLEM_WEIGHT = {Level.REJECT: 30, Level.WARN: 45, Level.NEEDED: 80, Level.NOTE: 90}
_RECORD_WEIGHT = {"conclusion.yml": 40, "X": 41, "F": 42, "R": 50, "S": 52, "M": 54, "I": 55, "C": 56, "E": 57}
_OPINIONS = ("mechanism", "reason")


def differences(old: Core, new: Core) -> tuple[Difference, ...]:
    """What `new` says that `old` does not, and the other way round: biggest first, in an order that never changes.

    First the levels of the conclusion, verdicts that moved, exceptions and rejects; then records, derived results and
    limits; then files of evidence and what is still needed or only noted. The same dossier twice gives nothing.
    """
    found = (
        *_levels(old.case, new.case),
        *_earned(old.weighing, new.weighing),
        *moved_verdicts(old, new),
        *_records(old, new),
        *_results(old.results, new.results),
        *_limits(old.limits, new.limits),
        *_files(old.case, new.case),
        *_problems(old.problems, new.problems),
    )
    return tuple(sorted(found, key=_order))


def _order(one: Difference) -> tuple[Any, ...]:
    kinds = (Kind.CHANGED, Kind.ADDED, Kind.REMOVED)
    return (one.weight, _AREAS.index(one.area), sort_key(one.ref), one.ref, one.beside, kinds.index(one.kind), one.said,
            tuple((move.name, move.old or "", move.new or "") for move in one.moves))  # fmt: skip


def _kind(old: object, new: object) -> Kind:
    return Kind.ADDED if old is None else Kind.REMOVED if new is None else Kind.CHANGED


# --- the conclusion


def _level(case: Case, opinion: str) -> str | None:
    made = case.conclusion
    return None if made is None else str(getattr(made, opinion).level)


def _levels(old: Case, new: Case) -> Iterator[Difference]:
    for opinion in _OPINIONS:
        was, now = _level(old, opinion), _level(new, opinion)
        if was != now:
            yield Difference(Area.LEVEL, _kind(was, now), opinion, (Move("level", was, now),), weight=0)


def _earned(old: Weighing | None, new: Weighing | None) -> Iterator[Difference]:
    """What the evidence earns, where both were weighed: the ceilings, and the statuses of explanations both have."""
    if old is None or new is None:
        return
    for opinion in _OPINIONS:
        was, now = str(old.ceiling(opinion).level), str(new.ceiling(opinion).level)
        if was != now:
            yield Difference(Area.LEVEL, Kind.CHANGED, opinion, (Move("earned", was, now),), EARNED, weight=1)
    for before in old.standings:
        after = new.standing(before.ref)
        if after is not None and after.status is not before.status:
            moves = (Move("earned", str(before.status), str(after.status)),)
            yield Difference(Area.LEVEL, Kind.CHANGED, before.ref, moves, EARNED, weight=2)


# --- records


def _all_records(core: Core) -> dict[str, Any]:
    """Every record by id, and the files that are one record by their name."""
    case = core.case
    singles: dict[str, Record | None] = {
        "case.yml": case.head,
        "injury.yml": case.injury,
        "scene.yml": case.scene.model_copy(update={"settings": {}, "connections": {}}) if case.scene else None,
        "plan.yml": case.plan.model_copy(update={"tests": {}}) if case.plan else None,
        "conclusion.yml": case.conclusion,
        ".asfound/settings.yml": core.organisation,
    }
    return {name: one for name, one in singles.items() if one is not None} | core.instruments | case.records


def _records(old: Core, new: Core) -> Iterator[Difference]:
    before, after = _all_records(old), _all_records(new)
    names = renamed({ref: one for ref, one in before.items() if ref not in after},
                    {ref: one for ref, one in after.items() if ref not in before})  # fmt: skip
    for ref in dict.fromkeys((*before, *after)):
        if ref in names:
            continue
        was, now = before.get(ref), after.get(ref)
        if was == now or (was is None and old.case.unread(ref)) or (now is None and new.case.unread(ref)):
            # Of a record in a file that one side cannot read nobody knows whether it came or went.
            continue
        former = next((one for one, other in names.items() if other == ref), "")
        if former:
            moves: tuple[Move, ...] = (Move("id", former, ref),)
        else:
            moves = moves_of(was, now)
        if ref == "conclusion.yml":
            # Told as levels already.
            moves = tuple(one for one in moves if one.name not in {f"{opinion}, level" for opinion in _OPINIONS})
        if not moves:
            continue
        letter = ref if ref in _RECORD_WEIGHT else ref[:1]
        area, weight = (Area.EXCEPTION, 20) if letter == "Q" else (Area.RECORD, _RECORD_WEIGHT.get(letter, 60))
        kind = Kind.CHANGED if former else _kind(was, now)
        yield Difference(area, kind, ref, moves, weight=weight)


def _moves(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[Move, ...]:
    names = dict.fromkeys((*old, *new))
    return tuple(Move(name, old.get(name), new.get(name)) for name in names if old.get(name) != new.get(name))


def _results(old: tuple[Result, ...], new: tuple[Result, ...]) -> Iterator[Difference]:
    before, after = {one.id: one for one in old}, {one.id: one for one in new}
    for ref in dict.fromkeys((*before, *after)):
        was, now = before.get(ref), after.get(ref)
        moves = _moves(_result(was), _result(now))
        if moves:
            title = (now or was).title  # type: ignore[union-attr]  # one of the two stands
            yield Difference(Area.RESULT, _kind(was, now), ref, moves, said=title, weight=65)


def _result(result: Result | None) -> dict[str, str]:
    if result is None:
        return {}
    found = {"result": result.text}
    if result.outcome is not None:
        found["outcome"] = str(result.outcome)
    return found


# --- what the case is held against, and its files


def _limits(old: Mapping[str, Limit], new: Mapping[str, Limit]) -> Iterator[Difference]:
    for name in dict.fromkeys((*old, *new)):
        was, now = old.get(name), new.get(name)
        if was == now:
            continue
        if was is None or now is None:
            # The bound itself stands in the register; that it began or ceased to speak is the news.
            yield Difference(Area.LIMIT, _kind(was, now), name, weight=68)
            continue
        yield Difference(Area.LIMIT, Kind.CHANGED, name, moves_of(was, now), weight=58)


def _files(old: Case, new: Case) -> Iterator[Difference]:
    before = {path: one.sha256 for path, one in old.files.items() if path.startswith("evidence/")}
    after = {path: one.sha256 for path, one in new.files.items() if path.startswith("evidence/")}
    for path in dict.fromkeys((*before, *after)):
        was, now = before.get(path), after.get(path)
        if was != now:
            weight = 35 if was and now else 70
            by = {ref for case in (old, new) for ref, one in case.evidence.items() if one.file == path}
            known = ", ".join(sorted(by, key=sort_key))
            yield Difference(Area.FILE, _kind(was, now), path, (Move("SHA-256", was, now),), said=known, weight=weight)


# --- problems


def _problems(old: tuple[Problem, ...], new: tuple[Problem, ...]) -> Iterator[Difference]:
    before = {(one.rule, one.subject, one.found): one for one in old}
    after = {(one.rule, one.subject, one.found): one for one in new}
    both = [(was, now) for key, was in before.items() if (now := after.get(key)) is not None]
    pairs: list[tuple[Problem | None, Problem | None]] = [
        *((was, now) for was, now in both if was.level is not now.level or was.lifted != now.lifted),
        *paired([one for key, one in before.items() if key not in after],
                [one for key, one in after.items() if key not in before]),
    ]  # fmt: skip
    for was, now in pairs:
        one = now or was
        assert one is not None
        moves = [Move("level", was.level if was else None, now.level if now else None)]
        lifts = (was.lifted or None if was else None, now.lifted or None if now else None)
        if lifts[0] != lifts[1]:
            moves.append(Move("lifted by", *lifts))
        if was and now and was.found != now.found:
            moves.append(Move("found", was.found, now.found))
        weight = min(_PROBLEM_WEIGHT[side.level] for side in (was, now) if side is not None)
        said = f"{one.found}; {one.needed}"
        yield Difference(Area.PROBLEM, _kind(was, now), one.subject, tuple(moves), one.rule, said, weight)
