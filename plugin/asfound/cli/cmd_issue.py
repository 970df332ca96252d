"""`asfound issue`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="issue")
@click.argument("case")
@click.option("--reason", default="", metavar="TEXT", help="Why it is made; needed from the second edition on.")
@click.option(
    "--preservation", is_flag=True,
    help="An hour-one edition: scene, items, custody, evidence; no opinion. Allowed while the case is open.",
)  # fmt: skip
@click.option("--tag", "set_tag", is_flag=True, help="Set the tag of the newest edition on the last commit instead.")
@click.option("--dry-run", is_flag=True, help="Say what would be issued, and what stands against it; write nothing.")
@click.option("--on", metavar="DATE", help="The day it is issued, as 2026-03-19; today where nothing is said.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    case: str, reason: str, preservation: bool, set_tag: bool, dry_run: bool, on: str | None, root: str | None
) -> None:
    """Issue an edition of CASE: its dossier, frozen, chained by digest to the edition before.

    Refused, with every reason, while a reject stands, while an approval is missing or no longer holds, while the case
    is open, or while its files are not committed. What is written is committed with the case; once it is merged, a tag
    is set on the commit that holds it.

    Exit code 0: issued; 1: something stands against it; 2: wrong usage.

    \b
    asfound issue return-pad-lesion
    asfound issue return-pad-lesion --reason "the second analyser's certificate was withdrawn"
    asfound issue hour-one --preservation
    asfound issue return-pad-lesion --tag
    """
    from asfound.cli.issue import run_issue, run_tag

    if set_tag and (reason or preservation or dry_run or on):
        raise click.UsageError(
            "--tag sets the tag of an edition that was issued; it goes with no other option but --root"
        )
    sys.exit(run_tag(case, root) if set_tag else run_issue(case, reason, preservation, dry_run, on, root))
