"""How a command says that it did not write, and why: one wording for all of them."""

from __future__ import annotations

import click

from asfound import emit
from asfound.desk import Refused

AGAIN = "What was written by then is whole; the same command takes it up again."
"""Said by commands that go on where they were cut off."""


def told_refusal(refused: Refused, head: str = "Nothing was written:") -> int:
    """Print every reason, and the problems that stand in the way; the exit code."""
    click.echo(head, err=True)
    for reason in refused.reasons:
        click.echo(f"  {emit.plain(reason)}.", err=True)
    for _, said in emit.text(refused.problems):
        click.echo(said, err=True)
    return 1


def told_disk(error: OSError, then: str = "", name: str = "") -> int:
    """Print what the system said, of which file where that is not plain, and how things stand then; the exit code."""
    said = f"he disk refused: {emit.plain(error.strerror or str(error))}."
    click.echo(f"{name}: t{said}" if name else f"T{said}", err=True)
    if then:
        click.echo(then, err=True)
    return 1
