"""`asfound calc NAME --chart FILE.svg`: what a calculation has to show, each plot as a file of its own."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from asfound.emit.as_calc import calc_ground
from asfound.physics.calc import Answer, Calculation


def target_of(of: Calculation, chart: str) -> Path:
    """The place charts are written to, or a usage error that says why nothing can be written there."""
    if of.plots is None:
        raise click.UsageError(f"{of.name} has nothing to draw; leave out --chart.")
    target = Path(chart)
    if target.suffix.lower() != ".svg":
        raise click.UsageError(f'"{chart}": a chart is written as a file that ends in .svg.')
    if not target.parent.is_dir():
        raise click.UsageError(f"there is no folder {target.parent} to write into.")
    if any((one / "case.yml").is_file() for one in target.resolve().parents):
        raise click.UsageError(
            f"{target} lies in the folder of a case, whose files are evidence; name a place outside."
        )
    return target


def write_charts(
    of: Calculation, given: Mapping[str, str], values: Mapping[str, Any], rows: Mapping[str, Any] | None,
    answers: Sequence[Answer], target: Path, file: str, replace: bool,
) -> list[Path]:  # fmt: skip
    """Write every plot of a run; the answer is the files. Where there are several, the name of each plot goes into the
    name of its file. Nothing is written where one of them is there already and `replace` was not said."""
    from asfound.figures.alone import alone
    from asfound.pages.plots import chart_of

    assert of.plots is not None
    filled = {one.name: one.default for one in of.inputs if one.default is not None} | dict(values)
    try:
        plots = of.plots(filled, rows or {}, answers)
    except ValueError as error:
        raise click.UsageError(f"{of.name} cannot be drawn: {error}.") from None
    if not plots:
        raise click.UsageError(f"{of.name} has nothing to draw of these inputs.")
    ground = calc_ground(of, given, file)
    places = [target if len(plots) == 1 else target.with_stem(f"{target.stem}-{plot.name}") for plot in plots]
    _free(places, replace)
    texts = [alone(chart_of(plot, f"{of.name}-{plot.name}"), ground).encode("utf-8") for plot in plots]
    for place, text in zip(places, texts, strict=True):
        _write(place, text, replace)
    return places


def _free(places: Sequence[Path], replace: bool) -> None:
    folders = [place for place in places if place.exists() and not place.is_file()]
    if folders:
        raise click.UsageError(f"{folders[0]} is no file; name the file to write.")
    taken = ", ".join(str(place) for place in places if place.exists())
    if taken and not replace:
        raise click.UsageError(f"{taken} is there already; name another file, or add --replace.")


def _write(place: Path, text: bytes, replace: bool) -> None:
    """Write a file, never over one that appeared meanwhile unless that was asked for."""
    kind = os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if replace else os.O_EXCL)
    try:
        with os.fdopen(os.open(place, kind, 0o644), "wb") as out:
            out.write(text)
    except FileExistsError:
        raise click.UsageError(f"{place} is there already; name another file, or add --replace.") from None
    except OSError as error:
        raise click.UsageError(f"{place} cannot be written: {error.strerror}.") from None
