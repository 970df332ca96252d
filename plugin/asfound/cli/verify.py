"""`asfound verify`."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from asfound import assess, emit, pack, seal
from asfound.assess.recompute import recompute
from asfound.cli.codepage import echo_data
from asfound.model.dossier import Dossier
from asfound.model.edition import EditionTag
from asfound.pack import Asked
from asfound.seal import Signers


def run_verify(name: str, signers: str | None, repo: str | None, as_json: bool) -> int:
    """Check a pack and print what was found; the exit code."""
    place = Path(name)
    asked = Asked(_again, _signers(signers, place) if signers else None, _Tags(repo) if repo else None)
    try:
        found = pack.verify(place, asked)
    except OSError as error:
        raise click.UsageError(f"{name} cannot be opened: {(error.strerror or 'the system refused').lower()}") from None
    if as_json:
        echo_data(found.json())
    else:
        for line in found.text().splitlines():
            click.echo(emit.plain(line))
    return 1 if found.failed else 0


def _again(
    root: Path, dossier: Dossier, preservation: bool, known: Mapping[str, str]
) -> tuple[bool | None, tuple[str, ...]]:
    done = recompute(root, dossier, preservation, known)
    return done.same, done.said


def _signers(name: str, pack_place: Path) -> Signers:
    """The keys that count. Raises UsageError for a list that came with the pack: it would prove the pack by itself."""
    place = Path(name).expanduser()
    if pack_place.is_dir() and place.resolve().is_relative_to(pack_place.resolve()):
        raise click.UsageError(
            "a list of signers that lies in the pack shows nothing; give one you have from elsewhere"
        )
    try:
        data = place.read_bytes()
    except OSError as error:
        raise click.UsageError(f"{name} cannot be read: {(error.strerror or 'the system refused').lower()}") from None
    found = seal.read_signers(data, name)
    if not found.lines:
        reasons = "".join(f"\n  {problem.headline()}" for problem in found.problems)
        raise click.UsageError(f"{name} lists no key that counts{reasons}")
    return found


class _Tags:
    """Asks a repository for the tags of an edition."""

    def __init__(self, repo: str) -> None:
        self._root = Path(repo).expanduser()
        if not self._root.is_dir():
            raise click.UsageError(f"there is no folder {repo}")

    def __call__(self, case: str, number: int, files: dict[str, bytes]) -> tuple[EditionTag, ...] | None:
        book = assess.read_tags(self._root)
        return book.of(case, number, files) if book.known else None
