"""`asfound explain`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="explain")
@click.argument("rule", required=False)
@click.option(
    "--starter", metavar="LIST", help="Print a starter list of explanations as YAML to paste; `list` names all."
)
@click.option("--case", metavar="CASE", help="For --starter: only the lines that this case leaves open.")
@click.option("--root", metavar="DIR", help="For --starter: the repository, whose own lists are read too.")
def command(rule: str | None, starter: str | None, case: str | None, root: str | None) -> None:
    """Say what RULE asks, why, on whose authority, and how to mend it. Without RULE, list all.

    \b
    asfound explain power-before-inspection
    asfound explain --starter skin-lesion --case my-case >> cases/my-case/explanations.yml
    """
    from asfound.cli.explain import run_explain, run_starter

    if starter is not None and rule is not None:
        raise click.UsageError("name a rule or a starter list, not both")
    sys.exit(run_explain(rule) if starter is None else run_starter(starter, case, root))
