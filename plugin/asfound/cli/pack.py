"""`asfound pack`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import click

from asfound import assess, emit, pack, pages
from asfound.cli.check import choose, read_day
from asfound.cli.places import place_of
from asfound.compare import Issued
from asfound.pack import Contents, Packing, Unpackable

_LONGEST = 1000
"""Longer side of a picture in a redacted pack; elsewhere they are larger, so that no digest of one is another's."""


def run_pack(
    case: str,
    edition: int | None,
    draft: bool,
    out: str | None,
    drafts: bool,
    on: str | None,
    root: str | None,
    chosen: tuple[str, ...] | None = None,
) -> int:
    """Write a pack, or say why not; the exit code. `chosen` are the pictures of a redacted one; None: a whole pack."""
    home = Path(root) if root else assess.find_root(Path.cwd())
    if not home.is_dir():
        raise click.UsageError(f"there is no folder {home}")
    home = home.resolve()
    folder = choose(home, case)[0]
    try:
        with _packing(home, folder, edition, draft, drafts, read_day(on)) as packing:
            contents = pack.contents_of(packing) if chosen is None else _redacted(home, packing, chosen)
            place = place_of(out, f"{contents.info.name}.zip", "a pack", folder, home)
            digest = pack.write_pack(place, contents)
    except Unpackable as error:
        click.echo(f"No pack of {emit.plain(folder.relative_to(home).as_posix())} was written:", err=True)
        for reason in error.reasons:
            click.echo(f"  {emit.plain(reason)}.", err=True)
        return 1
    except OSError as error:
        click.echo(f"No pack was written: {emit.plain(str(error.strerror or error))}.", err=True)
        return 1
    click.echo(emit.plain(str(place)))
    click.echo(
        f"SHA256SUMS in it has the SHA-256 {digest}. Note it elsewhere: whoever compares it later knows that nothing "
        "in the pack changed. Check the pack with: asfound verify, or the verify.py in it.",
        err=True,
    )
    if chosen is not None:
        click.echo(
            "A person has to read it before it is handed on: no program finds everything that leads back to somebody. "
            "What is allowed to be released is for local rules and counsel to say.",
            err=True,
        )
    return 0


def _redacted(root: Path, packing: Packing, chosen: tuple[str, ...]) -> Contents:
    """The redacted pack of what is to be packed. Raises Unpackable."""
    case = packing.dossier.core.case
    unknown = [ref for ref in chosen if ref not in case.evidence]
    if unknown:
        raise Unpackable(*(f"there is no evidence {ref}" for ref in unknown))
    made = dict(pages.pictures_of(packing.dossier, partial(_read, packing.home), _LONGEST)) if chosen else {}
    lacking = [ref for ref in chosen if ref not in made]
    if lacking:
        raise Unpackable(*(f"{ref} is no picture that can be shown" for ref in lacking))
    pictures = {ref: pack.Shown(made[ref].data, made[ref].media) for ref in chosen}
    number = packing.edition.number if packing.edition else 0
    made_with = f"asfound {packing.dossier.made_with.asfound}"
    named = assess.names_somebody(root)
    return pack.redacted_contents(packing.dossier.core, number, int(packing.on[:4]), pictures, made_with, named)


@contextmanager
def _packing(home: Path, folder: Path, number: int | None, draft: bool, drafts: bool, on: dt.date) -> Iterator[Packing]:
    """What is to be packed, read; its files are there until the block ends. Raises Unpackable."""
    shared = assess.open_repository(home)
    issued = () if draft else assess.editions_of(shared, folder.relative_to(home).as_posix())
    if draft or (number is None and not issued):
        yield _draft(shared, folder, drafts, on)
        return
    chosen = next((one for one in issued if one.record.number == number), issued[-1] if number is None else None)
    if chosen is None:
        held = ", ".join(str(one.record.number) for one in issued) or "none"
        raise Unpackable(f"there is no edition {number} that is as it was issued (there is: {held})")
    with assess.state_of(shared, folder, chosen.record, chosen.dossier) as state:
        if state is None:
            raise Unpackable(
                f"the files that edition {chosen.record.number} was issued for are neither in the folder, which went "
                "on since, nor in a commit of this clone"
            )
        if state.commit:
            click.echo(f"The case went on since; its files are taken from commit {state.commit[:10]}.", err=True)
        if state.why:
            click.echo(f"Its verdicts cannot be computed again from this pack: {state.why}.", err=True)
        yield _edition(shared, folder, state, chosen, issued, drafts)


def _draft(shared: assess.Repository, folder: Path, drafts: bool, on: dt.date) -> Packing:
    found = assess.assess_case(shared.root, folder, on, shared)
    if found.dossier is None:
        raise Unpackable("its case.yml cannot be read (asfound check says why)")
    dossier = found.dossier
    past = shared.chronicle.past(dossier.id, dossier.core.case.folder, assess.used_by(dossier.core.case, shared.bench))
    pictures = dict(pages.pictures_of(dossier, partial(_read, folder)))
    report = pages.standalone(dossier, pictures).encode()
    return Packing(shared.root, folder, dossier, pack.dossier_bytes(dossier), None, past, report, drafts)


def _edition(
    shared: assess.Repository,
    folder: Path,
    state: assess.State,
    chosen: Issued,
    issued: tuple[Issued, ...],
    drafts: bool,
) -> Packing:
    dossier = chosen.dossier
    name = folder.relative_to(shared.root).as_posix()
    past = shared.chronicle.past(dossier.id, name, assess.used_by(dossier.core.case, shared.bench))
    pictures = dict(pages.pictures_of(dossier, partial(_read, state.home)))
    before = tuple(one for one in issued if one.record.number <= chosen.record.number)
    report = pages.standalone(dossier, pictures, issued=before, edition=chosen).encode()
    text = (folder / "editions" / str(chosen.record.number) / "dossier.json").read_bytes()
    return Packing(state.root, state.home, dossier, text, chosen.record, past, report, drafts)


def _read(folder: Path, path: str) -> bytes | None:
    try:
        return (folder / path).read_bytes()
    except OSError:
        return None
