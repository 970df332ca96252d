"""`asfound issue`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, emit
from asfound.assess.issue import Prepared, prepare_edition, write_edition
from asfound.assess.set_tag import tag_newest
from asfound.cli.check import choose, read_day
from asfound.model.edition import PRESERVATION, edition_tag


def run_issue(case: str, reason: str, preservation: bool, dry_run: bool, on: str | None, root: str | None) -> int:
    """Issue, or say why not; the exit code."""
    day = read_day(on)
    home, folder = _chosen(case, root)
    prepared = prepare_edition(home, folder, day, reason, preservation)
    if prepared.reasons:
        click.echo(f"No edition of {emit.plain(prepared.folder)} can be issued:", err=True)
        for one in prepared.reasons:
            click.echo(f"  {emit.plain(one)}.", err=True)
        return 1
    record = prepared.record
    assert record is not None
    if dry_run:
        click.echo(f"{_named(prepared)} would be issued; nothing was written.", err=True)
        for change in record.changes:
            click.echo(emit.plain(change))
        return 0
    try:
        written = write_edition(home, prepared)
    except OSError as error:
        click.echo(f"Nothing was issued: {emit.plain(str(error.strerror or error))}.", err=True)
        return 1
    for path in written:
        click.echo(emit.plain(path))
    tag = edition_tag(record.case, record.number)
    click.echo(
        f"{_named(prepared)} is issued. Commit it with the case. Once it is merged, set its tag on the commit that "
        "brought it to the main branch, and push it:\n"
        f"  git tag -s {tag} COMMIT    (-a where you sign no tags; or asfound issue {record.case} --tag)\n"
        f"  git push origin {tag}",
        err=True,
    )
    return 0


def run_tag(case: str, root: str | None) -> int:
    """Set the tag of the newest edition; the exit code."""
    home, folder = _chosen(case, root)
    done, said = tag_newest(home, folder)
    click.echo(emit.plain(said), err=True)
    return 0 if done else 1


def _chosen(case: str, root: str | None) -> tuple[Path, Path]:
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    return home, choose(home, case)[0]


def _named(prepared: Prepared) -> str:
    record = prepared.record
    assert record is not None
    if record.kind == PRESERVATION:
        return f"Preservation edition {record.number} of {record.case}"
    return f"Edition {record.number} of {record.case}{'' if record.reviewed else ', not reviewed,'}"
