"""`asfound new`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click

from asfound.cli.new_words import EVENTS, HARMED, OUTCOMES


@click.command(name="new")
@click.option("--safe-at", metavar="TIME", help='When it was taken out of use: "2026-05-04 10:30 +02:00".')
@click.option("--safe-by", metavar="ROLE", help="By whom: a role, such as ward-nurse.")
@click.option("--safe-how", metavar="TEXT", help="How it was left: on battery, unplugged, switched off.")
@click.option("--not-safe", is_flag=True, help="Nobody knows that it is out of use. Then see to that first.")
@click.option(
    "--in-use",
    multiple=True,
    metavar="WHAT",
    help='A thing in use, the device first: "Syringe pump", "cable: Mains cord".',
)
@click.option(
    "--not-impounded", multiple=True, metavar="WHAT: WHY", help="One of them that was not impounded, and why."
)
@click.option("--collected-by", metavar="ROLE", help="Who impounded the others.")
@click.option("--collected-at", metavar="TIME", help="When they were impounded.")
@click.option("--asked-by", metavar="ROLE", help="Who asked for the examination.")
@click.option("--asked-at", metavar="TIME", help="When that was asked.")
@click.option("--asked-how", metavar="TEXT", help="By letter, by telephone, in person.")
@click.option(
    "--jurisdiction", multiple=True, metavar="WORD", help="Whose reporting clocks run, as on the page Reporting."
)
@click.option("--aware-at", metavar="TIME", help="When staff first learned of it: reporting clocks start there.")
@click.option("--outcome", type=click.Choice(OUTCOMES), help="Class of the outcome, as a clinician tells it.")
@click.option("--device", metavar="KIND", help="Kind of the device, as protocols name it: syringe-pump.")
@click.option("--event", type=click.Choice(EVENTS), help="What kind of event it was.")
@click.option("--harmed", type=click.Choice(HARMED), help="Who was harmed.")
@click.option("--told-at", metavar="TIME", help="When it happened, as told, with the offset from UTC.")
@click.option("--time-source", metavar="TEXT", help="Which clock or person that time comes from.")
@click.option("--where", metavar="TEXT", help="The place, in general words: a bed place on a ward.")
@click.option("--account", metavar="TEXT", help="What happened, as reported; no opinion, no names.")
@click.option("--title", metavar="TEXT", help="Title of the case.")
@click.option("--examiner", metavar="ROLE", help="Role of whoever examines, where somebody does already.")
@click.option("--id", "case", metavar="ID", help="Identity for ever; of the day and the kind where nothing is said.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(**given: Any) -> None:
    """Open a case in its first hour.

    What cannot wait is asked first: is it safe, what was in use, what is impounded, who asked, what is due. On a
    terminal whatever no option says is asked for; an empty answer means that it is not known yet. The files are
    commented and begin with the line by which an editor finds their schema. The case is open: what is missing is listed
    by asfound check and not refused. Nothing that stands there is written over.

    Exit code 0: written; 1: refused, with every reason; 2: wrong usage.

    \b
    asfound new
    asfound new --not-safe --in-use "Syringe pump" --in-use "consumable: Syringe" \\
        --not-impounded "Syringe: thrown away before anybody came" --device syringe-pump --event "too much" \\
        --harmed patient --told-at "2026-05-04 10:20 +02:00" --time-source "the wall clock" \\
        --where "a bed place on a ward" --account "The syringe was found empty." --title "A syringe emptied early"
    """
    from asfound.cli.new import run_new

    sys.exit(run_new(**given))
