"""`asfound explain`."""

from __future__ import annotations

import csv
import datetime as dt
import difflib
import io
import textwrap
from collections.abc import Collection
from pathlib import Path

import click

from asfound import audit, desk, emit
from asfound.assess import assess_case, catalogue, find_root, open_repository
from asfound.cli.check import choose
from asfound.cli.codepage import echo_data
from asfound.emit.as_starter import starter_yaml
from asfound.intake import read_case
from asfound.limits import packaged
from asfound.model.checklist import checklist, not_asked, unanswered
from asfound.model.columns import INSPECTION
from asfound.model.ids import sort_key
from asfound.model.included import with_included
from asfound.problems import Catalogue, Entry


def known_rules() -> Catalogue:
    """The rules a case is held against, and those a built site is."""
    return Catalogue((*catalogue(), *audit.ENTRIES))


def run_explain(name: str | None) -> int:
    """Print one rule, or the list of all; the exit code."""
    entries = known_rules()
    if name is None:
        width = max(len(entry.name) for entry in entries)
        for entry in entries:
            click.echo(f"{entry.name:<{width}}  {entry.level:<12}  {entry.title}")
        return 0
    if name not in entries:
        near = difflib.get_close_matches(name, [entry.name for entry in entries], n=1)
        hint = f' Did you mean "{near[0]}"?' if near else " `asfound explain` lists all."
        raise click.UsageError(f'there is no rule "{name}".{hint}')
    click.echo(page(entries[name]))
    return 0


_ANY_DAY = dt.date(2199, 12, 31)
"""Which lines a case leaves open does not depend on the date of assessment; a fixed one keeps the clock out of it."""


def _unknown(what: str, name: str, known: Collection[str]) -> click.UsageError:
    near = difflib.get_close_matches(name, known, n=1)
    hint = f' Did you mean "{near[0]}"?' if near else f" There are: {', '.join(known)}."
    return click.UsageError(f'there is no {what} "{name}".{hint}')


def run_starter(name: str, case: str | None, root: str | None) -> int:
    """Print a starter list, what a case leaves open of it, or the names of all; the exit code."""
    home = Path(root) if root else find_root(Path.cwd())
    shared = open_repository(home)
    known = shared.book.starters
    if name == "list":
        width = max(len(one) for one in known)
        for one, made in known.items():
            click.echo(f"{one:<{width}}  {made.title}")
        return 0
    if name not in known:
        raise _unknown("starter list", name, known)
    if case is None:
        echo_data(starter_yaml(known[name]))
        return 0
    found = assess_case(shared.root, choose(shared.root, case)[0], _ANY_DAY, shared).dossier
    if found is None:
        click.echo("The case could not be read, so what it leaves open is not known; asfound check says why.", err=True)
        return 1
    numbers = [int(ref[2:]) for ref in (*found.core.case.explanations, *found.core.case.broken) if ref[2:].isdigit()]
    open_ = known[name].left_open(found.core.case)
    echo_data(starter_yaml(known[name], open_, max(numbers, default=0) + 1))
    return 0


def run_protocol(name: str, root: str | None) -> int:
    """Print the file of a protocol, or the names of all with the kinds of devices they are for; the exit code."""
    shared = open_repository(Path(root) if root else find_root(Path.cwd()))
    known = shared.book.protocols
    if name == "list":
        width = max(len(one) for one in known)
        for one, made in known.items():
            click.echo(f"{one:<{width}}  {made.title}: {', '.join(made.device_kinds)}")
        return 0
    if name not in known:
        raise _unknown("protocol", name, known)
    ours, own = packaged(), shared.bench.protocols
    # Ours come first, as in the book: a second file of a name is refused there and is not the one that counts.
    path = next(path for path, one in (*ours.protocols.items(), *sorted(own.items())) if one.protocol == name)
    text = (desk.read_whole(shared.root / path) or b"") if path in own else dict(ours.files)[path]
    echo_data(text.decode("utf-8-sig"))
    return 0


def run_checklist(case: str, root: str | None) -> int:
    """Print the lines of the checklist that a case has not answered, as rows of inspection.csv; the exit code."""
    shared = open_repository(Path(root) if root else find_root(Path.cwd()))
    folder = choose(shared.root, case)[0]
    # `>> inspection.csv` has made the file before this runs: an empty one has no head yet, and is no fault.
    bare = not (desk.read_whole(folder / "inspection.csv") or b"").strip()
    read = read_case(shared.root, folder, shared.bench)
    # Of a thing that cannot be read nothing would be asked, and nothing would tell that.
    needed = ("I-", "items") if bare else ("I-", "items", "V-", "inspection")
    broken = () if read.case is None else tuple(ref for ref in read.case.broken if ref.startswith(needed))
    if read.case is None or broken:
        # Rows that were printed and are not filled in yet come by the dozen.
        named = [emit.plain(one) for one in sorted(broken, key=sort_key)]
        head = named if len(named) < 8 else [*named[:6], f"{len(named) - 6} more"]
        what = " and ".join(part for part in (", ".join(head[:-1]), *head[-1:]) if part)
        stand = "they stand" if len(named) > 1 else "it stands"
        click.echo(f"{what or 'The case'} cannot be read as {stand}; asfound check says why.", err=True)
        return 1
    kind, plan = read.case.head.device_kind, read.case.plan
    names = plan.protocols if plan is not None else desk.protocols_for(shared.book, kind) if kind else ()
    if not names:
        raise click.UsageError("no plan names a protocol, and none is for the kind of device in case.yml")
    lines = checklist(with_included(names, shared.book.protocols).values())
    # Before a plan names what is measured, the device itself is asked for, also where it is built in.
    main = desk.main_device(read.case)
    also = [main] if main else []
    left = [(ref, one) for ref, missing in unanswered(read.case, lines, also).items() for one in missing]
    for (ref, said), names_left in not_asked(read.case, lines, also).items():
        click.echo(
            f"Not asked of {ref}, since items.yml says {said} of it: {', '.join(names_left)}. A cord or a charger "
            "that was used with it is an item of its own.",
            err=True,
        )
    if not left:
        click.echo("Every line of the checklist is answered for every thing it is asked of.", err=True)
        return 0
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    if bare:
        rows.writerow(INSPECTION)
    first = max((int(row.id[2:]) for row in read.case.inspection), default=0) + 1
    for number, (ref, name) in enumerate(left, first):
        rows.writerow([number, ref, name, lines[name].look, *[""] * (len(INSPECTION) - 4)])
    echo_data(out.getvalue())
    click.echo(
        "Fill in seen for each: found, nothing seen, or could not look, and then why. Tell the place as it was. "
        "A row of what is no main device may be taken out where another such thing answers its line; where none does, "
        "and this thing has no such part, it is could not look, and why says so.",
        err=True,
    )
    return 0


def page(entry: Entry) -> str:
    """A rule as text."""
    lifted = "A recorded exception can lift it." if entry.liftable else "Nothing lifts it."
    parts = [
        entry.name,
        entry.title,
        "",
        f"Level   {entry.level}, {entry.family}. {lifted if entry.level == 'reject' else ''}".rstrip(),
        *(["        Shown at work, and in nothing that is handed over."] if entry.private else []),
        _part("Reason", entry.reason),
        _part("Source", f"{entry.source} ({entry.status})"),
        _part("Mend", entry.mend),
    ]
    return "\n".join(parts)


def _part(head: str, text: str) -> str:
    return textwrap.fill(text, 92, initial_indent=f"{head:<8}", subsequent_indent=" " * 8)
