"""`asfound completion`: the arguments."""

from __future__ import annotations

import sys

import click

SHELLS = ("bash", "zsh", "fish", "powershell")


@click.command(name="completion")
@click.argument("shell", type=click.Choice(SHELLS))
def command(shell: str) -> None:
    """Print the script by which SHELL completes commands, options, cases, records, devices, calculations and rules.

    The shell asks this program while one types; cases and records are those of the repository one stands in. bash
    needs version 4.4 or newer, which macOS does not bring. The lines below belong into the file that the shell reads
    when it starts: ~/.bashrc, ~/.zshrc behind `compinit`, ~/.config/fish/config.fish, $PROFILE.

    \b
    eval "$(asfound completion bash)"
    eval "$(asfound completion zsh)"
    asfound completion fish | source
    asfound completion powershell | Out-String | Invoke-Expression
    """
    from asfound.cli.completing import script

    click.echo(script(shell).encode("utf-8"), nl=False)
    sys.exit(0)
