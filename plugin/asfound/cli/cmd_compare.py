"""`asfound compare`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="compare")
@click.argument("base")
@click.argument("head", required=False)
@click.option("--case", metavar="ID", help="One case, by its identity or folder; all that are touched by default.")
@click.option(
    "--format", "form", type=click.Choice(["text", "md", "html", "json"]), default="text", show_default=True,
    help="For a terminal, for a request's summary, as a page of its own, for programs.",
)  # fmt: skip
@click.option("--on", metavar="DATE", help="The date to assess both sides on; today where nothing is said.")
@click.option(
    "--trusted-base", "trusted", is_flag=True,
    help="Hold both sides against .asfound/ of BASE: limits, instruments, settings, signers. For a request by anybody.",
)  # fmt: skip
@click.option(
    "--most", type=click.IntRange(min=1000), default=900_000, show_default=True,
    help="With md: how many bytes at most; what is left out is counted.",
)  # fmt: skip
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    base: str,
    head: str | None,
    case: str | None,
    form: str,
    on: str | None,
    trusted: bool,
    most: int,
    root: str | None,
) -> None:
    """Say what a change does to each case it touches.

    BASE and HEAD are revisions of git: a branch, a tag, an id; without HEAD, the folder as it lies here. Both sides are
    assessed by this program. Told are levels and verdicts that moved, rules newly broken and mended, approvals voided,
    records and values old and new, files of evidence; the biggest first. Nothing is written.

    Exit code 0: told; 2: wrong usage, or no such revision.

    \b
    asfound compare main
    asfound compare main HEAD --case return-pad-lesion --format md
    """
    from asfound.cli.compare import run_compare

    sys.exit(run_compare(base, head, case, form, on, trusted, most, root))
