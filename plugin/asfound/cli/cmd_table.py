"""`asfound table`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="table")
@click.argument("cases", nargs=-1, metavar="[CASE]...")
@click.option("--out", metavar="DIR", help="The folder to write to, outside the folders of cases; made where missing.")
@click.option("--schema", is_flag=True, help="Print which tables there are and what each column holds, and write none.")
@click.option("--replace", is_flag=True, help="Write over tables that are there already.")
@click.option("--on", metavar="DATE", help="The date to assess on, as 2026-03-19; today where nothing is said.")
@click.option(
    "--jobs",
    type=click.IntRange(0, 256),
    default=0,
    help="How many processes work at once; 0 for one a processor, as where nothing is said. The answer is the same.",
)
@click.option("--cache/--no-cache", default=True, help="Whether what was worked out before is taken from the cache.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    cases: tuple[str, ...],
    out: str | None,
    schema: bool,
    replace: bool,
    on: str | None,
    jobs: int,
    cache: bool,
    root: str | None,
) -> None:
    """Write items, readings, verdicts, results, findings, explanations and more as Parquet, for other programs.

    The tables hold serial numbers and places as the cases do: keep them as you keep the cases.

    \b
    asfound table --out tables
    asfound table --schema
    """
    from asfound.cli.table import run_table

    sys.exit(run_table(cases, out, schema, replace, on, jobs, cache, root))
