"""`asfound calc`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="calc")
@click.argument("name", required=False)
@click.argument("given", metavar="INPUT=VALUE...", nargs=-1)
@click.option("--file", "file", metavar="FILE", help="A CSV file with the values; names and [units] in its first row.")
@click.option("--chart", metavar="FILE.svg", help="Draw what there is to see; several charts become FILE-NAME.svg.")
@click.option("--replace", is_flag=True, help="Write over charts that are there already.")
@click.option("--json", "form", flag_value="json", help="For programs.")
@click.option("--text", "form", flag_value="text", default="text", help="For people. This is the default.")
def command(
    name: str | None, given: tuple[str, ...], file: str | None, chart: str | None, replace: bool, form: str
) -> None:
    """Compute something at the bench, without a case, and say by which formula and on whose authority.

    Without NAME, list what can be computed; with NAME alone, say what it needs. A doubt (expanded, k = 2) may follow a
    number and is carried through.

    A chart is a picture that stands alone: title, result, what went in, formula and source are in it. It is written
    nowhere near a case, whose files are evidence.

    Exit code 0: computed; 1: the file cannot be read with certainty; 2: wrong usage.

    \b
    asfound calc
    asfound calc thermal-dose
    asfound calc heating-factor current="1.15±0.03 A" time="95 s"
    asfound calc pulse-energy load="50 ohm" --file shock.csv --chart shock.svg
    """
    from asfound.cli.calc import run_calc

    sys.exit(run_calc(name, given, file, form, chart, replace))
