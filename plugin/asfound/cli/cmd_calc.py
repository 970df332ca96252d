"""`asfound calc`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="calc")
@click.argument("name", required=False)
@click.argument("given", metavar="INPUT=VALUE...", nargs=-1)
@click.option("--file", "file", metavar="FILE", help="A CSV or Parquet file; its columns bear [units].")
@click.option("--column", "named", metavar="NAME=COLUMN", multiple=True, help="Which column of the file is meant.")
@click.option("--from", "from_", metavar="VALUE", help="Take only rows from here on: of the first column, as 2 ms.")
@click.option("--to", metavar="VALUE", help="Take only rows up to here.")
@click.option("--along", metavar="NAME", help="The column that --from and --to are about, where it is another.")
@click.option("--chart", metavar="FILE.svg", help="Draw what there is to see; several charts become FILE-NAME.svg.")
@click.option("--replace", is_flag=True, help="Write over charts that are there already.")
@click.option("--json", "form", flag_value="json", help="For programs.")
@click.option("--text", "form", flag_value="text", default="text", help="For people. This is the default.")
def command(
    name: str | None,
    given: tuple[str, ...],
    file: str | None,
    named: tuple[str, ...],
    from_: str | None,
    to: str | None,
    along: str | None,
    chart: str | None,
    replace: bool,
    form: str,
) -> None:
    """Compute something at the bench, without a case, and say by which formula and on whose authority.

    Without NAME, list what can be computed; with NAME alone, say what it needs. A doubt may follow a number and is
    carried through. It is expanded, with k = 2 unless (k=4.53) or (k=4.53, dof=2) says another factor and the degrees
    of freedom behind it; a result that few degrees of freedom stand behind says its own k.

    A file is read for the columns that are named, whatever stands beside them; of a window only its rows are held, so
    that a stretch of a file of any length can be had. Parquet wants the extra: pip install "asfound[table]".

    A chart is a picture that stands alone: title, result, what went in, formula and source are in it. It is written
    nowhere near a case, whose files are evidence.

    Exit code 0: computed; 1: the file cannot be read with certainty; 2: wrong usage.

    \b
    asfound calc
    asfound calc thermal-dose
    asfound calc heating-factor current="1.15±0.03 A" time="95 s"
    asfound calc heating-factor current="1.15±0.06 A (k=4.53, dof=2)" time="95 s"
    asfound calc pulse-energy load="50 ohm" --file shock.csv --chart shock.svg
    asfound calc pulse-energy --file day.parquet --column voltage="channel 2" --from "2 s" --to "2.05 s"
    """
    from asfound.cli.calc import run_calc
    from asfound.cli.calc_series import Asked

    sys.exit(run_calc(name, given, Asked(file, named, from_, to, along), form, chart, replace))
