"""`asfound status`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="status")
@click.argument("case", metavar="CASE")
@click.option("--json", "form", flag_value="json", default="text", help="The same for programs, all of it.")
@click.option("--all", "everything", is_flag=True, help="Every step, not the first five of each stretch of the work.")
@click.option("--on", metavar="DATE", help="The date to reckon on, as 2026-03-19; today where nothing is said.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(case: str, form: str, everything: bool, on: str | None, root: str | None) -> None:
    """Say what to do next in CASE, and why, in the order of the work.

    Make safe, keep what there is, tell those concerned, the next gate, rows of the plan that were not taken, what
    findings and conclusion lack, reports that are owed, signatures, the edition. Each reason is that of the rule, the
    plan or the clock it comes from. Due dates are a reminder and no legal advice; they are not for a report.

    Exit code 0: told; 1: the case could not be read; 2: wrong usage.

    \b
    asfound status return-pad-lesion
    asfound status return-pad-lesion --all --on 2026-03-19
    asfound status return-pad-lesion --json
    """
    from asfound.cli.status import run_status

    sys.exit(run_status(case, form, everything, on, root))
