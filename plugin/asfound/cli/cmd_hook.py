"""`asfound hook`: the arguments."""

from __future__ import annotations

import sys

import click


@click.group(name="hook")
def command() -> None:
    """What runs before a commit; .pre-commit-hooks.yaml offers both.

    \b
    asfound hook check cases/my-case/items.yml
    asfound hook evidence
    """


@command.command(name="check")
@click.argument("files", nargs=-1, metavar="[FILE]...")
@click.option("--on", metavar="DATE", help="The date to assess on, as 2026-03-19; today where nothing is said.")
@click.option(
    "--fail-on", type=click.Choice(["reject", "warn"]), default="reject", show_default=True,
    help="The lightest level that makes the exit code 1.",
)  # fmt: skip
@click.option("--cache/--no-cache", default=True, help="Whether what was said before of the very same bytes counts.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def check(files: tuple[str, ...], on: str | None, fail_on: str, cache: bool, root: str | None) -> None:
    """Check the cases that FILEs lie in, each once, and no other.

    Cases that the commit being made touches are among them, in a merge too; all of them are, where a file of either
    lies in .asfound/.
    git is not asked who changed what. Exit code 0: no problem of the level of --fail-on; 1: one
    or more; 2: wrong usage.

    \b
    asfound hook check cases/my-case/items.yml cases/my-case/readings/flow.csv
    """
    from asfound.cli.hook import run_hook_check

    sys.exit(run_hook_check(files, on, fail_on, cache, root))


@command.command(name="evidence")
@click.option(
    "--most", type=click.IntRange(1, 100), default=50, show_default=True, help="How many MiB a file may have."
)
@click.option("--places", is_flag=True, help="Let pass pictures that say where they were taken.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def evidence(most: int, places: bool, root: str | None) -> None:
    """Look at what the next commit would bring, while it can still be left out.

    Refused are files of evidence that were committed before and are changed or taken out, files that evidence.yml
    registers and no commit brings, digests in it that are written over, files too large to keep in git, and pictures
    whose metadata hold the place where they were taken, a person's identifier, or the name of an owner. Exit code
    0: nothing; 1: problems; 2: wrong usage.

    \b
    asfound hook evidence
    asfound hook evidence --most 20
    """
    from asfound.cli.hook import run_hook_evidence

    sys.exit(run_hook_evidence(most, places, root))
