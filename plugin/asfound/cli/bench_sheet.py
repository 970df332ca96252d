"""The sheet for the bench of `asfound plan`: what a case holds, as words for the typesetter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib.metadata import version
from pathlib import Path

import click

from asfound import desk, document, emit
from asfound.assess import Repository
from asfound.cli.files import write_whole
from asfound.document import BenchGate, BenchLook, BenchRow, BenchSheet, BenchTest, Undocumentable
from asfound.measure import show_time
from asfound.model.base import NotKnown
from asfound.model.case import Case
from asfound.model.checklist import checklist, unanswered
from asfound.model.grid import Grid
from asfound.model.included import with_included
from asfound.model.limits import Test
from asfound.model.meanings import MEANINGS
from asfound.model.work import GateKind, PreparedSheet, Tier
from asfound.verdicts.grid import grids

GATES = {
    kind: MEANINGS["GateKind"][kind]
    for kind in (
        GateKind.MADE_SAFE,
        GateKind.SCENE_FROZEN,
        GateKind.AS_FOUND_RECORDED,
        GateKind.VOLATILE_DATA_DECIDED,
        GateKind.IMPOUNDED,
        GateKind.SEALED,
        GateKind.INTEREST_DECLARED,
        GateKind.PARTIES_TOLD,
        GateKind.RECEIVED,
        GateKind.INSPECTED,
        GateKind.PLAN_SEALED,
        GateKind.PASSIVE_TESTS_DONE,
        GateKind.LOGS_READ,
        GateKind.SAFE_TO_CONNECT,
    )
}


def write_bench_sheet(shared: Repository, case: Case, place: Path, paper: str) -> int:
    """Write the sheet of a case with a plan; the exit code."""
    try:
        write_whole(place, document.typeset_bench(bench_sheet(case, shared), paper))
    except Undocumentable as error:
        click.echo("No sheet for the bench was written:", err=True)
        for reason in error.reasons:
            click.echo(f"  {emit.plain(reason)}.", err=True)
        return 1
    click.echo(emit.plain(str(place)))
    return 0


def bench_sheet(case: Case, shared: Repository) -> BenchSheet:
    """Cautions, gates and the grid of every planned test that is still to be done, in the order of work."""
    assert case.plan is not None
    tests = desk.tests_of(shared.book, case.plan.protocols)
    found = grids(case, tests, shared.bench.settings.repeats_wanted)
    order = {name: number for number, name in enumerate(tests)}
    open_ = [grid for grid in found.values() if grid.missing]
    open_.sort(key=lambda grid: order.get(grid.test, len(order)))
    names = [
        name
        for one in case.plan.protocols
        if one in shared.book.protocols
        for name in shared.book.protocols[one].cautions
    ]
    names += [name for grid in open_ if grid.test in tests for name in tests[grid.test].cautions]
    known = shared.book.cautions
    lines = checklist(with_included(case.plan.protocols, shared.book.protocols).values())
    return BenchSheet(
        title=case.head.title,
        case=case.id,
        facts=(
            (
                "Things",
                "; ".join(f"{ref} {one.what}" for ref, one in case.items.items() if ref in {g.item for g in open_}),
            ),
            ("Plan", f"{show_time(case.plan.written_at.at)}, {_role(case.plan.written_by)}"),
            ("Plan sealed", _sealed(case)),
            (
                "Order",
                "Rows at the conditions of the event come first. No verdict is shown here: measure all of a test.",
            ),
        ),
        cautions=tuple(
            (known[name].title, " ".join(known[name].text.split())) for name in dict.fromkeys(names) if name in known
        ),
        gates=tuple(BenchGate(str(kind).capitalize(), asks, _passed(case, kind)) for kind, asks in GATES.items()),
        looks=tuple(
            BenchLook(ref, lines[name].look, lines[name].why)
            for ref, missing in unanswered(case, lines).items()
            for name in missing
        ),
        tests=tuple(_test(case, shared, grid, tests.get(grid.test)) for grid in open_),
        made=f"asfound {version('asfound')}",
    )


def _sealed(case: Case) -> str:
    assert case.plan is not None
    seal = case.plan.sealed
    if seal is not None:
        return f"{show_time(seal.at.at)}, {seal.how}"
    gate = _passed(case, GateKind.PLAN_SEALED)
    if gate:
        return f"{gate}; plan.yml does not say how, below sealed"
    return "not yet: readings prove nothing before it is"


def _passed(case: Case, kind: GateKind) -> str:
    return "; ".join(
        f"{show_time(gate.at.at)}, {_role(gate.by)}" + (f" ({', '.join(gate.items)})" if gate.items else "")
        for gate in case.gates.gates.values()
        if gate.gate is kind
    )


def _test(case: Case, shared: Repository, grid: Grid, test: Test | None) -> BenchTest:
    sheets: Mapping[str, PreparedSheet] = {**case.sheets, **case.prepared}
    mine = [sheets[name] for name in grid.sheets]
    given = [one.instrument for one in mine if one.instrument]
    fitted = [ref for one in mine for ref in one.accessories]
    item = case.items.get(grid.item)
    serial = (
        "" if item is None or item.serial is None or isinstance(item.serial, NotKnown) else f", serial {item.serial}"
    )
    rows = tuple(
        BenchRow(
            (row.reading or row.waiting).rpartition("-")[2] or "new",
            tuple(text for _, text in row.cells),
            "" if row.missing else "taken" if row.reading else f"not to be had: {row.why}",
            row.as_used,
        )
        for row in grid.rows
    )
    return BenchTest(
        title=grid.title,
        name=grid.planned,
        item=f"{grid.item} {item.what if item else ''}{serial}".strip(),
        sheets=", ".join(f"readings/{name.removeprefix('S-')}.csv" for name in grid.sheets) or "a new sheet",
        facts=(
            ("Instrument", ", ".join(dict.fromkeys(_instrument(shared, ref) for ref in given))),
            ("Function, range", ""),
            ("Fitted to it", ", ".join(dict.fromkeys(fitted))),
            ("Supply, climate", ""),
            *((("Method", " ".join(test.note.split())),) if test and test.note else ()),
        ),
        stops=tuple(_stops(shared, test)),
        checks=test.bench_checks if test else (),
        heads=tuple(column.head for column in grid.columns),
        value=grid.value_head,
        rows=rows,
    )


def _instrument(shared: Repository, ref: str) -> str:
    known = shared.bench.instruments.get(ref)
    return f"{ref} {known.what}" if known else ref


def _stops(shared: Repository, test: Test | None) -> Iterator[str]:
    if test is None:
        return
    if test.energised:
        yield "Stop: no power before the gate inspected is passed for it, and none where damage was found."
    if test.connects in ("analyser", "simulator", "person"):
        a = "an" if test.connects == "analyser" else "a"
        yield f"Stop: connect {a} {test.connects} only after the gate safe to connect."
    if test.alters in (Tier.CHANGES, Tier.DESTROYS):
        yield f"Stop: this {test.alters} evidence. Every party agrees in writing first, or a court orders it."
    elif test.alters is Tier.REVERSIBLE:
        yield "It alters the thing in a way that can be undone: record what was done, with the client's leave."
    yield "Stop and write down what happened at smoke, smell, noise, heat or a reading nobody expected."
    for name in test.cautions:
        if name in shared.book.cautions:
            yield f"{shared.book.cautions[name].title}. {' '.join(shared.book.cautions[name].text.split())}"


def _role(role: str) -> str:
    return role.replace("-", " ")
