"""An as-found setting is a value with its unit, not a judgement.

Fails: `value: normal`; `value: "100"` without a unit.
Passes: `value: "100"`, `unit: mL/h`; `value: 90 W`; `value: blend 2`; `value: {not_recorded: display dark}`.
The words that tell no value are the list *no-value*.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

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

_NUMBER = re.compile(r"[+\-\u2212<>]?\s?\d+(?:[.,]\d+)?(?:\s?(?:/|-|\u2013|to|:)\s?\d+(?:[.,]\d+)?)?")


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a setting."""
    scene, words = facts.case.scene, facts.book.words.get("no-value")
    no_value = _no_value(words.typed) if words is not None else None
    for ref, setting in scene.settings.items() if scene is not None else ():
        if not isinstance(setting.value, str):
            continue
        value = setting.value.strip().rstrip(".")
        if no_value is not None and no_value.fullmatch(value):
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


@lru_cache(maxsize=16)
def _no_value(words: frozenset[str]) -> re.Pattern[str]:
    said = "|".join(re.escape(word) for word in sorted(words, key=lambda word: (-len(word), word)))
    return re.compile(
        rf"(?:as |the |at |on )?(?:{said})(?: (?:setting|settings|value|values|mode|position|range|rate|"
        r"for (?:the|this) (?:ward|theatre|patient|unit)))?",
        re.IGNORECASE,
    )
