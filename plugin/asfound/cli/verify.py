"""`asfound verify`."""

from __future__ import annotations

from pathlib import Path

import click

from asfound import emit, pack


def run_verify(name: str, as_json: bool) -> int:
    """Check a pack and print what was found; the exit code."""
    place = Path(name)
    try:
        found = pack.verify(place)
    except OSError as error:
        raise click.UsageError(f"{name} cannot be opened: {(error.strerror or 'the system refused').lower()}") from None
    if as_json:
        click.echo(found.json(), nl=False)
    else:
        for line in found.text().splitlines():
            click.echo(emit.plain(line))
    return 1 if found.failed else 0
