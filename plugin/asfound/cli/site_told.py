"""How what was found in a built site is printed: for a reader, a program or a host of code."""

from __future__ import annotations

import os
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

import click

from asfound import emit
from asfound.cli.codepage import echo_data
from asfound.emit.as_github import github, quiet
from asfound.emit.as_json import as_json
from asfound.problems import Level, Problem


def site_folder(folder: str) -> Path:
    """The folder of a built site. Raises UsageError where there is none, or no page in it."""
    place = Path(folder)
    if not place.is_dir():
        raise click.UsageError(f"there is no folder {folder}; build the site first")
    if not any(place.rglob("*.html")):
        raise click.UsageError(f"{folder} holds no page; name the folder a site was built into")
    return place


def tell(place: Path, problems: Sequence[Problem], closing: str, form: str | None, heavy: set[Level]) -> int:
    """Print; the exit code. `closing` follows the counts in the last line."""
    form = form or ("github" if os.environ.get("GITHUB_ACTIONS") == "true" else "text")
    said = emit.summary(problems) + closing
    log = [*(line for _, line in emit.text(problems)), f"{emit.plain(place.name)}: {said}."]
    if form == "json":
        echo_data(as_json({place.name: problems}, "", version("asfound")))
    elif form == "github":
        before, after = quiet("\n".join(log))
        echo_data("".join(f"{line}\n" for line in (before, *log, after, *github(problems))))
    else:
        for line in log:
            click.echo(line)
    return 1 if any(problem.level in heavy for problem in problems) else 0
