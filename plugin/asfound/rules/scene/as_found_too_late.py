"""The as-found state was written down before the power was changed and before anything was moved.

The time of the record is held against `first_power_change_at`, `first_move_at`, and the custody line by which
a thing with settings was first collected. With `settings_not_obtainable` it warns.

Fails: recorded at 12:30, first moved at 12:00.
Passes: recorded at 11:20, power changed at 11:40.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import Moment
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem, Span
from asfound.rules._words import listed

ENTRY = Entry(
    name="as-found-too-late",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="The as-found state was written down before the power was changed and before anything was moved.",
    reason="A state recorded after the first change is the state after the change.",
    source="ASTM E1459-13(2018), 4.1.3 (place and condition before collection)",
    status="confirmed",
    mend="Correct a time only from the paper; else say under settings_not_obtainable what was lost.",
    rows=("R22",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem."""
    scene = facts.case.scene
    if scene is None or scene.recorded_at is None or not scene.settings:
        return
    earlier: list[tuple[Moment, str, Span | None]] = []
    for field, what in (("first_power_change_at", "the first power change"), ("first_move_at", "the first move")):
        at: Moment | None = getattr(scene, field)
        if at is not None and at < scene.recorded_at:
            earlier.append((at, what, facts.places.at(facts.file("scene.yml"), field)))
    recorded = {setting.item for setting in scene.settings.values()}
    for line in facts.case.custody:
        if line.received_at is not None and line.received_at < scene.recorded_at and recorded.intersection(line.items):
            earlier.append((line.received_at, f"the collection ({line.id})", facts.places.of(line.id)))
            break
    if earlier:
        yield facts.problem(
            ENTRY,
            "scene.yml",
            "recorded_at",
            found=f"written down at {scene.recorded_at.text}, after "
            + listed(f"{what} at {at.text}" for at, what, _ in earlier),
            needed="a record before any change is needed",
            level=Level.WARN if scene.settings_not_obtainable is not None else None,
            related=tuple(span for _, _, span in earlier if span is not None),
        )
