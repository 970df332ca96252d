"""Measure, print the table, end with 1 where a bound is broken. Names of parts as arguments choose among them."""

from __future__ import annotations

import importlib
import importlib.util
import platform
import sys

from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table

from .method import Line

PARTS = (
    "yaml_files",
    "readings",
    "startup",
    "drawings",
    "document",
    "past",
    "physics",
    "long_files",
    "weighing",
    "pack",
    "site",
    "nine",
    "scale",
    "serve",
    "jobs",
    "weights",
    "first_chart",
)


def main(asked: list[str]) -> int:
    """Exit code: 0 every bound is kept, 1 one is broken, 2 wrong usage."""
    unknown = [name for name in asked if name not in PARTS]
    if unknown:
        print(f"there is no part {', '.join(unknown)}; the parts are {', '.join(PARTS)}", file=sys.stderr)
        return 2
    if "readings" in (asked or PARTS) and importlib.util.find_spec("frictionless") is None:
        print('readings are measured against a peer that is not installed: pip install -e ".[bench]"', file=sys.stderr)
        return 2
    lines: list[Line] = []
    for name in asked or PARTS:
        print(f"measuring {name} ...", file=sys.stderr)
        lines += importlib.import_module(f"tests.bench.{name}").measure()
    show(lines)
    broken = [line for line in lines if not line.kept]
    for line in broken:
        print(f"Bound broken: {line.what}, {line.ratio:.2f} against at most {line.bound:g}.")
    return 1 if broken else 0


def show(lines: list[Line]) -> None:
    """The table, and what its figures are."""
    table = Table("what", "against", box=SIMPLE, pad_edge=False)
    for head in ("ratio", "bound", "ours", "theirs"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("note")
    for line in lines:
        table.add_row(
            line.what, line.against, f"{line.ratio:.2f}", f"{line.bound:g}", line.ours, line.theirs, line.note
        )
    console = Console(width=150, highlight=False, emoji=False, markup=False, color_system=None)
    console.print(table)
    console.print(
        f"Python {platform.python_version()}, {platform.system()} {platform.machine()}. The ratios are the result; "
        "the medians beside them belong to this machine and to this hour.",
        soft_wrap=True,
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
