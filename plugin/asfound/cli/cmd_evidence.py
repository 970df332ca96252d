"""`asfound evidence`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click

KINDS = ("photograph", "video", "log", "certificate", "statement", "document", "drawing", "data")
VIEWS = ("overall", "middle", "close", "screen")


@click.group(name="evidence")
def command() -> None:
    """Register files as evidence.

    \b
    asfound evidence add IMG_0042.JPG --by custodian --view close --what "The plug, in its socket." --item I-3
    """


@command.command(name="add")
@click.argument("files", nargs=-1, metavar="FILE...")
@click.option(
    "--case", metavar="CASE", help="A folder or an identity; by default the case you stand in, or the only one."
)
@click.option("--by", "--role", "by", metavar="ROLE", help="Who took or received them: a role of case.yml.")
@click.option(
    "--what", multiple=True, metavar="TEXT", help="What it shows, in a sentence: once, or once a file in order."
)
@click.option("--kind", type=click.Choice(KINDS), help="Asked for where the content does not say it.")
@click.option("--view", type=click.Choice(VIEWS), multiple=True, help="From how far: once, or once a file in order.")
@click.option("--item", "items", multiple=True, metavar="I-3", help="An item it shows; may be given again.")
@click.option("--clock", metavar="K-2", help="The clock of the case that the files' times are on.")
@click.option("--clock-photo", metavar="FILE", help="A photograph of a reference clock, with the same camera.")
@click.option("--shows", metavar="TIME", help='What that clock shows: "2026-03-09 15:12:40 -05:00".')
@click.option("--reference", metavar="TEXT", help="Which clock that is: network time on the examiner's telephone.")
@click.option("--offset", metavar="-05:00", help="Offset from UTC of a camera that did not record it: --offset=-05:00.")
@click.option("--at", metavar="TIME", help="When they were taken, for files that do not say it themselves.")
@click.option("--as-found", is_flag=True, help="They are offered as showing the as-found state.")
@click.option("--scale/--no-scale", default=None, help="Whether a scale is in the frame.")
@click.option("--faces/--no-faces", default=None, help="Whether a face can be recognised.")
@click.option("--exported-how", metavar="TEXT", help="For a log: by which way, which key presses, which program.")
@click.option("--software", metavar="TEXT", help="For a log: software of the device and of the program, with versions.")
@click.option("--elsewhere", is_flag=True, help="Register by digest alone; the file is not copied into the case.")
@click.option("--keeper", metavar="ROLE", help="With --elsewhere: who keeps the file.")
@click.option("--place", metavar="TEXT", help="With --elsewhere: where it is kept.")
@click.option("--why", metavar="TEXT", help="With --elsewhere: why it is not in the case.")
@click.option("--yes", is_flag=True, help="Do not ask before writing.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def add(**given: Any) -> None:
    """Copy files into the case's evidence/ and register them in evidence.yml.

    Files are copied, never moved, and read back; digest, size, time, and what the camera wrote are taken from the file
    itself. On a terminal, what is missing is asked for. Either all files are registered or none. The lines that were
    written are printed with their places.

    Exit code 0: written; 1: refused, with every reason; 2: wrong usage.

    \b
    asfound evidence add DCIM/*.JPG --by custodian --as-found --clock K-2
    asfound evidence add DCIM/*.JPG --by custodian \\
        --clock-photo DCIM/IMG_0041.JPG --shows "2026-03-09 15:12:40 -05:00"
    asfound evidence add pump.log --kind log --by examiner --what "The pump's log." \\
        --exported-how "service cable, keys menu and send" --software "pump 3.2; terminal program 1.9"
    asfound evidence add ward.mp4 --elsewhere --keeper risk-manager --place "sealed disk 4" \\
        --why "faces of patients" --by custodian --what "The ward from 15:00 to 15:20."
    """
    from asfound.cli.evidence import run_add

    sys.exit(run_add(**given))
