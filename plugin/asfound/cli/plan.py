"""`asfound plan`."""

from __future__ import annotations

import difflib
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import click
from msgspec import Struct, field

from asfound import assess, desk, emit, intake
from asfound.assess import Repository
from asfound.cli.check import choose
from asfound.cli.places import place_of
from asfound.cli.refusal import AGAIN, told_disk, told_refusal
from asfound.cli.schema import modeline
from asfound.desk import Refused
from asfound.model.base import Moment
from asfound.model.case import Case
from asfound.model.limits import Test
from asfound.model.work import Plan
from asfound.problems import Problem

HEAD = """\
{line}# What is measured, against which limits and by which rule: chosen before the first reading, since a plan that
# follows its results proves nothing. Seal it (sealed: at, how, sha256) before you measure; what the rules ask is told
# by: asfound explain plan-after-results
written_at: {at}
written_by: {by}
protocols: [{protocols}]
limit_sets: [{limit_sets}]
decision_rule: {rule}
tests:
"""


_IN_PLAN = {
    "protocols": "protocols", "limit_sets": "limit_sets", "rule": "decision_rule", "by": "written_by",
    "at": "written_at",
}  # fmt: skip
"""What an option that begins a plan is called in it."""


class _Work(Struct):
    """One run: the case as it lies, what was asked for, and what is to be written."""

    home: Path
    folder: Path
    shared: Repository
    case: Case
    given: Mapping[str, Any]
    changes: dict[str, tuple[bytes | None, bytes]] = field(default_factory=dict)
    lines: list[tuple[str, int, str]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    sets: tuple[str, ...] = ()
    unread: tuple[Problem, ...] = ()
    """What stands in the way of reading items.yml whole."""

    def path(self, name: str) -> str:
        """A file of the case as messages name it."""
        return f"{self.case.folder}/{name}" if self.case.folder else name

    def held(self, name: str) -> bytes | None:
        """The bytes of a file of the case; None where there is none."""
        return desk.read_whole(self.folder / name)


def run_plan(case: str, root: str | None, bench_sheet: str | None, paper: str, **given: Any) -> int:
    """Write plan and sheets, or say why not; the exit code."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    folder = choose(home, case)[0]
    place = place_of(bench_sheet, "bench.pdf", "a sheet for the bench", folder, home) if bench_sheet else None
    try:
        with desk.alone(folder):
            work = _open(home, folder, given)
            _plan(work)
            _sheets(work)
            _write(work)
        if place is not None:
            from asfound.cli.bench_sheet import write_bench_sheet

            return write_bench_sheet(work.shared, work.case, place, paper)
    except Refused as refused:
        return told_refusal(refused)
    except OSError as error:
        return told_disk(error, AGAIN)
    return 0


def _open(home: Path, folder: Path, given: Mapping[str, Any]) -> _Work:
    shared = assess.open_repository(home)
    read = intake.read_case(home, folder, shared.bench)
    if read.case is None:
        raise Refused("the case cannot be read, so nothing is put into it", problems=read.problems)
    broken = [name for name in read.case.broken if name in ("plan.yml", "sheets.yml") or name.startswith(("S-", "P-"))]
    if broken:
        at = {f"{read.case.folder}/{name}" for name in ("plan.yml", "sheets.yml")}
        problems = [one for one in read.problems if one.span.path in at]
        raise Refused(
            f"{' and '.join(broken)} cannot be read as it stands, and has to be mended first", problems=problems
        )
    items = f"{read.case.folder}/items.yml"
    unread = tuple(one for one in read.problems if one.span.path == items)
    return _Work(home, folder, shared, read.case, given, unread=unread)


# The plan


def _plan(work: _Work) -> None:
    book, given = work.shared.book, work.given
    plan = work.case.plan
    if plan is not None and not given["tests"]:
        for name in ("protocols", "limit_sets", "rule", "by", "at", "why"):
            if given[name]:
                said = {"protocols": "protocol", "limit_sets": "limits"}.get(name, name)
                raise click.UsageError(f"--{said} begins a plan, or goes with --test; plan.yml stands there already")
    for name, said in (
        ("protocols", "protocol"),
        ("limit_sets", "limits"),
        ("rule", "rule"),
        ("by", "by"),
        ("at", "at"),
    ):
        if plan is not None and given[name]:
            where = _IN_PLAN[name]
            raise click.UsageError(f"--{said} begins a plan; plan.yml stands there already, and holds it under {where}")
    head = "" if plan is not None else _head(work)
    names = plan.protocols if plan is not None else _protocols(work)
    tests = desk.tests_of(book, names)
    chosen = _chosen(given["tests"], tests, plan)
    if plan is not None and not chosen:
        return
    item = _item(work)
    why = (given["why"] or "") if plan is not None else ""
    if plan is not None and not why and plan.sealed is not None:
        why = _asked("Why is it added after the plan was sealed", "--why")
    elif plan is not None and not why and any(sheet.rows for sheet in work.case.readings.values()):
        work.said.append(
            "there are readings already: say under added, or by --why, why a test is planned after them; without it "
            "the plan counts as one that was changed after its results"
        )
    sets = plan.limit_sets if plan is not None else work.sets
    proposed = desk.propose(work.case, tests, chosen, item, why, desk.beyond(book, names, sets))
    old = work.held("plan.yml")
    made = desk.insert_records(
        work.path("plan.yml"),
        head.encode() if old is None else old,
        proposed.tests,
        ("tests",),
        remarks=proposed.remarks,
    )
    _take_plan(work, old, made.data)
    work.lines += desk.new_lines("plan.yml", made, whole=old is None)
    for name, lacking in proposed.open.items():
        work.said.append(
            f"{name}: no value is on record for {' and '.join(lacking)}; write them below coverage in plan.yml"
        )
    for said in dict.fromkeys(proposed.unfit.values()):
        names_left = ", ".join(name for name, one in proposed.unfit.items() if one == said)
        work.said.append(f"left out, since {item} says {said}: {names_left}; --test plans one all the same")
    if proposed.altering:
        work.said.append(
            f"left out, since they change or destroy: {', '.join(proposed.altering)}; --test plans one by name"
        )
    if proposed.beyond:
        work.said.append(
            f"left out, since they are type tests that no limit set of the plan speaks of: "
            f"{', '.join(proposed.beyond)}; --test plans one by name"
        )
    if proposed.unsaid:
        work.said.append(
            f"{work.path('items.yml')} does not say of {item}, below characteristics: {', '.join(proposed.unsaid)}; "
            f"where it does, what cannot be asked of such a thing is left out. Words that are known: "
            + "; ".join(f"{name}: {_known(words)}" for name, words in proposed.unsaid.items())
        )
    for said, words in proposed.idle.items():
        work.said.append(
            f"{work.path('items.yml')} says of {item}: {said}; no test knows that word, so it leaves nothing out. "
            f"Words that are known: {_known(words)}"
        )


def _known(words: tuple[str, ...]) -> str:
    return "none, or what it has" if words == desk.ABSENT else ", ".join(words)


def _take_plan(work: _Work, old: bytes | None, new: bytes) -> None:
    document = intake.read_yaml(work.path("plan.yml"), new)
    record, problems = intake.read_record(Plan, document)
    if record is None:
        raise Refused("the plan would not be accepted", problems=problems)
    work.case = replace(work.case, plan=record)
    work.changes["plan.yml"] = old, new


def _head(work: _Work) -> str:
    given = work.given
    lacking = []
    names = _protocols(work)
    tests = desk.tests_of(work.shared.book, names)
    if not tests:
        has = ", ".join(sorted(one for one in work.shared.book.protocols if desk.tests_of(work.shared.book, [one])))
        raise click.UsageError(
            f"{', '.join(names)} asks to look at things and holds no test; name a protocol with tests beside it by "
            f"--protocol: {has}"
        )
    known = desk.sets_for(work.shared.book, tests)
    sets = given["limit_sets"]
    if not sets and known and _terminal():
        click.echo("Limit sets that speak of these tests, with whose requirement each is:", err=True)
        click.echo(emit.plain(_titles(work, known)), err=True)
        sets = [one.strip() for one in str(click.prompt("Which", err=True)).split(",") if one.strip()]
    if not sets and known:
        lacking.append(f"--limits, one or more of: {', '.join(known)} (below)")
    for one in sets:
        if one not in work.shared.book.sets:
            raise click.UsageError(_unknown("limit set", one, work.shared.book.sets))
    rule = given["rule"]
    if not rule and _terminal():
        choice = click.Choice(("simple acceptance", "guard band"))
        rule = click.prompt("How are readings near a limit decided", type=choice, err=True)
    if not rule:
        lacking.append('--rule, "simple acceptance" or "guard band"')
    by = given["by"] or work.case.head.examiner or ""
    if not by:
        lacking.append("--by, a role of case.yml, since it names no examiner")
    elif by not in work.case.head.people and work.case.head.people:
        raise click.UsageError(
            f"{_unknown('role in case.yml', by, work.case.head.people)}; another one is added there, below people"
        )
    at = given["at"] or (
        str(click.prompt("When was it written, as in 2026-05-04 11:20 -05:00", err=True)) if _terminal() else ""
    )
    if not at:
        lacking.append('--at, when it was written, with the offset: "2026-05-04 11:20 -05:00"')
    if lacking:
        listed = f"\n{_titles(work, known)}" if known and not sets else ""
        raise click.UsageError(f"a plan is begun with: {'; '.join(lacking)}{listed}")
    work.sets = tuple(sets)
    line = modeline(work.home, work.folder / "plan.yml")
    return HEAD.format(
        line=f"{line}\n", at=_moment(at), by=by, protocols=", ".join(names), limit_sets=", ".join(sets), rule=rule
    )


def _titles(work: _Work, names: Sequence[str]) -> str:
    """A line for each limit set: its name, what it is, and whose document it comes from."""
    width = max(map(len, names))
    sets = ((name, work.shared.book.sets[name]) for name in names)
    return "\n".join(f"  {name:{width}}  {one.title} ({one.document}, {one.edition})" for name, one in sets)


def _moment(text: str) -> str:
    try:
        return Moment.read(text).text
    except ValueError:
        raise click.UsageError(
            f'--at "{text}" is no time with its offset; one as in "2026-05-04 11:20 -05:00" is needed'
        ) from None


def _protocols(work: _Work) -> Sequence[str]:
    book, given = work.shared.book, work.given["protocols"]
    for one in given:
        if one not in book.protocols:
            raise click.UsageError(_unknown("protocol", one, book.protocols))
    if given:
        return tuple(given)
    kind = work.case.head.device_kind
    found = desk.protocols_for(book, kind) if kind else ()
    if not found:
        said = f"no protocol is for the device kind {kind}" if kind else "case.yml has no device_kind"
        known = ", ".join(sorted(book.protocols))
        raise click.UsageError(f"{said}; name a protocol with --protocol: {known}")
    return found


def _chosen(names: Sequence[str], tests: Mapping[str, Test], plan: Plan | None) -> tuple[str, ...]:
    for name in names:
        if name.partition("--")[0] not in tests:
            raise click.UsageError(_unknown("test of these protocols", name.partition("--")[0], tests))
        if plan is not None and name in plan.tests:
            raise click.UsageError(f"{name} is planned already; a second use of it is named {name}-- and a word")
    # A plan is begun in the order of the work, whatever the order of the options.
    order = {name: number for number, name in enumerate(tests)}
    return tuple(sorted(dict.fromkeys(names), key=lambda name: order[name.partition("--")[0]]))


def _item(work: _Work) -> str:
    given, case = work.given["item"], work.case
    item = given if given in case.items else None if given else desk.main_device(case)
    if item is None and (case.some_unread("I") if not given else given in case.broken or case.unread(given)):
        # One that stands there and cannot be read is not missing.
        names = [one for one in case.broken if one == "items.yml" or one.startswith("I-")]
        reason = f"{' and '.join(names)} cannot be read as it stands, and has to be mended first"
        raise Refused(reason, problems=work.unread)
    if given and item is None:
        raise click.UsageError(_unknown("item in items.yml", given, case.items))
    if item is None:
        raise Refused(f"{work.path('items.yml')} holds no main device, so there is nothing to measure; record it first")
    return str(item)


def _unknown(what: str, name: str, known: Mapping[str, Any]) -> str:
    near = difflib.get_close_matches(name, known, n=1)
    hint = f'; "{near[0]}" is perhaps meant' if near else f"; there is {', '.join(sorted(known)) or 'none'}"
    return f'there is no {what} "{name}"{hint}'


def _asked(question: str, option: str) -> str:
    if not _terminal():
        raise click.UsageError(f"the plan is sealed: {option} is needed, with the reason")
    return str(click.prompt(question, err=True))


def _terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


# The sheets


def _sheets(work: _Work) -> None:
    assert work.case.plan is not None
    tests = desk.tests_of(work.shared.book, work.case.plan.protocols)
    tables = {
        path: data
        for path in work.case.files
        if path.startswith("readings/") and path.endswith(".csv") and (data := work.held(path)) is not None
    }
    laid = desk.lay_sheets(
        work.case, tests, work.shared.bench.settings.repeats_wanted, work.held("sheets.yml"), tables,
        work.path("sheets.yml"), f"{modeline(work.home, work.folder / 'sheets.yml')}\n",
    )  # fmt: skip
    if laid.sheets is not None:
        work.changes["sheets.yml"] = laid.sheets
    work.changes.update(laid.tables)
    work.lines += laid.lines
    for planned, refs in laid.superfluous.items():
        work.said.append(
            f"{planned}: the plan does not ask for {', '.join(refs)} (any more); nothing was removed, and a "
            f"row without a value can be taken out by hand"
        )


def _write(work: _Work) -> None:
    for name, line, text in work.lines:
        click.echo(emit.plain(f"{work.path(name)}:{line} {text}"))
    for said in work.said:
        click.echo(emit.plain(f"{said}."), err=True)
    if work.given["dry_run"]:
        click.echo("Nothing was written; this is what would be.", err=True)
        return
    for name, (old, new) in work.changes.items():
        below, _, leaf = name.rpartition("/")
        desk.replace_file(desk.real_folder(work.folder, below, make=True) / leaf, old, new)
    if not work.changes:
        click.echo("Every required row has its place; nothing was written.", err=True)
