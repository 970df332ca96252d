"""`asfound init`."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from importlib import resources
from importlib.metadata import version
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from asfound import desk, emit, history
from asfound.cli.refusal import AGAIN, told_disk, told_refusal
from asfound.cli.schema import FOLDER, modeline
from asfound.desk import Answers, InUse, Refused
from asfound.emit.schemas import globs, schema_json, schemas
from asfound.history import GitError
from asfound.model.things import ItemRole

HIDDEN = "dot-"
"""What stands for the point of a hidden name among the templates, so that no tool takes them for its own files."""
RUN = (".ci/take-cases",)
"""Files that can be run."""
OF_HOST = {".github/": "github", ".gitlab-ci.yml": "gitlab"}
TOLD = {
    "github": "| `.github/workflows/` | the gate for requests, and publishing, on GitHub |\n",
    "gitlab": "| `.gitlab-ci.yml` | the gate for requests, and publishing, on GitLab |\n",
}
EXAMPLE = Answers(
    case="example",
    title="A syringe emptied early (invented)",
    device_kind="syringe-pump",
    event_kind="too much",
    harmed="patient",
    told_at="2026-05-04 08:20 +02:00",
    time_source="the wall clock of the ward, read by the nurse",
    where="a bed place on a ward",
    account="The syringe was found empty in the morning; it had been set to last until noon.",
    safe_at="2026-05-04 08:30 +02:00",
    safe_by="ward-nurse",
    safe_how="left on its battery, with its syringe and its line in place",
    in_use=(InUse("Syringe pump", ItemRole.MAIN_DEVICE), InUse("Mains cord", ItemRole.POWER_CORD)),
    collected_by="custodian",
    collected_at="2026-05-04 11:10 +02:00",
    asked_by="risk-manager",
    asked_at="2026-05-04 11:00 +02:00",
    asked_how="by telephone",
)
EMPTY = "cases/.gitkeep"
"""What keeps the folder of cases where there is none yet."""


def run_init(
    folder: str, hosts: Sequence[str], name: str, program: str | None, example: bool, with_git: bool, dry_run: bool
) -> int:
    """Make a repository of cases; the exit code."""
    chosen = _hosts(hosts)
    place = Path(folder)
    if place.exists() and not place.is_dir():
        raise click.UsageError(f"{folder} is no folder; name the folder that is to hold the repository")
    title = " ".join(name.split())
    if not title or not title.isprintable():
        raise click.UsageError("--name needs words in one line")
    files = dict(contents(chosen, title, _program(program), example))
    try:
        if not dry_run:
            place.mkdir(parents=True, exist_ok=True)
        there = _there(place, files)
        new = [one for one in files if one not in there]
        if not dry_run:
            _write(place, {one: files[one] for one in new})
    except Refused as refused:
        return told_refusal(refused, "It was not written:")
    except OSError as error:
        return told_disk(error, AGAIN)
    for one in new:
        click.echo(emit.plain(one))
    _tell(folder, files, there, dry_run)
    return 0 if dry_run else _git(folder, place, with_git)


# What there is to write


def contents(hosts: Sequence[str], name: str, program: str, example: bool) -> Iterator[tuple[str, bytes]]:
    """Every file of a new repository by its path, in the order in which they are told."""
    whole = Path("/")
    said = {
        "NAME": name,
        "QUOTED": json.dumps(name, ensure_ascii=False),
        "PROGRAM": program,
        "HOSTS": "".join(TOLD[host] for host in TOLD if host in hosts),
        "EXAMPLE": "; `cases/example` is invented and can be deleted" if example else "",
        "SCHEMAS": json.dumps(
            {f"./{FOLDER}/{schema}": [pattern] for schema, pattern in globs().items()}, indent=2
        ).replace("\n", "\n  "),
    }
    for path, template in _templates(resources.files("asfound.cli") / "repository"):
        host = next((host for begin, host in OF_HOST.items() if path.startswith(begin)), None)
        if host is not None and host not in hosts:
            continue
        text = template.read_text("utf-8")
        here = {**said, "LINE": modeline(whole, whole / path)} if "%%LINE%%" in text else said
        for key, value in here.items():
            text = text.replace(f"%%{key}%%", value)
        yield path, text.encode("utf-8")
    for file, schema in schemas().items():
        yield f"{FOLDER}/{file}", schema_json(schema).encode("utf-8")
    if example:
        yield from _example()
    else:
        yield EMPTY, b""


def _templates(folder: Traversable, above: str = "") -> Iterator[tuple[str, Traversable]]:
    for one in sorted(folder.iterdir(), key=lambda one: one.name):
        path = above + re.sub(f"^{HIDDEN}", ".", one.name)
        if one.is_dir():
            yield from _templates(one, f"{path}/")
        else:
            yield path, one


def _hosts(hosts: Sequence[str]) -> tuple[str, ...]:
    if "none" in hosts and len(set(hosts)) > 1:
        raise click.UsageError("--host none goes with no other host")
    return tuple(host for host in TOLD if host in hosts or not hosts)


def _program(given: str | None) -> str:
    if given is None:
        return f"asfound=={version('asfound')}"
    text = given.strip()
    if not text or not text.isprintable() or text.startswith(("-", "#")) or "asfound" not in text.casefold():
        raise click.UsageError(
            f'--program "{given}" is nothing that pip would install asfound from; asfound==0.1.0, '
            '"asfound @ ADDRESS" or the path of a wheel in the repository is needed'
        )
    return text


def _example() -> Iterator[tuple[str, bytes]]:
    """A case in its first hour, invented: what is known then, and nothing more."""
    whole, folder = Path("/"), "cases/example"
    lines = {name: modeline(whole, whole / folder / name) for name in ("items.yml", "gates.yml", "case.yml")}
    for name, text in desk.new_case(EXAMPLE, lines).items():
        yield f"{folder}/{name}", text.encode("utf-8")


# The disk


def _there(place: Path, files: dict[str, bytes]) -> dict[str, bool]:
    """The files that stand there already, and whether they are as they would have been written."""
    found = {}
    for path, data in files.items():
        file = place / path
        if path == EMPTY and (place / "cases").is_dir():
            found[path] = True
        elif file.is_symlink() or file.exists():
            found[path] = not file.is_symlink() and file.is_file() and file.read_bytes() == data
    return found


def _write(place: Path, files: dict[str, bytes]) -> None:
    for path in files:
        desk.real_folder(place, path.rpartition("/")[0], make=True)
    for path, data in files.items():
        desk.replace_file(place / path, None, data)
        if path in RUN:
            (place / path).chmod(0o755)


def _tell(folder: str, files: dict[str, bytes], there: dict[str, bool], dry_run: bool) -> None:
    same = [path for path, is_same in there.items() if is_same and path != EMPTY]
    other = [path for path, is_same in there.items() if not is_same]
    wrote = "would be written" if dry_run else "written"
    shown = emit.plain(folder)
    click.echo(f"{len(files) - len(there)} files {wrote} in {shown}, {len(same)} were there as they are.", err=True)
    if other:
        click.echo("Left as they stand, since they were there and say something else:", err=True)
        for path in other:
            click.echo(f"  {emit.plain(path)}", err=True)
        click.echo("To see what they would have said: asfound init in an empty folder, and compare.", err=True)


def _git(folder: str, place: Path, wanted: bool) -> int:
    shown = emit.plain(folder)
    top = history.around(place)
    if top is not None and top != place.resolve():
        click.echo(
            f"{shown} lies in a repository of git that begins further up. Hosts read workflows, and git its hooks, "
            "only at the top of a repository: move those files there, or keep the cases in a repository of their own.",
            err=True,
        )
    elif top is None and not wanted:
        click.echo(f"git keeps nothing of it yet: git init -b main {shown}", err=True)
    elif top is None:
        try:
            made = history.begin(place)
        except GitError as error:
            click.echo(f"git could not make a repository of it: {emit.plain(str(error))}.", err=True)
            return 1
        if made:
            click.echo(f"It is a repository of git now, with the branch {history.BRANCH} and no commit yet.", err=True)
        else:
            click.echo(f"There is no git here; install it, then: git init -b main {shown}", err=True)
    click.echo("Next: asfound new opens a case; asfound check says what is still needed.", err=True)
    return 0
