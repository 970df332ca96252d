"""`asfound render`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click


@click.command(name="render")
@click.argument("folder", metavar="DIR")
@click.option(
    "--files", "files", metavar="DIR2",
    help="Put pictures, documents and assets there instead, for a generator that keeps them apart from pages.",
)  # fmt: skip
@click.option("--on", metavar="DATE", help="The date to assess on; by default SOURCE_DATE_EPOCH where set, else today.")
@click.option("--notice", default="", metavar="TEXT", help="A sentence above every page, such as who may read it.")
@click.option("--no-duties", is_flag=True, help="Leave the facility's own reporting duties out.")
@click.option("--documents", is_flag=True, help="Set each case and edition as a PDF too.")
@click.option("--source", default="", metavar="URL", help="A line of the repository in a browser: {path} and {line}.")
@click.option("--no-history", is_flag=True, help="Ask git nothing.")
@click.option("--no-cache", is_flag=True, help="Read and keep nothing of what was worked out before.")
@click.option(
    "--jobs",
    type=click.IntRange(0, 256),
    default=0,
    help="How many processes work at once; 0 for one a processor, as where nothing is said. The answer is the same.",
)
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(**given: Any) -> None:
    """Write the pages of every case as plain Markdown into DIR, with all they show, for any generator of sites.

    Each page is a Markdown file with a title in its front matter, in a folder of its own, and one block of HTML that
    Markdown leaves as it is; the generator must let HTML in Markdown through. Links are relative and name their file
    (../items/index.html), so they lead somewhere served and from disk, whether the generator makes a folder or a file
    of a page. Stylesheet, script and search come with the pages, and so does the stamp that verify-site asks for.

    Nothing is written while a reject stands, nor into a folder that holds anything else. Run again, only what differs
    is written and what is no more is taken away. The frame is the generator's: what it lacks, audit-site says.

    Exit code 0: written; 1: a reject stands; 2: wrong usage.

    \b
    asfound render docs
    asfound render pages --files extra --notice "For the risk manager only"
    """
    from asfound.cli.render import run_render

    sys.exit(run_render(**given))
