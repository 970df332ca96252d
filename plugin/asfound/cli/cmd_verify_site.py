"""`asfound verify-site`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="verify-site")
@click.argument("folder", metavar="DIR")
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "github"]), default=None,
    help="How to print problems; github where GITHUB_ACTIONS is set, else text.",
)  # fmt: skip
@click.option("--on", metavar="DATE", help="The date the site must have been assessed on; by default the one it names.")
@click.option(
    "--cases", default="cases", show_default=True, metavar="DIR", help="Folder of the cases in the repository."
)
@click.option("--no-cache", is_flag=True, help="Read and keep nothing of what was worked out before.")
@click.option(
    "--jobs",
    type=click.IntRange(0, 256),
    default=0,
    help="How many processes work at once; 0 for one a processor, as where nothing is said. The answer is the same.",
)
@click.option("--root", metavar="DIR", help="The repository; found from here upwards where nothing is said.")
def command(
    folder: str, form: str | None, on: str | None, cases: str, no_cache: bool, jobs: int, root: str | None
) -> None:
    """Hold a built site against the repository: the same cases in the same state, every page there with its words.

    It fails where an engine passed over the plugin in silence, where the site is of an earlier state, where a page is
    missing, empty, altered or of no case, and where a picture or document is another one. The pages are made again as
    the site says that it was made; the frame around them is not looked at (asfound audit-site does that).

    Exit code 0: it is the site of this repository; 1: it is not, with every reason; 2: wrong usage.

    \b
    mkdocs build && asfound verify-site site
    """
    from asfound.cli.verify_site import run_verify_site

    sys.exit(run_verify_site(folder, form, on, cases, not no_cache, jobs, root))
