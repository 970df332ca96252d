"""`asfound approve`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import assess, emit
from asfound.assess.approve import Approving, prepare_approval, sign_approval
from asfound.cli.check import choose, read_day
from asfound.cli.codepage import echo_data
from asfound.model.bench import SignerRole
from asfound.seal import SshFault


def run_approve(
    case: str, role: str, key: str | None, signer: str | None, on: str | None, dry_run: bool, root: str | None
) -> int:
    """Sign, or say why not; the exit code."""
    day = read_day(on)
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    prepared = prepare_approval(
        home,
        choose(home, case)[0],
        day,
        SignerRole(role),
        Path(key).expanduser() if key else None,
        signer,
        Path("~/.ssh").expanduser(),
    )
    if dry_run and prepared.statement is not None:
        echo_data(prepared.statement.text())
    if prepared.reasons:
        return _refuse(prepared, role)
    if dry_run:
        click.echo("Nothing was signed and nothing was written.", err=True)
        return 0
    if prepared.stands:
        click.echo(f"{prepared.stands} speaks of the case as it stands already; nothing was signed again.", err=True)
        return 0
    return _sign(home, prepared)


def _refuse(prepared: Approving, role: str) -> int:
    click.echo(f"{emit.plain(prepared.folder)} cannot be approved by this {role}:", err=True)
    for one in prepared.reasons:
        click.echo(f"  {emit.plain(one)}.", err=True)
    return 1


def _sign(home: Path, prepared: Approving) -> int:
    statement = prepared.statement
    assert statement is not None
    try:
        written = sign_approval(home, prepared)
    except SshFault as error:
        click.echo(f"Nothing was approved: {emit.plain(str(error))}.", err=True)
        return 1
    except OSError as error:
        click.echo(f"Nothing was approved: {emit.plain(str(error.strerror or error))}.", err=True)
        return 1
    for path in written:
        click.echo(emit.plain(path))
    authorised = [one.exception for one in statement.exceptions]
    also = f" The exceptions on record were authorised with it: {', '.join(authorised)}." if authorised else ""
    click.echo(
        f"{statement.signer} approved {statement.case} as {statement.role}, assessed on {statement.on}.{also} "
        "Commit both files with the case; any change of it from here on voids the approval.",
        err=True,
    )
    return 0
