"""`asfound plan`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click


@click.command(name="plan")
@click.argument("case")
@click.option(
    "--protocol", "protocols", multiple=True, metavar="NAME", help="A protocol; by default those of the device's kind."
)
@click.option(
    "--limits",
    "limit_sets",
    multiple=True,
    metavar="SET",
    help="A limit set to hold readings against; may be given again.",
)
@click.option(
    "--rule", type=click.Choice(("simple acceptance", "guard band")), help="How readings near a limit are decided."
)
@click.option("--by", metavar="ROLE", help="Who writes the plan: a role of case.yml.")
@click.option("--at", metavar="TIME", help='When it was written: "2026-05-04 11:20 -05:00".')
@click.option("--test", "tests", multiple=True, metavar="NAME", help="A test to plan; may be given again. See below.")
@click.option("--item", metavar="I-1", help="The item new tests are about; the main device by default.")
@click.option("--why", metavar="TEXT", help="Why a test is added to a plan that was sealed, or that has readings.")
@click.option("--dry-run", is_flag=True, help="Show the lines, and write nothing.")
@click.option(
    "--bench-sheet", metavar="FILE", help="Write a sheet for the bench as PDF: cautions, gates, grids to fill in."
)
@click.option(
    "--paper", type=click.Choice(("a4", "us-letter")), default="a4", help="Paper of the bench sheet; a4 by default."
)
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(**given: Any) -> None:
    """Turn protocol and device into the plan of CASE and its reading sheets.

    Without a plan.yml it is begun: with every test of the protocols that neither changes nor destroys anything, and
    with the values that are on record of the device (settings as found, values its maker states, lists such as
    "ports: 1, 2" among its characteristics). Each planned test gets a file below readings/ with every required row and
    empty cells, conditions of the event first. Where there is a plan, tests are added only by --test; what is missing
    on the sheets is put behind what stands there. Nothing typed is written over and nothing is removed; rows that the
    plan does not ask for any more are told. An empty row is no reading: the check says that it is still needed.

    Exit code 0: written, or nothing to write; 1: refused, with every reason; 2: wrong usage.

    \b
    asfound plan warmer-7 --limits nfpa-99-2012 --rule "guard band" --by examiner --at "2026-05-04 11:20 -05:00"
    asfound plan warmer-7 --test touch-current --test flow-rate--swap --item I-2
    asfound plan warmer-7 --bench-sheet bench.pdf --paper us-letter
    """
    from asfound.cli.plan import run_plan

    sys.exit(run_plan(**given))
