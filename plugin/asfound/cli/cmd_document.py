"""`asfound document`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="document")
@click.argument("case")
@click.option(
    "--edition", type=click.IntRange(min=1), metavar="N", help="Which edition; the newest where nothing is said."
)
@click.option("--draft", is_flag=True, help="The case as it lies, issued by nobody, instead of an edition.")
@click.option(
    "-o", "--out", metavar="FILE", help="Where to write it; CASE-edition-N.pdf in this folder where nothing is said."
)
@click.option(
    "--paper", type=click.Choice(("a4", "us-letter")), default="a4", help="The paper it is laid out for; a4 by default."
)
@click.option("--on", metavar="DATE", help="For a draft: the date to assess on, as 2026-03-19; today by default.")
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    case: str, edition: int | None, draft: bool, out: str | None, paper: str, on: str | None, root: str | None
) -> None:
    """Set the whole record of CASE as one PDF: to be signed, handed over, and read in fifteen years.

    It says what the page "Whole record" of the site says, from the same dossier and in the same words, with a list of
    contents, a head on every page and links between records. It is PDF/A-3 and PDF/UA-1, as far as the typesetter holds
    it to them; the dossier, the records and the readings lie inside it, and no file of evidence does. An edition is set
    from its frozen dossier. What was not issued bears the words "Working copy. Not issued." across every page. The same
    input gives the same bytes.

    It needs the typesetter, which comes with: pip install "asfound[document]"

    Exit code 0: written; 1: something stands against it; 2: wrong usage.

    \b
    asfound document return-pad-lesion
    asfound document return-pad-lesion --draft --paper us-letter -o draft.pdf
    """
    from asfound.cli.document import run_document

    if draft and edition:
        raise click.UsageError("--draft sets the case as it lies, and --edition an edition; give one of them")
    if on and not draft and edition:
        raise click.UsageError("--on goes with a draft; an edition is of the day it was issued")
    sys.exit(run_document(case, edition, draft, out, paper, on, root))
