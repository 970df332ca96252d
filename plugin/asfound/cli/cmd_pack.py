"""`asfound pack`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="pack")
@click.argument("case")
@click.option(
    "--edition", type=click.IntRange(min=1), metavar="N", help="Which edition; the newest where nothing is said."
)
@click.option("--draft", is_flag=True, help="The case as it lies, issued by nobody, instead of an edition.")
@click.option(
    "--out", metavar="FILE", help="Where to write it; CASE-edition-N.zip in this folder where nothing is said."
)
@click.option("--with-drafts", is_flag=True, help="Disclose earlier drafts of opinion in the history too.")
@click.option("--redacted", is_flag=True, help="Without dates, names, serial numbers, places and files; see below.")
@click.option(
    "--picture",
    "pictures",
    metavar="E-N",
    multiple=True,
    help="With --redacted: a picture that somebody looked at and chose; may be repeated.",
)
@click.option("--on", metavar="DATE", help="For a draft: the date to assess on, as 2026-03-19; today by default.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    case: str,
    edition: int | None,
    draft: bool,
    out: str | None,
    with_drafts: bool,
    redacted: bool,
    pictures: tuple[str, ...],
    on: str | None,
    root: str | None,
) -> None:
    """Put an edition of CASE into one file that can be checked without us: offline, years later, with stock programs.

    It holds the files of the case byte for byte, the dossier, the report for any browser, approvals, the chain of
    editions, the history of facts, and a verifier of one file. The same edition gives the same bytes. Whether drafts of
    opinion are disclosed is counsel's decision; they are left out unless asked for, and README.txt in the pack says so.

    With --redacted it is another pack, with lists of its own and nothing that leads back: times are given as the time
    since the event, roles, places, makers and serial numbers are put into labels, files, digests, commits and approvals
    are not in it. It says what was taken out and what cannot be checked. A person has to read it before it is handed
    on: no program finds everything that leads back to somebody.

    Exit code 0: written; 1: something stands against it; 2: wrong usage.

    \b
    asfound pack return-pad-lesion
    asfound pack return-pad-lesion --edition 1 --out /media/stick/first.zip
    asfound pack hour-one --draft
    asfound pack return-pad-lesion --redacted --picture E-15
    """
    from asfound.cli.pack import run_pack

    if draft and edition:
        raise click.UsageError("--draft packs the case as it lies, and --edition an edition; give one of them")
    if on and not draft:
        raise click.UsageError("--on goes with --draft; an edition is of the day it was issued")
    if pictures and not redacted:
        raise click.UsageError("--picture goes with --redacted; a whole pack holds every picture")
    if redacted and with_drafts:
        raise click.UsageError("a redacted pack holds no history, so --with-drafts has nothing to add")
    sys.exit(run_pack(case, edition, draft, out, with_drafts, on, root, pictures if redacted else None))
