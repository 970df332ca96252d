"""`asfound pack`."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from asfound import assess, bind, emit, pack, pages
from asfound.assess.naming import names_somebody
from asfound.assess.state import State
from asfound.cli.check import choose, read_day
from asfound.cli.places import place_of
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
        shared = assess.open_repository(home)
        with bind.opened(shared, folder, edition, draft, read_day(on)) as taken:
            _say(taken.state)
            packing = bind.packing_of(shared, taken, drafts, printed=chosen is None)
            contents = pack.contents_of(packing) if chosen is None else _redacted(home, packing, chosen)
            place = place_of(out, f"{contents.info.name}.zip", "a pack", folder, home)
            digest = pack.write_pack(place, contents)
    except (bind.NotThere, Unpackable) as error:
        click.echo(f"No pack of {emit.plain(folder.relative_to(home).as_posix())} was written:", err=True)
        for reason in error.reasons if isinstance(error, Unpackable) else (str(error),):
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


def _say(state: State) -> None:
    """What is to be known of where the files come from."""
    if state.commit:
        click.echo(f"The case went on since; its files are taken from commit {state.commit[:10]}.", err=True)
    if state.why:
        click.echo(f"Its verdicts cannot be computed again from this pack: {state.why}.", err=True)


def _redacted(root: Path, packing: Packing, chosen: tuple[str, ...]) -> Contents:
    """The redacted pack of what is to be packed. Raises Unpackable."""
    case = packing.dossier.core.case
    unknown = [ref for ref in chosen if ref not in case.evidence]
    if unknown:
        raise Unpackable(*(f"there is no evidence {ref}" for ref in unknown))
    made = dict(pages.pictures_of(packing.dossier, partial(bind.readable, packing.home), _LONGEST)) if chosen else {}
    lacking = [ref for ref in chosen if ref not in made]
    if lacking:
        raise Unpackable(*(f"{ref} is no picture that can be shown" for ref in lacking))
    pictures = {ref: pack.Shown(made[ref].data, made[ref].media) for ref in chosen}
    number = packing.edition.number if packing.edition else 0
    made_with = f"asfound {packing.dossier.made_with.asfound}"
    named = names_somebody(root)
    return pack.redacted_contents(packing.dossier.core, number, int(packing.on[:4]), pictures, made_with, named)
