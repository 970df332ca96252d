"""`asfound explain`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="explain")
@click.argument("rule", required=False)
@click.option(
    "--starter", metavar="LIST", help="Print a starter list of explanations as YAML to paste; `list` names all."
)
@click.option(
    "--checklist",
    metavar="CASE",
    help="Print what is still to be looked at before any power, as rows for inspection.csv.",
)
@click.option(
    "--protocol",
    metavar="NAME",
    help="Print a protocol as its file stands, to build one upon or beside; `list` names all with their kinds.",
)
@click.option("--case", metavar="CASE", help="For --starter: only the lines that this case leaves open.")
@click.option("--root", metavar="DIR", help="For a list or a protocol: the repository, whose own are read too.")
def command(
    rule: str | None,
    starter: str | None,
    checklist: str | None,
    protocol: str | None,
    case: str | None,
    root: str | None,
) -> None:
    """Say what RULE asks, why, on whose authority, and how to mend it. Without RULE, list all.

    \b
    asfound explain power-before-inspection
    asfound explain --starter skin-lesion --case my-case >> cases/my-case/explanations.yml
    asfound explain --checklist my-case >> cases/my-case/inspection.csv
    asfound explain --protocol fluid-warmer
    """
    from asfound.cli.explain import run_checklist, run_explain, run_protocol, run_starter

    if sum(one is not None for one in (rule, starter, checklist, protocol)) > 1:
        raise click.UsageError(
            "name a rule, a starter list, a protocol or the case of a checklist, and not two of them"
        )
    if protocol is not None:
        sys.exit(run_protocol(protocol, root))
    if checklist is not None:
        sys.exit(run_checklist(checklist, root))
    sys.exit(run_explain(rule) if starter is None else run_starter(starter, case, root))
