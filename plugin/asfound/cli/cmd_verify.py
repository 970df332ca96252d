"""`asfound verify`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="verify")
@click.argument("pack", metavar="PACK")
@click.option(
    "--signers", metavar="FILE",
    help="Whose keys count: a file as .asfound/allowed_signers, that did not come with the pack.",
)  # fmt: skip
@click.option("--repo", metavar="DIR", help="The repository, to look for the tag of the edition.")
@click.option("--json", "as_json", is_flag=True, help="The steps as JSON.")
def command(pack: str, signers: str | None, repo: str | None, as_json: bool) -> None:
    """Check a pack, as a file or unpacked, in numbered steps; say what each shows, and which were not done.

    1 layout, 2 names, 3 counts, 4 digests, 5 chain of editions, 6 verdicts computed again, 7 signatures, 8 tag. Nothing
    of a pack is unpacked before steps 1 and 2 have passed. That nothing failed does not show who made the pack.

    Exit code 0: nothing failed; 1: something failed; 2: wrong usage.

    \b
    asfound verify return-pad-lesion-edition-1.zip
    asfound verify return-pad-lesion-edition-1.zip --signers keys-by-letter --repo ~/cases
    """
    from asfound.cli.verify import run_verify

    sys.exit(run_verify(pack, signers, repo, as_json))
