"""What a check says of cases: worked out, worded, and kept, so that a hook before a commit need not work it out again.

Whoever assesses cases as they lie there (the check, the watch, a command that wrote a record, the form, the site while
it is served) does it through here. So the hook finds it said whichever of them saw the case last.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

from asfound import assess, emit
from asfound.assess import Assessment, Means
from asfound.hooks import BENCH, Lies, Told, ToldBefore
from asfound.problems import Problem
from asfound.store import PlaceRefused, open_store


def check_cases(
    root: Path, folders: Iterable[Path], on: dt.date, history: bool = False, means: Means | None = None
) -> tuple[Assessment, ...]:
    """Assess cases, and keep what a check says of them; in the order in which they are named.

    Raises what `assess.assess_cases` raises; then nothing is kept.
    """
    means = means or Means()
    before = asked(root, on, means)
    found = assess.assess_cases(root, folders, on, history, means)
    keep(before, found, history)
    return found


def check_case(root: Path, folder: Path, on: dt.date) -> Assessment:
    """Assess one case without asking git who changed what; what is kept of it is taken, where anything may be kept."""
    try:
        store = open_store(root)
    except PlaceRefused:
        store = None
    name = folder.resolve().relative_to(root.resolve()).as_posix()
    return next(one for one in check_cases(root, [folder], on, False, Means(store, 1)) if one.folder == name)


def asked(root: Path, on: dt.date, means: Means) -> ToldBefore | None:
    """Where what is said is kept; git is asked here, before anything is read. None where nothing is kept."""
    if means.store is None:
        return None
    before = ToldBefore(root.resolve(), on, means.store)
    before.begin()
    return before


def keep(before: ToldBefore | None, found: Iterable[Assessment], history: bool) -> None:
    """Keep what a check says of each case whose files lay still meanwhile, and of the organisation's own."""
    if before is None:
        return
    bench, of_bench = "", Told(())
    for one in found:
        if one.folder == BENCH:
            of_bench = _told(one)
        bench = bench or one.lies[0]
        if one.lies[1] and not before.kept(one.folder, Lies(*one.lies), history):
            before.keep(one.folder, Lies(*one.lies), history, _told(one))
    if bench:
        before.keep_bench(bench, of_bench)


def lines_of(one: Assessment) -> Iterator[tuple[Problem | None, str]]:
    """The problems; apart from them what concerns the facility's own duties to report; the closing line."""
    yield from emit.text(one.problems)
    if one.private:
        yield None, f"{emit.plain(one.folder)}, the facility's own reporting; not for a report, and no legal advice:"
        yield from emit.text(one.private)
    yield None, f"{emit.plain(one.folder)}: {_closing(one)}."


def _told(one: Assessment) -> Told:
    levels = frozenset(str(problem.level) for problem in one.problems)
    return Told(tuple(line for _, line in lines_of(one)), levels)


def _closing(one: Assessment) -> str:
    # "Nothing to report" would be the wrong word below a reminder of a report that is owed.
    said = emit.summary(one.problems) if one.problems or not one.private else "nothing stands against the case itself"
    if one.dossier is not None and one.dossier.core.case.open:
        return f"open, {said}"
    return said
