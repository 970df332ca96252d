"""What to do next in a case, for people and for programs."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator
from itertools import groupby

from asfound.ahead import Step
from asfound.model.plain import plain

FORMAT = 1


def ahead_json(case: str, folder: str, on: dt.date, issued: str, steps: Iterable[Step]) -> str:
    """One object: the case, the date, and the steps in their order."""
    data = {
        "format": FORMAT,
        "case": case,
        "folder": folder,
        "on": on.isoformat(),
        "issued": issued,
        "steps": [
            {
                "phase": str(step.phase),
                "what": step.what,
                "why": step.why,
                "where": str(step.where) if step.where else "",
                "level": str(step.level) if step.level else "",
                "rule": step.rule,
                "subject": step.subject,
                "command": step.command,
                "due": step.due.isoformat() if step.due else "",
            }
            for step in steps
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def ahead_text(case: str, on: dt.date, issued: str, steps: tuple[Step, ...], most: int = 0) -> str:
    """The same in sentences, stretch by stretch; `most` of each stretch, or all where it is 0."""
    return "".join(f"{plain(line)}\n" for line in _lines(case, on, issued, steps, most))


def _lines(case: str, on: dt.date, issued: str, steps: tuple[Step, ...], most: int) -> Iterator[str]:
    state = f", issued as {issued}" if issued else ""
    if not steps:
        yield f"{case}{state}, on {on}: nothing is left to do."
        return
    yield f"{case}{state}, on {on}: {_things(len(steps))} to do, first things first."
    number = 0
    for phase, group in groupby(steps, key=lambda step: step.phase):
        listed = list(group)
        shown = listed[:most] if most else listed
        yield ""
        yield f"{phase}"
        for step in shown:
            number += 1
            yield f"  {number}. {step.what}"
            yield f"     Why: {step.why}."
            where = f"{step.where}" if step.where else ""
            rule = f"{step.level} {step.rule}" if step.level and step.rule else step.rule
            if where or rule:
                yield f"     {' '.join(part for part in (where, rule) if part)}"
            if step.command:
                yield f"     {step.command}"
        if len(shown) < len(listed):
            number += len(listed) - len(shown)
            yield f"  and {len(listed) - len(shown)} more of these; --all lists every one"


def _things(count: int) -> str:
    return "1 thing" if count == 1 else f"{count} things"
