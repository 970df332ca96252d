"""`asfound gate`."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import click

from asfound import desk
from asfound.cli.entering import run_entering
from asfound.desk import Desk, OneRecord
from asfound.intake import suggest
from asfound.model.base import REF_PATTERN, ROLE_PATTERN
from asfound.model.work import GateKind


def run_gate(case: str, kind: str, items: tuple[str, ...], root: str | None, on: str | None, **given: Any) -> int:
    """Write one gate down; the exit code."""
    words = kind_of(kind)
    ids("ITEM", items)
    ids("--rests-on", given["rests_on"])
    role("--by", given["by"])

    def make(at: Desk, now: dt.datetime) -> OneRecord:
        time = desk.when(given["at"], now)
        more = (given["outcome"] or "", given["rests_on"], given["note"] or "")
        return desk.plan_gate(at, words, items, time, given["by"], *more)

    return run_entering(case, root, on, make)


def kind_of(typed: str) -> GateKind:
    """A gate by its words, hyphens or spaces between them. Raises UsageError with the list."""
    plain = " ".join(re.split(r"[\s_-]+", typed.strip().casefold()))
    try:
        return GateKind(plain)
    except ValueError:
        known = [str(one) for one in GateKind]
        meant = suggest(plain, known)
        hint = f'; did you mean "{meant}"?' if meant else "."
        raise click.UsageError(f'there is no gate "{typed}"{hint} The gates are: {", ".join(known)}') from None


def ids(option: str, given: tuple[str, ...]) -> None:
    """Raise UsageError for what cannot be the id of a record."""
    for one in given:
        if not re.fullmatch(REF_PATTERN, one):
            raise click.UsageError(f'{option} holds "{one}"; the id of a record such as I-3 is needed')


def role(option: str, given: str | None) -> None:
    """Raise UsageError for what cannot be a role."""
    if given and not re.fullmatch(ROLE_PATTERN, given):
        raise click.UsageError(f'{option} holds "{given}"; a role in small letters, digits and hyphens is needed')
