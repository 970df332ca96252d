"""`asfound log`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click

KINDS = ("before custody", "collected", "transfer", "stored", "returned")


@click.command(name="log")
@click.argument("case", metavar="CASE")
@click.argument("items", nargs=-1, metavar="ITEM...")
@click.option("--kind", type=click.Choice(KINDS), default="transfer", show_default=True, help="What it records.")
@click.option("--from", "giver", metavar="ROLE", help="Who gave it: a role of case.yml, or store for a sealed store.")
@click.option("--to", "receiver", metavar="ROLE", help="Who received it: a role of case.yml, or store.")
@click.option("--at", metavar="TIME", help='When: "2026-03-12 08:40 -05:00". Else now, by the clock of this computer.')
@click.option("--released-at", metavar="TIME", help="When it was given, where that is not when it was received.")
@click.option("--received-at", metavar="TIME", help="When it was received.")
@click.option("--from-place", metavar="TEXT", help="Where it was.")
@click.option("--to-place", metavar="TEXT", help="Where it went.")
@click.option("--purpose", metavar="TEXT", help="Why it moved.")
@click.option("--seal-before", metavar="TEXT", help="Number of the seal it bore.")
@click.option("--seal-after", metavar="TEXT", help="Number of the seal it bears now.")
@click.option("--condition", metavar="TEXT", help="Its condition at the hand-over, and that of the seal.")
@click.option("--signed", is_flag=True, help="Whoever gave it and whoever received it signed; a store does not sign.")
@click.option("--signed-out", metavar="ROLE", help="Who signed for giving.")
@click.option("--signed-in", metavar="ROLE", help="Who signed for receiving.")
@click.option("--evidence", multiple=True, metavar="E-7", help="A picture or paper of it; may be given again.")
@click.option("--note", metavar="TEXT", help="Anything else.")
@click.option("--on", metavar="DATE", help="The date to check on afterwards; today where nothing is said.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(**given: Any) -> None:
    """Write a hand-over of ITEMs down: one line in custody.csv.

    Where no time is given, that of the computer's clock is written for both ends, and the note says so. A hand-over is
    written down even where a rule objects to it; the check's words are printed below the line that was written.

    Exit code 0: written; 1: it could not be written, with every reason; 2: wrong usage.

    \b
    asfound log return-pad-lesion I-1 I-2 --from store --to examiner --purpose examination \\
        --from-place "evidence store" --to-place bench --seal-before 40116 --condition "seal whole" --signed-in examiner
    """
    from asfound.cli.log import run_log

    sys.exit(run_log(**given))
