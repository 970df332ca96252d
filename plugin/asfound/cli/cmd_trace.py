"""`asfound trace`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="trace")
@click.argument("ref")
@click.option("--case", metavar="CASE", help="A folder or the identity of a case; needed where several hold REF.")
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True,
    help="For people, with long values shortened; or for programs, whole.",
)  # fmt: skip
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(ref: str, case: str | None, form: str, root: str | None) -> None:
    """Tell every commit that touched the record REF, or anything it rests on, and what each changed.

    REF is an id (F-2, R-output-12, M-1), the name of a file of the case (conclusion.yml, evidence/log.csv), or a limit
    or protocol it is held against (house-limits/touch, protocols/house-pump). Fields are told from old to new. The time
    beside a commit is when it was committed, and never when anything was seen.

    Exit code 0: told; 1: the history cannot be known here, and why; 2: wrong usage.

    \b
    asfound trace F-2
    asfound trace R-output-12 --case return-pad-lesion
    asfound trace conclusion.yml --format json > trace.json
    """
    from asfound.cli.trace import run_trace

    sys.exit(run_trace(ref, case, form, root))
