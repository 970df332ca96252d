"""`asfound without`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="without")
@click.argument("case")
@click.argument("refs", metavar="REF...", nargs=-1, required=True)
@click.option("--json", "form", flag_value="json", help="For programs.")
@click.option("--text", "form", flag_value="text", default="text", help="For people. This is the default.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(case: str, refs: tuple[str, ...], form: str, root: str | None) -> None:
    """Say what falls in CASE when records are taken away: verdicts, findings, statuses, levels.

    REF is an instrument (M-1), an item (I-4), a sheet or a reading (S-gel, R-gel-1), a photograph or another piece of
    evidence (E-15), a statement (W-1), a finding (F-7), an inspection row (V-30), or a role of case.yml (examiner),
    with whom go all their readings, pictures, inspection and statements. Several are taken away together. Nothing is
    written; what is taken away raises no level.

    Exit code 0: told; 1: the case could not be read; 2: wrong usage.

    \b
    asfound without return-pad-lesion M-6
    asfound without return-pad-lesion R-log-21 W-1 --json
    """
    from asfound.cli.without import run_without

    sys.exit(run_without(case, refs, form, root))
