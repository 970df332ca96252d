"""`asfound without`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="without")
@click.argument("named", metavar="[CASE] REF...", nargs=-1, required=True)
@click.option(
    "--everywhere", is_flag=True, help="Instruments alone, without CASE: in every case anything was measured with them."
)
@click.option("--json", "form", flag_value="json", help="For programs.")
@click.option("--text", "form", flag_value="text", default="text", help="For people. This is the default.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(named: tuple[str, ...], everywhere: bool, form: str, root: str | None) -> None:
    """Say what falls in CASE when records are taken away: verdicts, findings, statuses, levels.

    REF is an instrument (M-1), an item (I-4), a sheet or a reading (S-gel, R-gel-1), a photograph or another piece of
    evidence (E-15), a statement (W-1), a finding (F-7), an inspection row (V-30), or a role of case.yml (examiner),
    with whom go all their readings, pictures, inspection and statements. Several are taken away together. Nothing is
    written; what is taken away raises no level.

    With --everywhere every REF is an instrument, later found out of tolerance say: it is told of every case in which
    anything was measured with one of them, those whose level falls first. Taken away is all they measured; how far
    off they were decides how much of it is wrong.

    Exit code 0: told; 1: a case could not be read; 2: wrong usage.

    \b
    asfound without return-pad-lesion M-6
    asfound without return-pad-lesion R-log-21 W-1 --json
    asfound without --everywhere M-8
    """
    from asfound.cli.without import run_everywhere, run_without

    if everywhere:
        sys.exit(run_everywhere(named, form, root))
    if len(named) < 2:
        raise click.UsageError(f'"{named[0]}" is taken as the case; the records to take away from it are missing')
    sys.exit(run_without(named[0], named[1:], form, root))
