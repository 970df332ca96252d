"""The demonstration case weighed with every strike, against the plain road: each strike a case assessed anew.

The plain road takes the records out, computes verdicts and results of what is left, and weighs that from the ground up,
once for each strike. And the whole weighing against the computing of the case's verdicts, which it stands beside.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from asfound import verdicts
from asfound.assess import assess_case
from asfound.assess.repository import open_repository
from asfound.model.case import Places
from asfound.model.facts import Facts
from asfound.model.weighing import Strike
from asfound.weigh import weigh, without

from .method import Line, inside, spoken

ROOT = Path(__file__).parents[2]
CASE = "cases/return-pad-lesion"
TIMES = 5
PLAIN_BOUND, VERDICTS_BOUND = 0.25, 8.0


def facts(root: Path = ROOT, case: str = CASE) -> Facts:
    """The facts of a case, its verdicts computed."""
    shared = open_repository(root)
    dossier = assess_case(root, root / case, dt.date(2026, 3, 20), shared).dossier
    if dossier is None:
        raise ValueError(f"{case} cannot be read")
    core = dossier.core
    return Facts(
        core.case, Places({}, {}, {}), shared.book, shared.bench.instruments, shared.bench.settings, core.on,
        verdicts=core.verdicts, results=core.results, coverage=core.coverage,
    )  # fmt: skip


def ours(one: Facts) -> tuple[Strike, ...]:
    """Weighed, with all strikes."""
    found = weigh(replace(one))
    return found.strikes if found is not None else ()


def plain(one: Facts, refs: tuple[str, ...]) -> tuple[Strike, ...]:
    """Each strike by itself, from the ground up."""
    return tuple(without(replace(one), [ref]) for ref in refs)


def measure() -> list[Line]:
    """Two lines."""
    one = facts()
    refs = tuple(strike.refs[0] for strike in ours(one))
    tests = {name: test for protocol in one.protocols for name, test in protocol.tests.items()}
    whole, each, judged = inside(
        [
            lambda: ours(one),
            lambda: plain(one, refs),
            lambda: verdicts.compute(one.case, one.book, tests, one.instruments),
        ],
        TIMES,
    )
    note = f"{len(refs)} strikes"
    return [
        Line("weighing with all strikes", "each anew", whole / each, PLAIN_BOUND, spoken(whole), spoken(each), note),
        Line(
            "weighing with all strikes", "its verdicts", whole / judged, VERDICTS_BOUND, spoken(whole), spoken(judged)
        ),
    ]
