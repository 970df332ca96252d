"""`asfound render`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, emit
from asfound.assess import Faulted, Means
from asfound.cli.folder import Folder
from asfound.cli.reference import commands
from asfound.document import Undocumentable
from asfound.pages import Options
from asfound.publish.plain import plain_files
from asfound.publish.work import build, day
from asfound.store import PlaceRefused, open_store


def run_render(
    folder: str, files: str | None, on: str | None, notice: str, no_duties: bool, documents: bool, source: str,
    no_history: bool, no_cache: bool, jobs: int, root: str | None,
) -> int:  # fmt: skip
    """Make the pages, look at the folders, write; the exit code."""
    home = (Path(root) if root else assess.find_root(Path.cwd())).resolve()
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {root}")
    if not (home / "cases").is_dir():
        raise click.UsageError("there is no folder cases/ here; run this where the cases are, or name --root")
    _places(home, folder, files)
    try:
        when = day(on)
    except ValueError:
        held = f'--on holds "{on}"' if on else "SOURCE_DATE_EPOCH holds no number of seconds"
        raise click.UsageError(f"{held}; a date such as 2026-03-19 is needed") from None
    options = Options("named", source, notice, not no_duties, documents)
    try:
        means = Means(open_store(home, not no_cache), jobs)
        built = build(home, "cases", when, options, not no_history, means, None, commands())
    except PlaceRefused as error:
        raise click.UsageError(str(error)) from None
    except Undocumentable as error:
        raise click.UsageError("no document can be made of a case: " + "; ".join(error.reasons)) from None
    except Faulted as error:
        raise error.faults[0][1] from None
    if built.rejects:
        for headline in built.rejects:
            click.echo(emit.plain(headline))
        click.echo("Nothing was written: a reject stands.", err=True)
        return 1
    pages, beside = plain_files(built)
    wanted = {folder: pages, files: beside} if files else {folder: {**pages, **beside}}
    # Every folder is looked at before one is written into.
    ready = [(name, Folder(Path(name), name, held)) for name, held in wanted.items() if name]
    for name, one in ready:
        done = one.fill()
        click.echo(f"{name}: {done.files} files, {done.written} of them written, {done.removed} taken away.", err=True)
    return 0


def _places(home: Path, folder: str, files: str | None) -> None:
    """Raises UsageError where a folder lies in a case, or the two are not apart."""
    for name in (folder, files):
        if name is None:
            continue
        place = Path(name).resolve()
        if place == home or home.is_relative_to(place):
            raise click.UsageError(f"{name} holds the repository; name a folder of its own")
        if any(place.is_relative_to(case) for case in assess.find_cases(home)) or place.is_relative_to(
            home / ".asfound"
        ):
            raise click.UsageError(f"{name} would be a part of a case or of .asfound; name a folder elsewhere")
    if files is not None:
        pages, beside = Path(folder).resolve(), Path(files).resolve()
        if pages.is_relative_to(beside) or beside.is_relative_to(pages):
            raise click.UsageError(f"{folder} and {files} lie one in the other; name two folders")
