"""`asfound sheet`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="sheet")
@click.argument("case", metavar="CASE")
@click.option("--sheet", "name", metavar="NAME", help="Open this sheet (S-output) rather than the list of all.")
@click.option(
    "--host",
    metavar="ADDRESS",
    help="An address of this machine under which a tablet is to reach it.",
)
@click.option("--port", type=click.IntRange(0, 65535), metavar="N", help="By default 8377; 0 takes a free one.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(case: str, name: str | None, host: str | None, port: int | None, root: str | None) -> None:
    """Type readings in the browser, into the files of CASE.

    The form answers this machine alone unless an address is named, and lets in one browser by the address it prints,
    once; Enter prints another. Each value is in its file as soon as its cell is left, a changed one stays on its row,
    struck. Slips of ten and of a unit are asked about; verdicts appear when a sheet is closed. Ctrl+C ends the form.

    It needs a web server: pip install "asfound[sheet]".

    Exit code 0: ended; 1: it could not be opened; 2: wrong usage.

    \b
    asfound sheet return-pad-lesion
    asfound sheet return-pad-lesion --sheet S-output --host 192.168.1.20
    """
    from asfound.cli.sheet import run_sheet

    sys.exit(run_sheet(case, name, host, port, root))
