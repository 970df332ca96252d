"""`asfound approve`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="approve")
@click.argument("case")
@click.option(
    "--role", type=click.Choice(["examiner", "reviewer"]), required=True, help="In which role you sign."
)  # fmt: skip
@click.option(
    "--key", metavar="FILE",
    help="Your SSH key, or its .pub file where an agent holds it; the listed key in ~/.ssh where nothing is said.",
)  # fmt: skip
@click.option("--signer", metavar="NAME", help="Your name in allowed_signers; that of the key where nothing is said.")
@click.option("--on", metavar="DATE", help="The date to assess on, as 2026-03-19; today where nothing is said.")
@click.option("--dry-run", is_flag=True, help="Print the statement that would be signed, and sign nothing.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    case: str, role: str, key: str | None, signer: str | None, on: str | None, dry_run: bool, root: str | None
) -> None:
    """Sign CASE as it stands, as its examiner or its reviewer, with your SSH key.

    What is signed is a statement of digests: of the case, each file and record, the limits, and what was computed.
    It is written beside its signature to approvals/ in the case. A reviewer who signs authorises the exceptions on
    record. Any change afterwards voids the approval, and the check names the records that changed. A signature says
    who and what; it carries no time that anybody vouches for.

    Exit code 0: signed; 1: something stands against it; 2: wrong usage.

    \b
    asfound approve return-pad-lesion --role examiner
    asfound approve return-pad-lesion --role reviewer --key ~/.ssh/id_ed25519 --dry-run
    """
    from asfound.cli.approve import run_approve

    sys.exit(run_approve(case, role, key, signer, on, dry_run, root))
