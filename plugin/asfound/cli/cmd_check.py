"""`asfound check`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="check")
@click.argument("cases", nargs=-1, metavar="[CASE]...")
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "github", "gitlab", "junit", "sarif", "markdown"]),
    default=None,
    help="How to print problems; github where GITHUB_ACTIONS is set, else text. gitlab: its code quality report.",
)  # fmt: skip
@click.option("--on", metavar="DATE", help="The date to assess on, as 2026-03-19; today where nothing is said.")
@click.option(
    "--fail-on", type=click.Choice(["reject", "warn"]), default="reject", show_default=True,
    help="The lightest level that makes the exit code 1.",
)  # fmt: skip
@click.option(
    "--history/--no-history", default=True,
    help="Whether git is asked who changed what, and in which order; asked where nothing is said.",
)  # fmt: skip
@click.option(
    "--cache/--no-cache", default=True,
    help="Whether what was worked out before from the very same bytes is taken from the cache and kept there.",
)  # fmt: skip
@click.option(
    "--jobs", type=click.IntRange(0, 256), default=0,
    help="How many processes work at once; 0 for one a processor, as where nothing is said. The answer is the same.",
)  # fmt: skip
@click.option(
    "--scheduler", metavar="ADDRESS", default="",
    help='A Dask scheduler whose workers do the work, as tcp://host:8786; wants pip install "asfound[workers]".',
)  # fmt: skip
@click.option(
    "--watch", is_flag=True,
    help="Stay, check again when a file of a case changes, and print what came and what went; Ctrl-C ends it.",
)  # fmt: skip
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    cases: tuple[str, ...],
    form: str | None,
    on: str | None,
    fail_on: str,
    history: bool,
    cache: bool,
    jobs: int,
    scheduler: str,
    watch: bool,
    root: str | None,
) -> None:
    """Check cases: every problem of every file, in one run.

    A CASE is a folder or the identity of a case. Exit code 0: no problem of the level of --fail-on, also where there
    is no case yet; 1: one or more; 2: wrong usage. Reminders of the facility's own reporting duties stand apart; they
    never change the exit code.

    \b
    asfound check
    asfound check return-pad-lesion --on 2026-03-19
    asfound check --format json > problems.json
    asfound check return-pad-lesion --watch
    """
    from asfound.cli.check import run_check, run_watch

    if watch:
        if form not in (None, "text"):
            raise click.UsageError("--watch prints text; --format is for a single run")
        sys.exit(run_watch(cases, on, fail_on, root, history, cache, jobs, scheduler))
    sys.exit(run_check(cases, form, on, fail_on, root, history, cache, jobs, scheduler))
