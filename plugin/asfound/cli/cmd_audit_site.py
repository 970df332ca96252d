"""`asfound audit-site`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="audit-site")
@click.argument("folder", metavar="DIR")
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "github"]), default=None,
    help="How to print problems; github where GITHUB_ACTIONS is set, else text.",
)  # fmt: skip
@click.option(
    "--fail-on", type=click.Choice(["reject", "warn"]), default="reject", show_default=True,
    help="The lightest level that makes the exit code 1.",
)  # fmt: skip
@click.option("--root", metavar="DIR", help="The repository whose raw files must not lie in the site; found from here.")
def command(folder: str, form: str | None, fail_on: str, root: str | None) -> None:
    """Read a built site as a browser would, and say what must not be in it.

    What is fetched from elsewhere, what offers to send data away, raw files of cases, pictures with metadata or without
    words, pages without stamp or policy, links that lead nowhere. Exit code 0: no problem of the
    level of --fail-on; 1: one or more; 2: wrong usage.

    \b
    mkdocs build && asfound audit-site site
    """
    from asfound.cli.audit_site import run_audit

    sys.exit(run_audit(folder, form, fail_on, root))
