"""What a change does to one case, in one sentence: the conclusion first, then verdicts, rules, approvals, records."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from asfound.compare.change import CaseChange
from asfound.compare.difference import EARNED, Area, Difference, Kind
from asfound.model.outcome import Outcome
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import rank
from asfound.problems import Level

_BY_NAME = (Area.RECORD, Area.LIMIT)
_NAMED = 3
"""So many records or limits are named in the sentence; of more only the number has room."""
_ADVERSE = {str(one) for one in (Outcome.FAIL, Outcome.CONDITIONAL_FAIL)}


def in_short(one: CaseChange) -> str:
    """One sentence, without markup; empty where nothing that the case says has changed."""
    parts = [
        *_levels(one.differences),
        *_verdicts([each for each in one.differences if each.area is Area.VERDICT]),
        *_results([each for each in one.differences if each.area is Area.RESULT]),
        *_rules([each for each in one.differences if each.area is Area.PROBLEM]),
        *_approvals(one.approvals),
        *_counted(one.differences),
    ]
    said = "; ".join(parts)
    return f"In short: {said}." if said else ""


def _levels(found: Iterable[Difference]) -> Iterator[str]:
    for one in found:
        if one.area is not Area.LEVEL:
            continue
        move, earned = one.moves[0], one.beside == EARNED
        if one.ref[:1] == "X":
            yield f"for {one.ref} the evidence earns {move.new} instead of {move.old}"
        elif move.old is None or move.new is None:
            yield f"the {one.ref} is {'now' if move.old is None else 'no longer'} held as {move.new or move.old}"
        else:
            lower = rank(ConfidenceLevel(move.new)) < rank(ConfidenceLevel(move.old))
            what = f"what the evidence earns for the {one.ref}" if earned else f"the level of the {one.ref}"
            yield f"{what} is {'lowered' if lower else 'raised'} from {move.old} to {move.new}"


def _verdicts(found: list[Difference]) -> Iterator[str]:
    alike = [one for one in found if one.kind is Kind.CHANGED and (was := one.move("outcome")) and was.old == was.new]
    if alike:
        yield f"{_many(len(alike), 'verdict')} given by another limit, with the same outcome"
    for kind, said in ((Kind.CHANGED, "moved"), (Kind.ADDED, "new"), (Kind.REMOVED, "gone")):
        moves = [
            move for one in found if one.kind is kind and one not in alike and (move := one.move("outcome")) is not None
        ]
        if moves:
            to = sum(move.new in _ADVERSE and move.old not in _ADVERSE for move in moves)
            off = sum(move.old in _ADVERSE and move.new not in _ADVERSE for move in moves)
            told = ", ".join(filter(None, (f"{to} to a fail" if to else "", f"{off} from a fail" if off else "")))
            yield f"{_many(len(moves), 'verdict')} {said}{f' ({told})' if told else ''}"


def _results(found: list[Difference]) -> Iterator[str]:
    """Results that are judged, by a limit or as two instruments that agree or do not, and now come out otherwise."""
    outcomes = [move for one in found if one.kind is Kind.CHANGED and (move := one.move("outcome")) is not None]
    if outcomes:
        to = sum(move.new in _ADVERSE and move.old not in _ADVERSE for move in outcomes)
        verb = "comes" if len(outcomes) == 1 else "come"
        yield f"{_many(len(outcomes), 'derived result')} {verb} out otherwise{f' ({to} to a fail)' if to else ''}"


def _rules(found: list[Difference]) -> Iterator[str]:
    heavy = {str(Level.REJECT), str(Level.WARN)}
    levels = [(one.beside, (move.old, move.new)) for one in found if (move := one.move("level")) is not None]
    for side, said in ((1, "newly broken"), (0, "mended")):
        these = [(rule, pair[side]) for rule, pair in levels if pair[side] in heavy and pair[1 - side] is None]
        if these:
            rejects = sum(level == Level.REJECT for _, level in these)
            told = f" ({_many(rejects, 'reject')})" if rejects else ""
            rules = len({rule for rule, _ in these})
            where = f" in {len(these)} places" if rules < len(these) else ""
            yield f"{_many(rules, 'rule')} {said}{where}{told}"


def _approvals(said: tuple[str, ...]) -> Iterator[str]:
    void = sum(" is void: " in one or one.endswith("and it was in force.") for one in said)
    if void:
        yield f"{_many(void, 'approval')} no longer in force"


def _counted(found: tuple[Difference, ...]) -> Iterator[str]:
    words = {Area.EXCEPTION: "exception", Area.RECORD: "record", Area.LIMIT: "limit", Area.FILE: "file of evidence"}
    for area, word in words.items():
        these = [one for one in found if one.area is area]
        if these:
            told = ", ".join(_kinds(these, kind, named=len(these) <= _NAMED and area in _BY_NAME) for kind in Kind
                             if any(one.kind is kind for one in these))  # fmt: skip
            yield f"{_many(len(these), word)} ({told})"


def _kinds(found: list[Difference], kind: Kind, *, named: bool) -> str:
    refs = [one.ref for one in found if one.kind is kind]
    names = f": {' and '.join(filter(None, (', '.join(refs[:-1]), refs[-1])))}" if named else ""
    return f"{len(refs)} {kind}{names}"


def _many(count: int, word: str) -> str:
    plural = "files of evidence" if word == "file of evidence" else f"{word}s"
    return f"{count} {word if count == 1 else plural}"
