"""Whether an account tells of something that comes and goes, and whether anything was done to provoke it."""

from __future__ import annotations

import re
from collections.abc import Callable

from asfound.model.case import Case
from asfound.model.work import Reading

_COMES_AND_GOES = re.compile(
    r"\b(?:intermittent(?:ly)?|on and off|came and went|comes and goes|now and then|sometimes|flicker(?:ed|ing)?|"
    r"by itself)\b",
    re.IGNORECASE,
)
_PROVOKED = re.compile(
    r"\b(?:flex|tap|heat|warm|cold|vibrat|shak|bend|bent|soak|wet|damp|long run|hours? on)\w*", re.IGNORECASE
)


def teller(case: Case, alive: Callable[[str], bool] = lambda ref: True) -> str:
    """`the account`, or the statement, that tells of something that comes and goes; empty where none does."""
    told = [("the account", case.head.event.account)]
    for ref, one in case.statements.items():
        if alive(ref):
            told += [(ref, text) for text in (one.saw, one.did, one.was_told) if text is not None]
    return next((name for name, text in told if _COMES_AND_GOES.search(text)), "")


def provoked(case: Case, rows: Callable[[str], tuple[Reading, ...]]) -> bool:
    """Whether a sheet with readings says that the thing was flexed, warmed, wetted, shaken or run for long."""
    for name, sheet in case.sheets.items():
        read = rows(name)
        known = [sheet.test, sheet.note or "", *sheet.constants.values()]
        for row in read:
            known += [row.note, *row.conditions.values()]
        if read and any(_PROVOKED.search(text) for text in known):
            return True
    return False


def unprovoked(case: Case) -> str:
    """Who tells of something that comes and goes that nobody provoked; empty where nobody does, or somebody did."""
    name = teller(case)
    return "" if not name or provoked(case, case.standing) else name
