"""Checking a pack in numbered steps. Each says what it found; one that was not done says why, and counts for nothing.

Steps 1 to 5 are those of the verifier that every pack carries (`alone`), so that both say the same. What step 6 needs
of the readers and rules, and step 8 of git, is handed in.
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from msgspec import Struct

from asfound.model.dossier import Dossier, read_dossier
from asfound.model.edition import DOSSIER_FILE, EDITION_FILE, PRESERVATION, EditionRecord, EditionTag, read_edition
from asfound.pack import alone
from asfound.pack.alone import FAILED, NOT_DONE, PASSED, Bag, Examined, Info, Refused, Step
from asfound.pack.signatures import signatures
from asfound.seal import Signers

Recompute = Callable[[Path, Dossier, bool, Mapping[str, str]], tuple[bool | None, tuple[str, ...]]]
"""A repository that holds the case, its dossier, whether it is a preservation edition, the digests of its files that
step 4 took from the bytes that were copied → whether all is the same (None:
that cannot be told), and what was found."""

Tags = Callable[[str, int, dict[str, bytes]], tuple[EditionTag, ...] | None]
"""Case, number and files of an edition → the tags that speak of it; None where nobody can be asked."""


class Asked(Struct, frozen=True):
    """What is to be done beyond the pack itself.

    recompute  computes a dossier again; None where that was not asked for
    signers    whose keys count, from outside the pack
    tags       asks a repository
    """

    recompute: Recompute | None = None
    signers: Signers | None = None
    tags: Tags | None = None


class Verified(Struct, frozen=True):
    """What was found, step by step."""

    steps: tuple[Step, ...]
    info: Info | None

    @property
    def failed(self) -> bool:
        """Whether a step failed."""
        return any(one.outcome == FAILED for one in self.steps)

    def text(self) -> str:
        """The steps for people."""
        return alone.told(self.steps, self.info)

    def json(self) -> str:
        """The steps for programs."""
        data = {
            "format": 1,
            "pack": self.info.name if self.info else None,
            "failed": self.failed,
            "steps": [
                {"number": one.number, "title": one.title, "outcome": one.outcome, "said": list(one.said)}
                for one in self.steps
            ],
            "closing": alone.closing(self.steps, self.info),
        }
        return json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def verify(place: Path, asked: Asked | None = None) -> Verified:
    """Check the pack at `place`, a file or a folder. Raises OSError where it cannot be opened."""
    asked = asked or Asked()
    try:
        if place.is_dir():
            return _verify(alone.FolderBag(str(place)), asked)
        with place.open("rb") as file:
            return _verify(alone.ZipBag(file), asked)
    except Refused as error:
        found = alone.refused(error)
        return Verified((*found.steps, *alone.not_done(6, 8, "the layout is not that of a pack")), None)


def _verify(bag: Bag, asked: Asked) -> Verified:
    if asked.recompute is None:
        found = alone.examine(bag)
        return Verified((*found.steps, *_rest(found, asked, None)), found.info)
    with tempfile.TemporaryDirectory(prefix="asfound-") as name:
        copy = _Copy(Path(os.path.realpath(name)))
        with copy.open():
            found = alone.examine(bag, copy.take)
        return Verified((*found.steps, *_rest(found, asked, copy)), found.info)


class _Copy:
    """The case and what the organisation brings, copied out while they are read. Only names that passed step 2 come."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._name = ""
        self._file: BinaryIO | None = None

    @contextmanager
    def open(self) -> Iterator[None]:
        """The time in which pieces come."""
        try:
            yield
        finally:
            self.close()

    def take(self, name: str, piece: bytes) -> None:
        """A piece of a file; those of one file come one after the other."""
        if not name.startswith(("data/case/", "data/asfound/")):
            return
        if name != self._name:
            self.close()
            place = self.home.joinpath(*name.split("/")[1:])
            place.parent.mkdir(parents=True, exist_ok=True)
            self._name, self._file = name, place.open("xb")
        assert self._file is not None
        self._file.write(piece)

    def close(self) -> None:
        """Be done with the file at hand."""
        if self._file is not None:
            self._file.close()
        self._file = None

    def repository(self, folder: str) -> Path:
        """The root of a repository in which the case lies at `folder`."""
        root = self.home / "root"
        place = root.joinpath(*folder.split("/"))
        place.parent.mkdir(parents=True)
        (self.home / "case").rename(place)
        if (self.home / "asfound").is_dir():
            (self.home / "asfound").rename(root / ".asfound")
        else:
            (root / ".asfound").mkdir()
        return root


def _rest(found: Examined, asked: Asked, copy: _Copy | None) -> tuple[Step, ...]:
    """Steps 6 to 8."""
    if any(one.outcome == FAILED for one in found.steps):
        return alone.not_done(6, 8, "a step before it failed")
    assert found.info is not None and found.bag is not None
    if found.info.kind == "redacted":
        return alone.not_done(6, 8, alone.NOTHING_HELD)
    return (
        _again(found, found.bag, found.info, asked, copy),
        signatures(found.bag, found.info, asked.signers),
        _tag(found.bag, found.info, asked),
    )


def _again(found: Examined, bag: Bag, info: Info, asked: Asked, copy: _Copy | None) -> Step:
    if asked.recompute is None or copy is None:
        return Step(6, NOT_DONE, ("it was not asked for",))
    try:
        dossier = read_dossier(bag.read("data/dossier.json", alone.MOST_JSON).decode())
    except ValueError:
        return Step(6, FAILED, ("the dossier cannot be read",))
    folder = dossier.core.case.folder
    if alone.names_faults([folder]) or folder.split("/")[0] == ".asfound":
        return Step(6, FAILED, ("the dossier places its case where no case can lie",))
    preservation = False
    if info.edition:
        preservation = _record(bag, info).kind == PRESERVATION
    for name in bag.names:
        # A file without bytes comes in no piece.
        if not bag.sizes[name]:
            copy.take(name, b"")
    copy.close()
    same, said = asked.recompute(copy.repository(folder), dossier, preservation, found.digests.case)
    outcome = NOT_DONE if same is None else PASSED if same else FAILED
    return Step(6, outcome, said)


def _record(bag: Bag, info: Info) -> EditionRecord:
    return read_edition(_edition(bag, info)[EDITION_FILE].decode())


def _edition(bag: Bag, info: Info) -> dict[str, bytes]:
    return {
        name: bag.read(f"data/editions/{info.edition}/{name}", alone.MOST_JSON) for name in (DOSSIER_FILE, EDITION_FILE)
    }


def _tag(bag: Bag, info: Info, asked: Asked) -> Step:
    name = f"edition/{info.case}/{info.edition}"
    if not info.edition:
        return Step(8, NOT_DONE, ("a draft has no tag",))
    if asked.tags is None:
        return Step(8, NOT_DONE, (f"no repository was named that might hold the tag {name} (--repo)",))
    tags = asked.tags(info.case, info.edition, _edition(bag, info))
    if tags is None:
        return Step(8, NOT_DONE, ("git cannot be asked there, or the clone is cut short",))
    if not tags:
        return Step(8, FAILED, (f"the repository has no tag {name}",))
    said = [_of_tag(one, name) for one in tags]
    if all(one.holds and one.ref == one.named == name for one in tags):
        told = f"the tag {name} leads to commit {tags[0].commit[:12]}, which holds this very edition"
        return Step(8, PASSED, (told, "that is edition.json and dossier.json; report and history rest on neither"))
    return Step(8, FAILED, tuple(said))


def _of_tag(tag: EditionTag, name: str) -> str:
    shown = alone.shown(tag.ref)
    if tag.ref != tag.named:
        return f"the tag {shown} says of itself that it is {alone.shown(tag.named)}"
    if not tag.commit:
        return f"the tag {shown} leads to no commit"
    held = "holds" if tag.holds else "does not hold"
    return f"the tag {shown} leads to commit {tag.commit[:12]}, which {held} this edition"
