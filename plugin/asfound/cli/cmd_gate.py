"""`asfound gate`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click


@click.command(name="gate")
@click.argument("case", metavar="CASE")
@click.argument("kind", metavar="GATE")
@click.argument("items", nargs=-1, metavar="[ITEM]...")
@click.option("--by", required=True, metavar="ROLE", help="Who passed it: a role of case.yml.")
@click.option("--at", metavar="TIME", help='When: "2026-03-12 14:25 -05:00". Else now, by the clock of this computer.')
@click.option("--outcome", metavar="TEXT", help="For inspected: no, minor or significant damage. Safe to connect: yes.")
@click.option("--rests-on", multiple=True, metavar="E-3", help="A record it rests on; may be given again.")
@click.option("--note", metavar="TEXT", help="Anything else.")
@click.option("--on", metavar="DATE", help="The date to check on afterwards; today where nothing is said.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(**given: Any) -> None:
    """Write down that a gate was passed: one record in gates.yml.

    ITEMs are the things it holds for; none means the case as a whole. Where no time is given, that of the computer's
    clock is written, and the note says so. What happened is written down even where a rule objects to it; the check's
    words are printed below the lines that were written.

    Exit code 0: written; 1: it could not be written, with every reason; 2: wrong usage.

    \b
    asfound gate return-pad-lesion "safe to connect" I-1 I-2 --by examiner --outcome yes --rests-on R-earth-3
    asfound gate return-pad-lesion made-safe I-1 --by theatre-coordinator --at "2026-03-09 15:16 -05:00"
    """
    from asfound.cli.gate import run_gate

    sys.exit(run_gate(**given))
