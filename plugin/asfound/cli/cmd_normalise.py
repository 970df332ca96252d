"""`asfound normalise`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click


@click.command(name="normalise")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option("--to", metavar="DIR", help="Write the mended copy, and its log, into this folder, which must be there.")
@click.option(
    "--in-place-copy", is_flag=True,
    help="Put the mended copy in the place of FILE; the original is kept byte for byte, with the log.",
)  # fmt: skip
@click.option(
    "--decimal",
    type=click.Choice(["comma", "point"]),
    help="Which sign parts the decimals, where a file leaves it open.",
)
@click.option(
    "--separator", type=click.Choice(["comma", "semicolon", "tab", "stroke"]),
    help="What separates the cells, where a file leaves it open.",
)  # fmt: skip
@click.option(
    "--encoding", type=click.Choice(["cp1252", "mac-roman"]), help="Its encoding, where a file leaves it open."
)
@click.option("--all", "everything", is_flag=True, help="Print every place, not the first five of each kind.")
def command(**given: Any) -> None:
    """Say what a spreadsheet did to a reading sheet, and mend it by copy.

    Semicolons, tabs, decimal commas, groups of thousands, other encodings and line ends, empty columns and rows are
    put right, each with its line and column in a log. What nobody can know from the file, such as a number that became
    a date, is left as it stands and named. What can be read in two ways (1,234) is asked about, never guessed. Without
    --to and --in-place-copy nothing is written.

    With --in-place-copy the original of a sheet of a case goes to the case's evidence/, and otherwise beside FILE.

    Exit code 0: as it should be, or mended; 1: something to mend, to answer or to settle; 2: wrong usage.

    \b
    asfound normalise cases/my-case/readings/output.csv
    asfound normalise cases/my-case/readings/output.csv --in-place-copy --decimal comma
    asfound normalise from-the-bench/*.csv --to mended
    """
    from asfound.cli.normalise import run_normalise

    sys.exit(run_normalise(**given))
