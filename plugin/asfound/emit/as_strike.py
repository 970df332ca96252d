"""What falls with some records, for people and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict

from asfound.model.weighing import Fall, Strike

FORMAT = 1


def strike_json(case: str, strike: Strike) -> str:
    """One object: what was taken away, and every list of what falls with it."""
    data = {"format": FORMAT, "case": case, **asdict(strike)}
    return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def strike_text(strike: Strike) -> str:
    """The same in sentences, what matters most first."""
    return "".join(f"{line}\n" for line in _lines(strike))


def strikes_json(refs: Sequence[str], found: Sequence[tuple[str, Strike]]) -> str:
    """One object: what was taken away everywhere, and what falls with it, case by case."""
    cases = [{"case": case, **asdict(strike)} for case, strike in found]
    data = {"format": FORMAT, "refs": list(refs), "cases": cases}
    return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def strikes_text(refs: Sequence[str], found: Sequence[tuple[str, Strike]]) -> str:
    """The same in sentences, a block a case, in the order given."""
    names = _said(tuple(refs))
    if not found:
        return f"In no case was anything measured with {names}.\n"
    falls = sum(bool(strike.levels) for _, strike in found)
    of = "one case" if len(found) == 1 else f"{len(found)} cases"
    said = f"in {falls} of them a level falls" if falls else "no level falls"
    out = [f"In {of} something was measured with {names}. Without {'it' if len(refs) == 1 else 'them'} {said}.\n"]
    out += [f"\n{case}\n{strike_text(strike)}" for case, strike in found]
    return "".join(out)


def _lines(strike: Strike) -> Iterator[str]:
    yield f"Without {_said(strike.refs)}:"
    if not strike.anything:
        yield "  nothing falls: no finding, verdict, status or level rests on it alone."
        return
    for fall in strike.levels:
        yield f"  the ceiling of the {fall.of} falls from {fall.before} to {fall.after}."
    if not strike.levels:
        yield "  no level falls."
    for fall in strike.statuses:
        yield f"  {_status(fall)}"
    for what, refs in (
        ("findings that no longer stand", strike.findings),
        ("derived results that come out otherwise, or not at all", strike.results),
        ("verdicts that fall (a sheet stands for all of its own)", strike.verdicts),
    ):
        if refs:
            yield f"  {what}: {', '.join(refs)}"


def _status(fall: Fall) -> str:
    return f"{fall.of} is {fall.after} instead of {fall.before}."


def _said(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
