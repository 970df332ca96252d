"""From a folder to a frozen Dossier."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import Any

from msgspec import structs

from asfound import clocks, duties, intake, rules, seal, verdicts, weigh, workings
from asfound.assess.approvals import Standing, signing_of, slim
from asfound.assess.catalogue import CASE_TWICE
from asfound.assess.editions import read_editions
from asfound.assess.outside import Outside, look_outside
from asfound.assess.repository import Repository, open_repository
from asfound.intake import CaseReading
from asfound.model.approval import Approval
from asfound.model.bench import Instrument
from asfound.model.case import Case, Places
from asfound.model.dossier import Core, Digests, Dossier, MadeWith, SetHead, limits_json
from asfound.model.edition import Editions
from asfound.model.facts import Facts
from asfound.model.limits import Limit, Protocol, Test
from asfound.model.past import Past
from asfound.problems import Level, Problem, Span


@dataclass(frozen=True)
class Assessment:
    """A case folder, assessed. `dossier` is None where case.yml could not be read.

    `problems` always holds all but the private ones, which speak of the facility's own duties and decide nothing.
    `key` says from what it was worked out, in one digest; empty where that was not asked, or cannot be said.
    `lies` are digests of the organisation's folder and of the case folder it was worked out from, where `key` is one.
    """

    folder: str
    dossier: Dossier | None
    problems: tuple[Problem, ...]
    key: str = field(default="", compare=False)
    lies: tuple[str, str] = field(default=("", ""), compare=False)

    @property
    def private(self) -> tuple[Problem, ...]:
        """What is said of the facility's own duties."""
        return self.dossier.duties.problems if self.dossier else ()

    def count(self, level: Level) -> int:
        """How many problems weigh so much."""
        return sum(1 for problem in self.problems if problem.level is level)


def assess_case(
    root: Path, folder: Path, on: dt.date, repository: Repository | None = None, history: bool = False
) -> Assessment:
    """Read and assess one case. Never raises on what people wrote.

    `history` asks git as well; it is read once for all cases of a `repository` that is handed in.
    """
    shared = repository or open_repository(root)
    place = folder.resolve()
    reading = intake.read_case(shared.root, place, shared.bench, shared.known)
    if reading.case is None:
        return assessed(shared, reading, on, Outside())
    return assessed(shared, reading, on, look_outside(shared, reading.case, on, history))


def assessed(shared: Repository, reading: CaseReading, on: dt.date, outside: Outside) -> Assessment:
    """Assess a case that was read, with what is known of it from outside. Nobody else is asked, git least of all."""
    case = reading.case
    if case is None:
        return Assessment(reading.folder or ".", None, in_order(reading.problems))
    name = case.folder or "."
    editions = read_editions(shared, name, case.id, outside.tags, again)
    series, problems = _series(shared.root, case)
    read = (*reading.problems, *problems)
    dossier = assess(case, reading.places, shared, on, read, editions, outside.approvals, outside.past, series)
    return Assessment(name, dossier, dossier.core.problems)


def _series(root: Path, case: Case) -> tuple[Mapping[str, Mapping[str, Any]], list[Problem]]:
    """The long series that calculations of a case ask for; calculations are loaded only then."""
    if not any(one.series is not None for one in case.calculations.values()):
        return {}, []
    from asfound.physics.calc import calculation

    return intake.read_case_series(root, case, calculation)


def unique(found: Iterable[Assessment]) -> Iterable[Assessment]:
    """The same, with a reject where two cases bear one identity."""
    first: dict[str, Assessment] = {}
    for one in found:
        if one.dossier is None:
            yield one
            continue
        ident = one.dossier.id
        other = first.setdefault(ident, one)
        if other is one:
            yield one
            continue
        problem = Problem(
            CASE_TWICE.name, Level.REJECT, Span(f"{one.folder}/case.yml", 1, 1),
            f'the case "{ident}" also stands in {other.folder}', "an identity of its own is needed", CASE_TWICE.mend,
        )  # fmt: skip
        core = replace(one.dossier.core, problems=in_order((*one.problems, problem)))
        yield Assessment(one.folder, replace(one.dossier, core=core), core.problems)


def again(dossier: Dossier, shared: Repository, places: Places, read: Iterable[Problem]) -> Core:
    """The core of a frozen case, computed by the rules, limits and arithmetic of today."""
    core = dossier.core
    return assess(core.case, places, shared, core.on, read, past=dossier.history, frozen=core).core


def assess(
    case: Case,
    places: Places,
    shared: Repository,
    on: dt.date,
    read: Iterable[Problem] = (),
    editions: Editions | None = None,
    approvals: Iterable[Approval] | None = None,
    past: Past | None = None,
    series: Mapping[str, Mapping[str, Any]] | None = None,
    frozen: Core | None = None,
) -> Dossier:
    """Compute, ask the rules, freeze: a pure function of what was read, the book, `on`, and what git told.

    Without `approvals`, none at all rather than an empty row of them, no rule speaks of signatures. What was worked out
    of a series that is not handed in is taken from the `frozen` core.
    """
    bare = Facts(
        case, places, shared.book, shared.bench.instruments, shared.bench.settings, on,
        editions=editions or Editions(), past=past or Past(), certificates=shared.bench.certificates,
    )  # fmt: skip
    tests: dict[str, Test] = {}
    for protocol in bare.protocols:
        for name, test in protocol.tests.items():
            tests.setdefault(name, test)
    computed = verdicts.compute(case, shared.book, tests, shared.bench.instruments)
    worked = workings.work_out(
        case, tests, shared.bench.instruments, computed.results, series,
        frozen.worked if frozen else (), frozen.results if frozen else (),
    )  # fmt: skip
    computed = structs.replace(computed, results=(*computed.results, *worked.results))
    placing = clocks.place(case, shared.bench.settings, intake.zone_of)
    used = dict(sorted((computed.limits or {}).items()))
    protocols = {protocol.protocol: protocol for protocol in bare.protocols}
    instruments = _used_instruments(case, shared.bench.instruments)
    digests = Digests(seal.case_digest(case.files.values()), _limits_digest(used, protocols))
    stands = _places(places, instruments, case)
    signing = None
    if approvals is not None:
        standing = Standing(case, stands, digests, instruments, shared.bench.settings)
        signing = signing_of(approvals, shared.signers.kept, standing)
    facts = replace(
        bare,
        verdicts=computed.verdicts,
        results=computed.results,
        coverage=computed.coverage,
        limits=computed.limits,
        signing=signing,
        placing=placing,
        duties=duties.reckon(case, shared.reporting, on),
        worked=worked.worked,
    )
    facts = replace(facts, weighing=weigh.weigh(facts))
    problems = in_order((*read, *rules.run(facts)))
    core = Core(
        on=on,
        case=case,
        organisation=shared.bench.settings,
        instruments=instruments,
        protocols=protocols,
        sets=_set_heads(case, shared),
        limits=used,
        cautions=dict(sorted(shared.book.cautions.items())),
        verdicts=computed.verdicts,
        results=computed.results,
        coverage=computed.coverage,
        problems=problems,
        digests=digests,
        places=stands,
        approvals=slim(signing.approvals) if signing else (),
        weighing=facts.weighing,
        placing=placing,
        worked=worked.worked,
    )
    return Dossier(core, past or Past(), made_with(), replace(facts.duties, problems=rules.run_private(facts)))


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems without repetition, as they are printed."""
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.key))


def _used_instruments(case: Case, known: Mapping[str, Instrument]) -> dict[str, Instrument]:
    names = sorted({sheet.instrument for sheet in case.sheets.values()})
    return {name: known[name] for name in names if name in known}


def _set_heads(case: Case, shared: Repository) -> dict[str, SetHead]:
    chosen = case.plan.limit_sets if case.plan else ()
    sets = [shared.book.sets[name] for name in chosen if name in shared.book.sets]
    return {one.set: SetHead(one.set, one.title, one.document, one.edition, one.jurisdiction) for one in sets}


def _limits_digest(used: Mapping[str, Limit], protocols: Mapping[str, Protocol]) -> str:
    return seal.limits_digest(limits_json(used, protocols))


def _places(places: Places, instruments: Mapping[str, Instrument], case: Case) -> dict[str, Span]:
    kept = set(case.records) | set(instruments)
    return {ref: span for ref, span in sorted(places.all().items()) if ref in kept}


@cache
def made_with() -> MadeWith:
    """Versions that had a say in a result."""
    return MadeWith(
        asfound=metadata.version("asfound"), tzdata=metadata.version("tzdata"), holidays=metadata.version("holidays")
    )
