"""An as-found setting is a value with its unit, not a judgement.

Fails: `value: normal`; `value: "100"` without a unit.
Passes: `value: "100"`, `unit: mL/h`; `value: 90 W`; `value: blend 2`; `value: {not_recorded: display dark}`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._words import short

ENTRY = Entry(
    name="setting-without-meaning",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An as-found setting is a value with its unit, not a judgement.",
    reason="Normal is what nobody looked at; a number without a unit is two different settings.",
    source="ISO/IEC 17025:2017, 7.8.2.1 m",
    status="confirmed",
    mend="Write what the control showed, with its unit; for a bare step or level, write step or level as the unit.",
    rows=("R23",),
)

_NO_VALUE = re.compile(
    r"(?:as |the |at |on )?(?:normal|normally|default|defaults|usual|as usual|standard|typical|regular|ok|okay|fine|"
    r"correct|as always|as ever|nothing special|unremarkable|factory|in range|within limits)"
    r"(?: (?:setting|settings|value|values|mode|position|range|rate|for (?:the|this) (?:ward|theatre|patient|unit)))?",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"[+\-\u2212<>]?\s?\d+(?:[.,]\d+)?(?:\s?(?:/|-|\u2013|to|:)\s?\d+(?:[.,]\d+)?)?")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a setting."""
    scene = facts.case.scene
    for ref, setting in scene.settings.items() if scene is not None else ():
        if not isinstance(setting.value, str):
            continue
        value = setting.value.strip().rstrip(".")
        if _NO_VALUE.fullmatch(value):
            found, needed = (
                f'the {short(setting.control, 40)} is given as "{value}"',
                "what the control showed is needed",
            )
        elif setting.unit is None and _NUMBER.fullmatch(value):
            found, needed = (
                f'the {short(setting.control, 40)} is given as "{value}", without a unit',
                "its unit is needed",
            )
        else:
            continue
        yield facts.problem(ENTRY, ref, "value", found=found, needed=needed)
