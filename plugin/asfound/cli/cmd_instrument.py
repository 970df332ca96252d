"""`asfound instrument`: the arguments."""

from __future__ import annotations

import sys
from typing import Any

import click


@click.group(name="instrument")
def command() -> None:
    """Enter an instrument, or a calibration of one, from its certificate.

    \b
    asfound instrument add LC-26-011.xml --due 2027-02-03
    """


@command.command(name="add")
@click.argument("certificate", metavar="CERTIFICATE")
@click.option("--due", required=True, metavar="DATE", help="When the next calibration is due: yours to say.")
@click.option("--id", "ref", metavar="M-3", help="The instrument; by default the one with a number of the certificate.")
@click.option("--serial", metavar="TEXT", help="Which thing, where the certificate is of several.")
@click.option("--what", metavar="TEXT", help="What a new instrument is called; by default as the certificate has it.")
@click.option("--keeper", metavar="ROLE", help="Who keeps a new instrument.")
@click.option("--as-found", metavar="TEXT", help="How it was on arrival at the laboratory; by default as stated there.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def add(**given: Any) -> None:
    """Write one calibration into .asfound/instruments.yml from a digital calibration certificate.

    The certificate is XML after the open schema of digital calibration certificates, version 3. Its number, dates,
    laboratory, the values it covers and their doubts are taken; the file is copied to .asfound/certificates and its
    digest written beside them. An instrument that is not in the register yet is begun. What could not be taken is
    said, with its line; a signature is not verified.

    Exit code 0: written; 1: refused, with every reason; 2: wrong usage.

    \b
    asfound instrument add LC-26-011.xml --due 2027-02-03
    asfound instrument add bench.xml --due 2027-02-03 --serial A-2210 --keeper examiner --what "Flow analyser"
    """
    from asfound.cli.instrument import run_add

    sys.exit(run_add(**given))
