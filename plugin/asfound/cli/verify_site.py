"""`asfound verify-site`."""

from __future__ import annotations

import datetime as dt
from importlib.metadata import version
from pathlib import Path

import click

from asfound import assess
from asfound.assess import Faulted, Means
from asfound.cli.check import read_day
from asfound.cli.reference import commands
from asfound.cli.site_told import site_folder, tell
from asfound.document import Undocumentable
from asfound.pages import Options
from asfound.problems import Level, Problem, Span
from asfound.publish import site_entries as entries
from asfound.publish.stamp import LARGEST, SITE, NoStamp, Stamp, read_stamp
from asfound.publish.verify import Verified
from asfound.publish.work import Built, build
from asfound.store import PlaceRefused, open_store


def run_verify_site(
    folder: str, form: str | None, on: str | None, cases: str, cache: bool, jobs: int, root: str | None
) -> int:
    """Make the pages again, hold the site against them, print; the exit code."""
    place = site_folder(folder)
    home = (Path(root) if root else assess.find_root(Path.cwd())).resolve()
    if not (home / cases).is_dir():
        raise click.UsageError(f"there is no folder {cases}/ in {home.name}; run this where the cases are")
    asked = read_day(on) if on is not None else None
    found: list[Problem] = []
    stamp = _stamp(place, found)
    if stamp is not None and asked not in (None, stamp.on):
        said = f"cases assessed on {stamp.on.isoformat()}"
        found.append(_problem(entries.STATE, said, f"{asked} was needed, as asked"))
    same = stamp is not None and stamp.program == version("asfound")
    if stamp is not None and not same:
        said = f"pages by version {stamp.program[:40]}"
        found.append(_problem(entries.STATE, said, f"version {version('asfound')}, which looks at them, was needed"))
    day = stamp.on if stamp is not None else asked or dt.date.today()
    built = _built(home, cases, day, stamp, cache, jobs)
    if built.rejects:
        said = f"a repository in which {len(built.rejects)} {'reject' if len(built.rejects) == 1 else 'rejects'} stand"
        found.append(_problem(entries.REJECTED, said, "none was needed"))
    try:
        # Whether words are the same says nothing where the site does not say how it was made.
        found += Verified(place, built, stamp, same).problems()
    except OSError as error:
        raise click.UsageError(f"{folder} cannot be read: {(error.strerror or 'the system refused').lower()}") from None
    held = sum(one.dossier is not None for one in built.assessments)
    closing = f"; held against {len(built.pages)} pages of {held} {'case' if held == 1 else 'cases'}"
    if stamp is not None:
        closing += f", assessed on {stamp.on.isoformat()}"
    return tell(place, tuple(sorted(found, key=lambda one: one.key)), closing, form, {Level.REJECT})


def _stamp(place: Path, found: list[Problem]) -> Stamp | None:
    path = place / SITE
    needed = "what the plugin and asfound render write there was needed"
    try:
        if path.stat().st_size > LARGEST:
            raise NoStamp(f"it is larger than {LARGEST} bytes")
        return read_stamp(path.read_bytes())
    except OSError:
        found.append(_problem(entries.UNSTAMPED, "no such file, so nothing says which cases the site shows", needed))
    except NoStamp as reason:
        found.append(_problem(entries.UNSTAMPED, f"a file that cannot be read: {reason}", needed))
    return None


def _built(home: Path, cases: str, day: dt.date, stamp: Stamp | None, cache: bool, jobs: int) -> Built:
    options, history = (stamp.options, stamp.history) if stamp is not None else (Options(), True)
    try:
        return build(home, cases, day, options, history, Means(open_store(home, cache), jobs), None, commands())
    except PlaceRefused as error:
        raise click.UsageError(str(error)) from None
    except Undocumentable as error:
        raise click.UsageError("the documents of the site cannot be made again: " + "; ".join(error.reasons)) from None
    except Faulted as error:
        raise error.faults[0][1] from None


def _problem(entry: entries.Entry, said: str, needed: str) -> Problem:
    return Problem(entry.name, entry.level, Span(SITE, 0, 0), said, needed, entry.mend)
