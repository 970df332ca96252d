"""Questions that take a yes or a no, and say so where they get something else."""

from __future__ import annotations

import click

from asfound import emit

_ANSWERS = {"y": True, "yes": True, "n": False, "no": False}


def yes_or_no(question: str, unknown: bool = False) -> bool | None:
    """Ask until the answer is a yes or a no; None is an empty answer, where `unknown` lets it mean “not known yet”."""
    asked = f"{question} [y/n{'; empty: not known' if unknown else ''}]"
    while True:
        text = str(click.prompt(asked, default="", show_default=False, err=True)).strip()
        if not text and unknown:
            return None
        if text.casefold() in _ANSWERS:
            return _ANSWERS[text.casefold()]
        found = f'"{text}" is neither yes nor no' if text else "nothing was typed"
        click.echo(f"  {emit.plain(found)}; y or n is needed.", err=True)
