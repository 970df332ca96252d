"""`asfound explain`: the arguments."""

from __future__ import annotations

import sys

import click


@click.command(name="explain")
@click.argument("rule", required=False)
def command(rule: str | None) -> None:
    """Say what RULE asks, why, on whose authority, and how to mend it. Without RULE, list all.

    \b
    asfound explain power-before-inspection
    """
    from asfound.cli.explain import run_explain

    sys.exit(run_explain(rule))
