"""`asfound init`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click

HOSTS = ("github", "gitlab", "none")


@click.command(name="init")
@click.argument("folder", metavar="DIR")
@click.option(
    "--host", "hosts", type=click.Choice(HOSTS), multiple=True,
    help="Whose workflows are written; may be given again. Those of both hosts where nothing is said.",
)  # fmt: skip
@click.option("--name", default="Case docket", metavar="TEXT", help="What the site and its README are called.")
@click.option(
    "--program", metavar="REQUIREMENT",
    help="What the workflows install, as pip takes it: a version, an address, a wheel in the repository. This version "
    "where nothing is said.",
)  # fmt: skip
@click.option("--example/--no-example", default=True, help="Whether an invented case goes with it, to be looked at.")
@click.option(
    "--git/--no-git", "with_git", default=True, help="Whether a repository of git is made where there is none."
)
@click.option("--dry-run", is_flag=True, help="Say what would be written, and write nothing.")
def command(**given: Any) -> None:
    """Make DIR a repository of cases.

    Written are mkdocs.yml for the site, workflows that check a request and keep its site, hooks of pre-commit, what
    keeps git and editors from tidying evidence, schemas for editors, the folder .asfound/ for instruments, limits and
    signers, and an example that passes asfound check. A file that is there already is never written over: it is named,
    and whether it is as it would have been. So the command can be run again, and in a repository that has begun.

    Exit code 0: written, or all of it was there; 1: it could not be written, with the reason; 2: wrong usage.

    \b
    asfound init docket
    asfound init . --host gitlab --no-example --name "Clinical engineering, cases"
    asfound init docket --program "asfound @ https://files.example.org/asfound-0.1.0-py3-none-any.whl"
    """
    from asfound.cli.init import run_init

    sys.exit(run_init(**given))
