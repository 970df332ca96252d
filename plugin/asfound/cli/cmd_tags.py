"""`asfound tags`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="tags")
@click.argument("case", metavar="CASE")
@click.option("--out", required=True, metavar="FILE.html", help="The file to write, outside the folders of cases.")
@click.option("--item", "items", multiple=True, metavar="I-3", help="Only this item; may be given several times.")
@click.option("--replace", is_flag=True, help="Write over FILE.html where it is there already.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(case: str, out: str, items: tuple[str, ...], replace: bool, root: str | None) -> None:
    """Write a sheet of tags to print, one for each impounded item of CASE.

    Each tag bears item, case, collector, date and description, and a code that leads back to the record. What is not
    on record is a line to write on. The file needs no network.

    \b
    asfound tags return-pad-lesion --out tags.html
    asfound tags return-pad-lesion --item I-4 --item I-6 --out tags.html
    """
    from asfound.cli.tags import run_tags

    sys.exit(run_tags(case, out, items, replace, root))
