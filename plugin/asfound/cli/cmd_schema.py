"""`asfound schema`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="schema")
@click.option("--out", metavar="DIR", help="Write every schema there, such as .asfound/schemas.")
@click.option("--line", "line_for", metavar="FILE", help="Print the line that leads an editor from FILE to its schema.")
@click.option("--settings", is_flag=True, help="Print which schema is for which files, for the settings of an editor.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(out: str | None, line_for: str | None, settings: bool, root: str | None) -> None:
    """Write the JSON Schemas of this version, so that an editor completes, explains and marks while one types.

    Without an option, list them with the files they are for. An editor needs no network for them: FILE leads to its
    schema by a relative path on its first line. A schema helps in typing; the judge is asfound check.

    \b
    asfound schema --out .asfound/schemas
    asfound schema --line cases/my-case/items.yml
    asfound schema --settings
    """
    from asfound.cli.schema import run_schema

    sys.exit(run_schema(out, line_for, settings, root))
