"""`asfound evidence add`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from msgspec import structs

from asfound import assess, desk, emit
from asfound.cli.check import choose
from asfound.cli.refusal import AGAIN, told_disk, told_refusal
from asfound.cli.yes_or_no import yes_or_no
from asfound.desk import ClockPhoto, Desk, Elsewhere, EvidencePlan, Refused, Source, Wanted
from asfound.model.testimony import EvidenceKind, View


def run_add(files: tuple[str, ...], case: str | None, root: str | None, yes: bool, **given: Any) -> int:
    """Register files, or say why not; the exit code."""
    _usage(files, given)
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    folder = _case(home, case)
    try:
        with desk.alone(folder):
            return _add(desk.open_desk(home, folder), files, given, yes)
    except Refused as refused:
        return told_refusal(refused)
    except OSError as error:
        return told_disk(error, AGAIN)


def _usage(files: Sequence[str], given: dict[str, Any]) -> None:
    if not files and not given["clock_photo"]:
        raise click.UsageError("name at least one file")
    if bool(given["clock_photo"]) != bool(given["shows"]):
        raise click.UsageError("--clock-photo and --shows go together: the photograph, and what the clock in it shows")
    if given["clock_photo"] and given["clock"]:
        raise click.UsageError("--clock names a clock of the case, --clock-photo makes one; give one of them")
    if given["clock_photo"] and given["elsewhere"]:
        raise click.UsageError("--clock-photo is copied into the case; register what is kept elsewhere in a second run")
    if not given["elsewhere"] and (given["keeper"] or given["place"] or given["why"]):
        raise click.UsageError("--keeper, --place and --why go with --elsewhere")
    if given["elsewhere"] and not (given["keeper"] and given["place"] and given["why"]):
        raise click.UsageError("--elsewhere needs --keeper, --place and --why")
    for name in ("what", "view"):
        if len(given[name]) > 1 and len(given[name]) != len(files):
            raise click.UsageError(
                f"--{name} is given {len(given[name])} times for {len(files)} files; once, or once each"
            )


def _case(home: Path, case: str | None) -> Path:
    """The case that is named; else the one that holds the working folder; else the only one there is."""
    if case is not None:
        return choose(home, case)[0]
    here = Path.cwd().resolve()
    for folder in (here, *here.parents):
        if (folder / "case.yml").is_file() and folder.is_relative_to(home):
            return folder
    found = assess.find_cases(home)
    if len(found) == 1:
        return found[0].resolve()
    many = f"there are {len(found)} cases here" if found else "there is no case here"
    raise click.UsageError(f"{many}; name one with --case")


def _add(at: Desk, files: tuple[str, ...], given: dict[str, Any], yes: bool) -> int:
    asking = _terminal()
    kept_elsewhere = given["elsewhere"]
    photo_name = given["clock_photo"]
    sources, reasons = _look([name for name in files if not _same(name, photo_name)], kept_elsewhere)
    clock_source, more = _look([photo_name] if photo_name else [], False)
    if reasons or more:
        raise Refused(*reasons, *more)
    numbered = [n for n, name in enumerate(files) if not _same(name, photo_name)]
    if asking and given["by"] is None:
        given["by"] = _ask_role(at)
    wanted = [_wanted(source, n, given) for n, source in zip(numbered, sources, strict=True)]
    if asking:
        wanted = [_ask(one) for one in wanted]
    photo = None
    if clock_source:
        says = f"A reference clock that shows {given['shows']}, for the error of the camera's clock."
        picture = Wanted(clock_source[0], says, given["by"] or "", EvidenceKind.PHOTOGRAPH, View.SCREEN)
        photo = ClockPhoto(picture, given["shows"], given["reference"] or "")
    elsewhere = Elsewhere(given["keeper"], given["place"], given["why"]) if kept_elsewhere else None
    plan = desk.plan_evidence(at, wanted, given["clock"] or "", photo, given["offset"] or "", elsewhere)
    for note in plan.notes:
        click.echo(emit.plain(note), err=True)
    if asking and not yes:
        for ref, line in plan.lines.items():
            click.echo(emit.plain(f"{ref}: {line}"), err=True)
        if not click.confirm("Write this?", default=True, err=True):
            click.echo("Nothing was written.", err=True)
            return 1
    return _write(at, plan)


def _write(at: Desk, plan: EvidencePlan) -> int:
    for path, line, ref in desk.write_evidence(at, plan):
        click.echo(emit.plain(f"{path}:{line} {ref} {plan.lines[ref]}"))
    count = len(plan.copies)
    files = f" and the {'file' if count == 1 else f'{count} files'} in evidence/" if count else ""
    click.echo(f"Look at the lines, then commit them{files} together. The files you named were left alone.", err=True)
    return 0


def _look(names: Sequence[str], elsewhere: bool) -> tuple[list[Source], list[str]]:
    found: list[Source] = []
    reasons: list[str] = []
    for name in names:
        try:
            found.append(desk.look(Path(name), elsewhere))
        except Refused as refused:
            reasons += refused.reasons
    return found, reasons


def _same(name: str, other: str | None) -> bool:
    """Whether a file is the photograph of the clock, which a pattern such as *.JPG names a second time."""
    if other is None:
        return False
    try:
        return Path(name).resolve() == Path(other).resolve()
    except (OSError, ValueError):
        return name == other


def _wanted(source: Source, number: int, given: dict[str, Any]) -> Wanted:
    def one(name: str) -> str:
        values = given[name]
        return "" if not values else str(values[0] if len(values) == 1 else values[number])

    kind = EvidenceKind(given["kind"]) if given["kind"] else source.kind
    view = View(one("view")) if one("view") else None
    return Wanted(
        source, one("what"), given["by"] or "", kind, view, given["items"], given["at"] or "", given["faces"],
        given["scale"], given["as_found"], given["exported_how"] or "", given["software"] or "",
    )  # fmt: skip


# Questions


def _terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


def _ask_role(at: Desk) -> str | None:
    people = sorted(at.case.head.people)
    if not people:
        return None
    return str(click.prompt("By whom", type=click.Choice(people), err=True))


def _ask(wanted: Wanted) -> Wanted:
    name = emit.plain(wanted.source.shown)
    taken = f", taken {wanted.source.taken} by its camera" if wanted.source.taken else ""
    click.echo(f"{name}{taken}", err=True)
    if wanted.kind is None:
        choice = click.prompt("  What is it", type=click.Choice([str(kind) for kind in EvidenceKind]), err=True)
        wanted = structs.replace(wanted, kind=EvidenceKind(choice))
    if not wanted.shows:
        wanted = structs.replace(wanted, shows=str(click.prompt("  What does it show, in a sentence", err=True)))
    if wanted.kind is EvidenceKind.PHOTOGRAPH and wanted.view is None:
        choices = click.Choice([*map(str, View), "none of these"])
        view = click.prompt("  From how far", type=choices, default="none of these", err=True)
        wanted = structs.replace(wanted, view=None if view == "none of these" else View(view))
    if wanted.view is View.OVERALL and wanted.faces is None:
        wanted = structs.replace(wanted, faces=yes_or_no("  Can a face be recognised in it"))
    return wanted
