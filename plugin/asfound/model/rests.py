"""On what a record rests: the way from a sentence down to readings, sheets, instruments and files."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from asfound.model.case import Case
from asfound.model.ids import reading_id
from asfound.model.limits import Limit, Protocol
from asfound.model.prose import read_prose
from asfound.model.testimony import Evidence
from asfound.model.verdict import Result, Verdict
from asfound.model.walk import SpotKind, walk
from asfound.model.work import Plan, Reading

SETTINGS = ".asfound/settings.yml"
_SINGLE = ("case.yml", "conclusion.yml", "injury.yml", "plan.yml", "scene.yml")

# What a record speaks of is not what it rests on: a finding about an item does not rest on it, and a test that is to
# part two explanations does not rest on them.
_ABOUT = frozenset(
    ("about", "alternatives", "concerns", "consents_to", "item", "items", "order", "part_of", "separates", "subject")
)
# But what was measured, and with what fitted, is part of the ground a reading stands on.
_GROUND = {"Sheet": frozenset(("item", "accessories"))}


Steps = dict[str, tuple[str, ...]]
"""What records name themselves, by their ids, as far as it was walked."""


def rests_on(
    case: Case,
    ref: str,
    results: Iterable[Result] = (),
    held: Mapping[str, tuple[str, ...]] | None = None,
    steps: Steps | None = None,
) -> dict[str, str]:
    """All that a record rests on, nearest first: id → the id through which it is reached.

    `ref` is the id of a record or derived result, or the name of a file that is one record (`conclusion.yml`). Files of
    evidence stand by their path. `results` are the derived results of the case, `held` what records are held against
    (`held_against`). The record itself is not among them; an id that stands nowhere rests on nothing. Whoever asks of
    many records hands the same `steps`, empty at first, to each call of one case and its results: no record is then
    walked twice.
    """
    known = {} if steps is None else steps
    derived = {result.id: result for result in results}
    against = held or {}
    found: dict[str, str] = {}
    waiting = deque((ref,))
    while waiting:
        through = waiting.popleft()
        if through not in known:
            known[through] = tuple(_directly(case, through, derived))
        for below in (*known[through], *against.get(through, ())):
            if below != ref and below not in found:
                found[below] = through
                waiting.append(below)
    return found


def cites(case: Case, ref: str, results: Iterable[Result] = ()) -> tuple[str, ...]:
    """What a record names as its ground itself, in the order it stands there: the first step of `rests_on` alone."""
    return tuple(dict.fromkeys(_directly(case, ref, {result.id: result for result in results})))


def held_against(
    case: Case, verdicts: Iterable[Verdict], limits: Mapping[str, Limit], protocols: Mapping[str, Protocol]
) -> dict[str, tuple[str, ...]]:
    """What records are held against: reading, result or planned test → limits, sets, protocols and settings.

    A limit goes by `<set>/<limit>`, what its set says beside it by `limits/<set>`, a protocol by `protocols/<name>`.
    """
    found: dict[str, dict[str, None]] = {}

    def put(ref: str, *names: str) -> None:
        found.setdefault(ref, {}).update(dict.fromkeys(names))

    for verdict in verdicts:
        if verdict.limit is not None:
            for ref in dict.fromkeys((verdict.subject, *verdict.members)):
                put(ref, verdict.limit.id)
    for name in limits:
        put(name, f"limits/{name.partition('/')[0]}")
    for test in case.plan.tests if case.plan else ():
        base = test.partition("--")[0]
        homes = [name for name, protocol in protocols.items() if base in protocol.tests]
        put(f"P-{test}", *(f"protocols/{name}" for name in homes[:1]), SETTINGS)
    return {ref: tuple(names) for ref, names in found.items()}


def _directly(case: Case, ref: str, derived: Mapping[str, Result]) -> Iterator[str]:
    result = derived.get(ref)
    if result is not None:
        yield result.sheet
        yield from result.of
        return
    # Many records are asked for what one of them rests on, so that is found once and kept with the case.
    kept: dict[str, tuple[str, ...]] = case.__dict__.setdefault("_grounds", {})
    if ref not in kept:
        kept[ref] = tuple(_named(case, ref))
    yield from kept[ref]


def _named(case: Case, ref: str) -> Iterator[str]:
    record = _record(case, ref)
    if record is None:
        return
    if isinstance(record, Reading):
        yield record.sheet
        if record.repeat_of:
            yield record.repeat_of if "-" in record.repeat_of else reading_id(record.sheet, record.repeat_of)
        return
    if isinstance(record, Evidence) and record.file is not None:
        yield record.file
    for spot in walk(record, ref):
        ground = _GROUND.get(spot.model, frozenset())
        if spot.kind is SpotKind.REF and (spot.field in ground or spot.field not in _ABOUT):
            yield spot.value
        elif spot.kind is SpotKind.TEST:
            yield f"P-{spot.value}"
        elif spot.kind is SpotKind.PROSE and "[" in spot.value:
            yield from read_prose(spot.value).refs


def _record(case: Case, ref: str) -> Any:
    if ref in _SINGLE:
        record = getattr(case, "head" if ref == "case.yml" else ref.removesuffix(".yml"))
        # The tests of a plan, and the settings and connections of a scene, are records of their own.
        if isinstance(record, Plan):
            return record.model_copy(update={"tests": {}})
        if ref == "scene.yml" and record is not None:
            return record.model_copy(update={"settings": {}, "connections": {}})
        return record
    return case.records.get(ref)
