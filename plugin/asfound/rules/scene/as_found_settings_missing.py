"""For each thing in use that has settings, the as-found settings are on record, with the time they were written down.

Where they could not be had, the reason stands under `settings_not_obtainable`; that warns, and limits the conclusion.

Fails: `has_settings: yes` on the pump and no setting in scene.yml.
Passes: `settings: {A-1: {item: I-1, control: rate, value: "100", unit: mL/h}}` and `recorded_at`.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.base import told
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import ids, short

ENTRY = Entry(
    name="as-found-settings-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="For each thing in use that has settings, the as-found settings and their time are on record.",
    reason="What the thing was set to is the one fact that the first pair of hands destroys.",
    source="ASTM E1459-13(2018), 4.1.3",
    status="confirmed",
    mend="Write each control under settings in scene.yml, or say why under settings_not_obtainable.",
    rows=("R21",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """At most one problem for the settings and one for the time of the record."""
    case, scene = facts.case, facts.case.scene
    asked = [ref for ref, item in case.items.items() if item.has_settings and item.in_use_at_event]
    shown = {setting.item for setting in scene.settings.values()} if scene is not None else set()
    missing = [ref for ref in asked if ref not in shown]
    broken = case.some_unread("A")
    if missing and not broken:
        why = scene.settings_not_obtainable if scene is not None else None
        yield facts.problem(
            ENTRY,
            "scene.yml",
            *(("settings_not_obtainable",) if why is not None else ("settings",) if scene is not None else ()),
            found=f"no as-found setting of {ids(missing)} is on record"
            + (f" ({short(told(why), 60)})" if why is not None else ""),
            needed="each control, display and mode as it stood is needed",
            level=Level.WARN if why is not None else None,
            subject=missing[0] if len(missing) == 1 else None,
        )
    if scene is not None and scene.settings and scene.recorded_at is None:
        yield facts.problem(
            ENTRY,
            "scene.yml",
            found="nothing says when the as-found state was written down",
            needed="that time is needed, to show that it came before any change",
            mend="Add recorded_at and recorded_by to scene.yml.",
        )
