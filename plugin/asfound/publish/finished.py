"""Finished pages of cases: those whose assessment and options are the same are taken as they were."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from types import MappingProxyType

from msgspec import Struct, field, structs
from pydantic import TypeAdapter

from asfound import bind, pages
from asfound.assess import Assessment, Remembered, Repository
from asfound.assess.crew import carried_out, crew, crowded
from asfound.assess.issue import editions_of
from asfound.compare import Issued
from asfound.figures.photo import Derivative, Unshown, derivative
from asfound.model.dossier import Dossier, pack_dossier, unpack_dossier
from asfound.model.pause import without_collecting
from asfound.pages import Made, Options, Page
from asfound.store import Store, key, program_digest

PAGES, PICTURE = "pages", "picture"


class Finished(Struct, frozen=True):
    """What the site shows of one case."""

    pages: tuple[Page, ...]
    pictures: Mapping[str, Made]
    issued: Sequence[Issued]


class Kept(Struct):
    """What a process that lives on remembers between two builds."""

    remembered: Remembered = field(default_factory=Remembered)
    finished: dict[str, Finished] = field(default_factory=dict)
    pictures: dict[str, Derivative] = field(default_factory=dict)
    documents: dict[str, bytes] = field(default_factory=dict)


class Carried(Struct, frozen=True):
    """What a process that assessed a case made of it beside: its pages as bytes, and its pictures."""

    pages: bytes
    pictures: tuple[tuple[str, Made], ...]


def write_beside(options: Options, store: Store | None, shared: Repository, found: Assessment) -> Carried | None:
    """The pages of a case by the process that assessed it; None where there are none, or where writing them met a
    fault: then they are written again where it can be told."""
    if found.dossier is None:
        return None
    try:
        writer = Writer(shared, options, store, 1, Kept(), {})
        pictures, issued = writer.shown(found.dossier)
        made = _pages().dump_json(_whole(found.dossier, pictures, options, issued))
        return Carried(made, tuple(pictures.items()))
    except Exception:
        return None


class Sheet(Struct, frozen=True):
    """What writing the pages of one case takes; it can be done by another process."""

    folder: str
    dossier: bytes
    pictures: tuple[tuple[str, Made], ...]
    options: Options


def write(sheet: Sheet) -> bytes:
    """The pages of a case, as bytes."""
    return _pages().dump_json(_whole(unpack_dossier(sheet.dossier), dict(sheet.pictures), sheet.options))


def _whole(
    dossier: Dossier, pictures: Mapping[str, Made], options: Options, issued: Sequence[Issued] = ()
) -> tuple[Page, ...]:
    """The pages of one case, written in one go: the collector would walk the dossiers of all cases meanwhile, and has
    its turn between two cases."""
    with without_collecting():
        return tuple(pages.pages_of_case(dossier, pictures, options, issued))


@cache
def _pages() -> TypeAdapter[tuple[Page, ...]]:
    return TypeAdapter(tuple[Page, ...])


class Writer:
    """Writes, or takes, the pages of many cases in one build."""

    def __init__(
        self,
        shared: Repository,
        options: Options,
        store: Store | None,
        jobs: int,
        kept: Kept,
        printed: Mapping[str, tuple[int, ...]],
        beside: Mapping[str, Carried] = MappingProxyType({}),
    ) -> None:
        """`printed`: case folder → numbers of the editions that have a document; `beside`: → what was written."""
        self._shared, self._every, self._store, self._jobs, self._kept = shared, options, store, jobs, kept
        self._printed, self._beside = printed, beside
        self._now = Kept(kept.remembered)

    def finish(self, found: Sequence[Assessment]) -> dict[str, Finished]:
        """What is shown of each case, by its folder. Raises what goes wrong in writing a page: a fault of ours."""
        done: dict[str, Finished] = {}
        waiting: list[tuple[Assessment, Dossier, str]] = []
        for one in found:
            if one.dossier is None:
                continue
            name = self._name(one)
            known = self._kept.finished.get(name) if name else None
            if known is None:
                waiting.append((one, one.dossier, name))
            else:
                done[one.folder] = self._now.finished[name] = known
        for one, name, finished in self._written(waiting):
            done[one.folder] = finished
            if name:
                self._now.finished[name] = finished
        used = {hashlib.sha256(made.data).hexdigest() for each in done.values() for made in each.pictures.values()}
        known_pictures = {**self._kept.pictures, **self._now.pictures}
        self._kept.pictures = {name: made for name, made in known_pictures.items() if made.sha256 in used}
        self._kept.finished = self._now.finished
        if self._store is not None:
            self._store.trim()
        return done

    def _options(self, one: Assessment) -> Options:
        return replace(self._every, printed=self._printed.get(one.folder, ()))

    def _name(self, one: Assessment) -> str:
        """The key of the pages of a case; empty where its assessment has none."""
        return key(PAGES, one.key, repr(self._options(one))) if one.key else ""

    def _written(self, waiting: list[tuple[Assessment, Dossier, str]]) -> Iterator[tuple[Assessment, str, Finished]]:
        sheets: dict[str, Sheet] = {}
        prepared: list[tuple[Assessment, str, tuple[Page, ...] | None, dict[str, Made], Sequence[Issued]]] = []
        for one, dossier, name in waiting:
            carried = self._beside.get(one.folder)
            if carried is not None:
                frozen = editions_of(self._shared, dossier.core.case.folder)
                made = self._keep(name, _pages().validate_json(carried.pages), carried.pages)
                prepared.append((one, name, made, dict(carried.pictures), frozen))
                continue
            pictures, issued = self.shown(dossier)
            ready = self._stored(name)
            if ready is None and (issued or not crowded(len(waiting), self._jobs)):
                # Frozen dossiers are many times the size of what is made of them; they do not travel.
                ready = self._keep(name, _whole(dossier, pictures, self._options(one), issued))
            if ready is None:
                bare = tuple((ref, structs.replace(made, data=b"")) for ref, made in pictures.items())
                sheets[one.folder] = Sheet(one.folder, pack_dossier(dossier), bare, self._options(one))
            prepared.append((one, name, ready, pictures, issued))
        written: dict[str, tuple[Page, ...]] = {}
        with crew(len(sheets), self._jobs) as executor:
            for sheet, data in carried_out(executor, write, sheets.values()):
                if isinstance(data, Exception):
                    raise data
                written[sheet.folder] = _pages().validate_json(data)
        for one, name, ready, shown, issued in prepared:
            made = ready if ready is not None else self._keep(name, written[one.folder])
            yield one, name, Finished(made, shown, issued)

    def shown(self, dossier: Dossier) -> tuple[dict[str, Made], Sequence[Issued]]:
        """The pictures of a case, and its editions."""
        folder = dossier.core.case.folder
        read = partial(bind.readable, self._shared.root / folder)
        return dict(pages.pictures_of(dossier, read, derive=self._derive)), editions_of(self._shared, folder)

    def _stored(self, name: str) -> tuple[Page, ...] | None:
        data = self._store.get(PAGES, name) if self._store is not None and name else None
        try:
            return None if data is None else _pages().validate_json(data)
        except ValueError:
            return None

    def _keep(self, name: str, made: tuple[Page, ...], data: bytes = b"") -> tuple[Page, ...]:
        if self._store is not None and name:
            self._store.put(PAGES, name, data or _pages().dump_json(made))
        return made

    def _derive(self, data: bytes, longest: int) -> Derivative | Unshown:
        """A picture as it is shown, of an original that was looked at before wherever that is so."""
        if self._store is None:
            return derivative(data, longest)
        name = key(PICTURE, program_digest(), hashlib.sha256(data).hexdigest(), str(longest))
        known = self._kept.pictures.get(name) or _read_picture(self._store.get(PICTURE, name))
        made = known or derivative(data, longest)
        if isinstance(made, Derivative):
            self._now.pictures[name] = made
            if known is None:
                head = json.dumps([made.width, made.height, made.media_type, made.sha256, made.note])
                self._store.put(PICTURE, name, head.encode("ascii") + b"\n" + made.data)
        return made


def _read_picture(data: bytes | None) -> Derivative | None:
    if data is None:
        return None
    head, _, body = data.partition(b"\n")
    try:
        width, height, media, sha256, note = json.loads(head)
    except (ValueError, TypeError):
        return None
    return Derivative(body, width, height, media, sha256, note)
