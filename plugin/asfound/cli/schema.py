"""`asfound schema`."""

from __future__ import annotations

import json
import os
from pathlib import Path, PurePosixPath

import click

from asfound import assess
from asfound.cli.codepage import echo_data
from asfound.cli.files import write_whole
from asfound.emit.schemas import globs, schema_json, schemas

FOLDER = ".asfound/schemas"
"""Where editors look for them, unless somebody keeps them elsewhere."""
OURS = '"title": "Asfound: '
"""What each schema of ours says near its beginning; nothing else is written over."""


def run_schema(out: str | None, line_for: str | None, settings: bool, root: str | None) -> int:
    """List, write, or lead to the schemas; the exit code."""
    if sum((out is not None, line_for is not None, settings)) > 1:
        raise click.UsageError("--out, --line and --settings are three things; ask for one at a time")
    home = Path(root) if root else assess.find_root(Path.cwd())
    if out is not None:
        return _write(home if root else Path(), out)
    if line_for is not None:
        return _line(home, Path(line_for))
    patterns = globs()
    if settings:
        found = {f"./{FOLDER}/{name}": [pattern] for name, pattern in patterns.items()}
        echo_data(json.dumps({"yaml.schemas": found}, indent=2) + "\n")
        return 0
    width = max(map(len, patterns))
    for name, pattern in patterns.items():
        click.echo(f"{name:<{width}}  {pattern}")
    return 0


def _write(base: Path, out: str) -> int:
    folder = base / out
    if folder.exists() and not folder.is_dir():
        raise click.UsageError(f"{out} is no folder; name the folder to write into")
    texts = {name: schema_json(schema).encode("utf-8") for name, schema in schemas().items()}
    there = {name: (folder / name).read_bytes() for name in texts if (folder / name).is_file()}
    foreign = [name for name, data in there.items() if OURS.encode() not in data[:400]]
    if foreign:
        raise click.UsageError(f"{out}/{foreign[0]} is there and is no schema of ours; name another folder")
    folder.mkdir(parents=True, exist_ok=True)
    changed = [name for name, data in texts.items() if there.get(name) != data]
    for name in changed:
        write_whole(folder / name, texts[name])
    same = len(texts) - len(changed)
    click.echo(f"{len(changed)} schemas written to {out}, {same} were there already as they are.", err=True)
    left = sorted(
        one.name for one in folder.glob("*.schema.json") if one.name not in texts and OURS.encode() in _head(one)
    )
    if left:
        click.echo(f"Of an earlier version, and of no use to this one: {', '.join(left)}.", err=True)
    return 0


def _head(file: Path) -> bytes:
    with file.open("rb") as opened:
        return opened.read(400)


def _line(home: Path, file: Path) -> int:
    echo_data(f"{modeline(home, file)}\n")
    return 0


def modeline(home: Path, file: Path) -> str:
    """The first line of a file of the repository that leads an editor to its schema. Raises UsageError."""
    try:
        place = PurePosixPath(file.resolve().relative_to(home.resolve()).as_posix())
    except ValueError:
        raise click.UsageError(f"{file} lies outside the repository {home}") from None
    name = next((name for name, pattern in globs().items() if _fits(place, pattern)), None)
    if name is None:
        known = ", ".join(sorted(pattern.rpartition("/")[2] for pattern in globs().values() if "**" in pattern))
        raise click.UsageError(f"no schema is for {place}; in the folder of a case there are {known}")
    way = os.path.relpath(f"/{FOLDER}/{name}", f"/{place.parent}").replace(os.sep, "/")
    return f"# yaml-language-server: $schema={way}"


def _fits(place: PurePosixPath, pattern: str) -> bool:
    """`cases/**/items.yml` is for every folder of a case, wherever cases lie; the organisation's have fixed places."""
    head, _, leaf = pattern.partition("**/")
    if leaf:
        return place.name == leaf and not place.is_relative_to(".asfound")
    return place.match(head)
