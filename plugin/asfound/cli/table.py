"""`asfound table`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, emit, table
from asfound.cli.check import assessed, choose, read_day, told_no_case
from asfound.cli.files import write_whole


def run_table(
    cases: tuple[str, ...],
    out: str | None,
    schema: bool,
    replace: bool,
    on: str | None,
    jobs: int,
    cache: bool,
    root: str | None,
) -> int:
    """Write the tables; the exit code."""
    if schema:
        click.echo(table.schema_text(), nl=False)
        return 0
    if not out:
        raise click.UsageError("--out DIR says where to write; --schema prints what would be written")
    day = read_day(on)
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    target = Path(out)
    _check_target(target, home, replace)
    folders = [one for name in cases for one in choose(home, name)] if cases else list(assess.find_cases(home))
    if not folders:
        return told_no_case(home)
    found, faults = assessed(home, list(dict.fromkeys(folders)), day, False, cache, jobs, "")
    for folder, error in faults:
        click.echo(f"asfound met a fault of its own in {emit.plain(folder)}: {emit.plain(str(error))}", err=True)
    if faults:
        return 3
    unread = [one for one in found if one.dossier is None and one.folder != ".asfound"]
    for one in unread:
        for _, said in emit.text(one.problems):
            click.echo(said, err=True)
    if unread:
        click.echo("A case could not be read, and no table was written.", err=True)
        return 1
    try:
        made = list(table.tables([one.dossier for one in found if one.dossier is not None]))
    except table.NoParquet as error:
        raise click.UsageError(str(error)) from None
    target.mkdir(exist_ok=True)
    for name, data in made:
        write_whole(target / name, data)
    click.echo(f"{len(made)} tables of {len(folders)} {'case' if len(folders) == 1 else 'cases'} in {out}.", err=True)
    return 0


def _check_target(target: Path, home: Path, replace: bool) -> None:
    if target.exists() and not target.is_dir():
        raise click.UsageError(f"{target} is no folder; name the folder to write to")
    if not target.resolve().parent.is_dir():
        raise click.UsageError(f"there is no folder {target.parent} to write into")
    place = target.resolve()
    inside = next((one for one in (place, *place.parents) if (one / "case.yml").is_file()), None)
    if inside is not None and inside.is_relative_to(home.resolve()):
        raise click.UsageError(f"{target} lies in the folder of a case, whose files are evidence; name another place")
    there = [one.name for one in table.TABLES if (target / f"{one.name}.parquet").exists()]
    if there and not replace:
        raise click.UsageError(f"{target} holds {there[0]}.parquet already; name another folder, or add --replace")
