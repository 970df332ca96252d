"""The record of changes: what each commit did to each record of a case.

Joins what git keeps (`history`) with what the files say (`intake`). Every distinct version of a file is read once; what
is compared is the records in it, by their ids, so that moving a file, sorting it or writing it in another style changes
nothing.
"""

from __future__ import annotations

import hashlib
from collections.abc import Generator, Iterable, Iterator, Mapping

from msgspec import Struct, field

from asfound import intake
from asfound.assess.fields import field_changes
from asfound.assess.lineage import Touch
from asfound.history import Log
from asfound.intake import Stand
from asfound.model.ids import sort_key
from asfound.model.past import FieldChange, RecordChange

Records = Mapping[str, Stand]
BYTES = "contents (SHA-256)"
PLACE = "file"


class Versions(Struct):
    """Versions of files, read once each from one stream of contents, and let go after their last use.

    missing  whether this clone does not hold some of them
    """

    log: Log
    missing: bool = False
    _uses: dict[tuple[str, str], int] = field(default_factory=dict)
    _paths: dict[str, list[str]] = field(default_factory=dict)
    _read: dict[tuple[str, str], Records | str | None] = field(default_factory=dict)
    _stream: Generator[tuple[str, bytes | None], None, None] | None = None

    def expect(self, touches: Iterable[Touch]) -> None:
        """Say which versions will be asked for, in order. To be called once, before the first is asked for."""
        for touch in touches:
            for ident, path in wanted(touch):
                key = (ident, path)
                if key not in self._uses:
                    self._paths.setdefault(ident, []).append(path)
                self._uses[key] = self._uses.get(key, 0) + 1
        self._stream = self.log.contents(self._paths)

    def close(self) -> None:
        """End git. To be called when all is told."""
        if self._stream is not None:
            self._stream.close()

    def records(self, ident: str | None, path: str) -> Records | None:
        """The records of a version; none of a file that did not stand; None where the version cannot be read."""
        if ident is None:
            return {}
        found = self._take(ident, path)
        return None if found is None or isinstance(found, str) else found

    def digest(self, ident: str, path: str) -> str:
        """SHA-256 of a version."""
        found = self._take(ident, path)
        return found if isinstance(found, str) else ""

    def _take(self, ident: str, path: str) -> Records | str | None:
        key = (ident, path)
        assert self._stream is not None
        while key not in self._read:
            here, data = next(self._stream)
            self.missing = self.missing or data is None
            for name in self._paths[here]:
                self._read[here, name] = None if data is None else read(name, data)
        self._uses[key] -= 1
        return self._read[key] if self._uses[key] else self._read.pop(key)


def read(path: str, data: bytes) -> Records | str | None:
    """The records of a file that holds such, else the digest of its bytes."""
    return intake.read_version(path, data) if intake.holds_records(path) else hashlib.sha256(data).hexdigest()


def wanted(touch: Touch) -> Iterator[tuple[str, str]]:
    """The versions a change has to be told from: contents and path below the case folder."""
    change = touch.change
    if not intake.holds_records(touch.path):
        if change.old is None or change.new is None or touch.old is None or touch.new is None:
            return
        sides: tuple[str | None, ...] = (change.old,)
    else:
        sides = (*change.sides, change.base) if change.sides else (change.old,)
    if touch.old is not None:
        yield from ((ident, touch.path) for ident in sides if ident is not None)
    if touch.new is not None and change.new is not None:
        yield change.new, touch.path


class Teller:
    """Tells commits of one case, in order.

    names       file of evidence → the id evidence.yml gives it, as far as it was told
    unreadable  commit and file whose version could not be read
    """

    def __init__(self, versions: Versions) -> None:
        self.names: dict[str, str] = {}
        self.unreadable: list[tuple[str, str]] = []
        self._versions = versions
        self._last: dict[str, Records] = {}

    @property
    def missing(self) -> bool:
        """Whether this clone does not hold some of the contents."""
        return self._versions.missing

    def tell(self, touches: list[Touch]) -> Iterator[RecordChange]:
        """What one commit did. All its touches at once: a record may leave one file and enter another."""
        commit = touches[0].commit.id
        olds: dict[str, tuple[Stand, str]] = {}
        news: dict[str, tuple[Stand, str]] = {}
        files: list[Touch] = []
        merged: list[RecordChange] = []
        for touch in touches:
            path = touch.path
            if not intake.holds_records(path):
                files.append(touch)
                continue
            if touch.change.sides:
                merged += self._merge(touch)
                continue
            old, new = self._pair(touch)
            if new is None:
                yield self._file(touch, "changed")
                continue
            place = touch.change.path
            olds.update((ref, (stand, place)) for ref, stand in old.items())
            news.update((ref, (stand, place)) for ref, stand in new.items())
        told = [*differences(commit, olds, news), *merged]
        self._learn(told, news)
        yield from told
        yield from self._files(files)

    def _pair(self, touch: Touch) -> tuple[Records, Records | None]:
        """Both versions. One that cannot be read is passed over: what follows it is compared with what came before."""
        path, change = touch.path, touch.change
        old = self._versions.records(change.old, path) if touch.old is not None else {}
        new = self._versions.records(change.new, path) if touch.new is not None else {}
        if old is None:
            old = self._last.get(path, {})
        self._last[path] = old if new is None else new
        if new is None:
            self.unreadable.append((touch.commit.id, change.path))
        return old, new

    def _merge(self, touch: Touch) -> Iterator[RecordChange]:
        """What a merge did of its own to the records of a file: what no side has, and what it dropped of one side."""
        path, change = touch.path, touch.change
        there = touch.old is not None
        sides = [(self._versions.records(ident, path) if there else {}) or {} for ident in change.sides]
        base = (self._versions.records(change.base, path) if there else {}) or {}
        new = self._versions.records(change.new, path) if touch.new is not None else {}
        if new is None:
            self.unreadable.append((touch.commit.id, change.path))
            yield self._file(touch, "changed")
            return
        self._last[path] = new
        olds: dict[str, tuple[Stand, str]] = {}
        news: dict[str, tuple[Stand, str]] = {}
        for ref in dict.fromkeys(ref for version in (*sides, new) for ref in version):
            now, before = new.get(ref), base.get(ref)
            stands = [side.get(ref) for side in sides]
            others = [stand for stand in stands if not _same(stand, now)]
            if len(others) < len(stands):
                # One side has it so; then only what another side changed, and the merge gave up, is the merge's doing.
                others = [stand for stand in others if not _same(stand, before)]
                if not others:
                    continue
            old = others[0] if others else stands[0]
            if old is not None:
                olds[ref] = (old, change.path)
            if now is not None:
                news[ref] = (now, change.path)
        yield from differences(touch.commit.id, olds, news)

    def _learn(self, told: Iterable[RecordChange], news: Mapping[str, tuple[Stand, str]]) -> None:
        for change in told:
            if change.ref.startswith("E-") and change.ref in news:
                data = news[change.ref][0].data
                if isinstance(data, dict) and isinstance(data.get("file"), str):
                    self.names[str(data["file"])] = change.ref

    def _files(self, touches: list[Touch]) -> Iterator[RecordChange]:
        gone = {touch.change.old: touch for touch in touches if touch.new is None}
        moved = set()
        for touch in touches:
            if touch.old is not None:
                continue
            before = gone.get(touch.change.new) if touch.change.new else None
            if before is not None and before.path not in moved:
                moved.add(before.path)
                field_ = FieldChange(PLACE, before.change.path, touch.change.path)
                ref = self.names.get(touch.path) or self.names.get(before.path) or touch.path
                yield RecordChange(touch.commit.id, ref, "moved", touch.change.path, 0, (field_,))
            else:
                yield self._file(touch, "added")
        for touch in touches:
            if touch.old is None or touch.path in moved:
                continue
            yield self._file(touch, "removed" if touch.new is None or touch.change.new is None else "changed")

    def _file(self, touch: Touch, kind: str) -> RecordChange:
        """A file as a whole."""
        change = touch.change
        fields: tuple[FieldChange, ...] = ()
        if not intake.holds_records(touch.path) and kind == "changed" and change.old and change.new:
            digest = self._versions.digest
            fields = (FieldChange(BYTES, digest(change.old, touch.path), digest(change.new, touch.path)),)
        ref = self.names.get(touch.path, touch.path)
        return RecordChange(touch.commit.id, ref, kind, change.path, 0, fields)


def _same(one: Stand | None, other: Stand | None) -> bool:
    return one is other or (one is not None and other is not None and one.same(other))


def differences(
    commit: str, olds: Mapping[str, tuple[Stand, str]], news: Mapping[str, tuple[Stand, str]]
) -> Iterator[RecordChange]:
    """How records differ, by id. Each stands with the file it stands in."""
    apart = [ref for ref in {**olds, **news} if not _unchanged(olds.get(ref), news.get(ref))]
    for ref in sorted(apart, key=sort_key):
        old, new = olds.get(ref), news.get(ref)
        if old is None:
            assert new is not None
            stand, file = new
            fields = () if file.endswith(".csv") else field_changes(None, stand.data)
            yield RecordChange(commit, ref, "added", file, stand.line, fields)
        elif new is None:
            stand, file = old
            yield RecordChange(commit, ref, "removed", file, stand.line, field_changes(stand.data, None))
        else:
            place = () if old[1] == new[1] else (FieldChange(PLACE, old[1], new[1]),)
            same = old[0].same(new[0])
            kind, fields = ("moved", ()) if same else ("changed", field_changes(old[0].data, new[0].data))
            yield RecordChange(commit, ref, kind, new[1], new[0].line, (*fields, *place))


def _unchanged(old: tuple[Stand, str] | None, new: tuple[Stand, str] | None) -> bool:
    return old is not None and new is not None and old[1] == new[1] and old[0].same(new[0])
