"""Every field inside a record of a case has words of its own; no way through a file reaches a reader."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from asfound.model.base import NotKnown
from asfound.model.bench import Instrument, Settings
from asfound.model.calculation import Calculated
from asfound.model.event import CaseHead, Injury
from asfound.model.limits import Limit
from asfound.model.reasoning import Conclusion, Duty, ExceptionRecord, Explanation, Finding, Notice
from asfound.model.testimony import Clock, Evidence, Statement
from asfound.model.things import Connection, Item, RoomPoint, Scene, ServiceEvent, Setting
from asfound.model.ways import _NAMED, _PARTS, named, way
from asfound.model.work import Gate, Plan, PlannedTest, PreparedSheet, Sheet, Step

COMPARED: tuple[type[BaseModel], ...] = (
    Calculated, CaseHead, Clock, Conclusion, Connection, Duty, Evidence, ExceptionRecord, Explanation, Finding, Gate,
    Injury, Instrument, Item, Limit, Notice, Plan, PlannedTest, PreparedSheet, RoomPoint, Scene, ServiceEvent, Setting,
    Settings, Sheet, Statement, Step,
)  # fmt: skip
OF_THEIR_OWN = {("Scene", "settings"), ("Scene", "connections"), ("Plan", "tests")}
"""Fields whose records have ids and are compared by themselves."""
NAME, NUMBER = "some_name", "3"


def ways(kind: Any, steps: tuple[str, ...] = (), deep: int = 0) -> Iterator[tuple[str, ...]]:
    """Each way from a type to what stands there; bounds within bounds to the second."""
    kind = getattr(kind, "__value__", kind)
    made, inner = typing.get_origin(kind), typing.get_args(kind)
    if made is typing.Annotated:
        yield from ways(inner[0], steps, deep)
    elif made in (typing.Union, types.UnionType):
        for one in inner:
            yield from ways(one, steps, deep)
    elif made is dict:
        yield from ways(inner[1], (*steps, NAME), deep)
    elif made is tuple:
        for found in ways(inner[0], (*steps, NUMBER), deep):
            yield steps if found == (*steps, NUMBER) else found
    elif isinstance(kind, type) and issubclass(kind, BaseModel) and kind is not NotKnown:
        if deep > 2:
            return
        hints = typing.get_type_hints(kind, include_extras=True)
        for name, info in kind.model_fields.items():
            if (kind.__name__, name) not in OF_THEIR_OWN:
                yield from ways(hints[name], (*steps, info.alias or name), deep + 1)
    elif kind is not type(None):
        yield steps


@pytest.mark.parametrize("kind", COMPARED, ids=lambda one: one.__name__)
def test_each_nested_field_is_called_by_words_that_hold_no_way(kind: type[BaseModel]) -> None:
    nested = [steps for steps in ways(kind) if len(steps) > 1]
    for steps in nested:
        known = _NAMED if len(steps) == 2 and steps[1] == NAME and steps[0] not in _PARTS else _PARTS | _NAMED
        assert steps[0] in known, steps
        told = way(steps)
        assert told and "_" not in told and "," not in told and "{" not in told, (steps, told)
        assert not told.startswith(("who of", "whether of", "what of")), (steps, told)
        if NUMBER in steps:
            # Which of several it is must not be lost.
            assert told.count(NUMBER) == steps.count(NUMBER) or "among" in steps or "terms" in steps, (steps, told)
        if NAME in steps:
            assert "some name" in told or told.startswith("coverage factor"), (steps, told)


def test_the_walk_meets_what_lies_deep() -> None:
    found = set(ways(Instrument)) | set(ways(CaseHead)) | set(ways(Limit))
    assert {
        ("calibrations", NUMBER, "due"),
        ("functions", NAME, "ranges", NUMBER, "from"),
        ("event", "told_at"),
        ("answers", NAME),
        ("bound", "among", NUMBER, "value"),
    } <= found


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        (("calibrations", "2", "by"), "laboratory of calibration 2"),
        (("calibrations", "2", "covers", "1", "to"), "upper end of compared stretch 1 of calibration 2"),
        (("declaration", "sold"), "whether the examiner sold it"),
        (("asked_for", "4", "answer"), "answer to demand 4"),
        (("was_set", "1", "by"), "step of setting 1 of the clock"),
        (("inputs", "area"), "input area"),
        (("inputs", "area", "from"), "source of input area"),
        (("rows", "where", "mode"), "condition mode of the rows"),
        (("not_obtainable", "port=2, mode=cut"), "reason why port=2, mode=cut could not be had"),
        (("bound", "terms", "2", "percent"), "share in percent of term 2 of the bound"),
        (("when", "load"), "condition load"),
        (("stated", "3", "when", "load"), "condition load of stated value 3"),
        (("conditions", "setting"), "setting"),
    ],
)
def test_ways_read_as_a_person_would_say_them(steps: tuple[str, ...], told: str) -> None:
    assert way(steps) == told


def test_a_way_through_what_is_no_record_of_a_case_stays_as_it_is() -> None:
    assert named("tests / flow / coverage / rate") == "tests / flow / coverage / rate"
    assert named("in_use_at_event") == "in_use_at_event"
    assert named("needs / 2 / claim") == "claim of need 2"
    assert named("calibrations / 3") == "calibration 3"
