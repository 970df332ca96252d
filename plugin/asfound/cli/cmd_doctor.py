"""`asfound doctor`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="doctor")
@click.option("--json", "as_json", is_flag=True, help="What was found as JSON.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(as_json: bool, root: str | None) -> None:
    """Say what this machine and this repository bring, what of it matters, and how to mend it.

    Site engine and theme, git with your own settings (a history cut short, a folder it refuses, line ends of evidence),
    schemas of another version, keys and OpenSSH, the signs a console can print, the cache, extras. It changes nothing,
    and judges no case: asfound check does.

    Exit code 0: nothing is in the way of the work; 1: something is; 2: wrong usage.

    \b
    asfound doctor
    asfound doctor --json
    """
    from asfound.cli.doctor import run_doctor

    sys.exit(run_doctor(as_json, root))
