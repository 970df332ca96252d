"""What a commit is about to bring, before git keeps it for good: evidence changed in place or left behind, files too
large to keep, pictures that say where or whose they are.

Looked at are the contents in git's index, the very bytes that would be committed; the folder as it lies is not asked.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Iterator, Mapping
from pathlib import PurePosixPath

from asfound import history
from asfound.history import Git, Staged
from asfound.model.files import EVIDENCE_BYTES
from asfound.problems import Level, Problem, Span

_TOPS = ("cases/", ".asfound/")
_EVIDENCE = "evidence"
_LIST = "evidence.yml"
_HEAD_BYTES = 16
_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"RIFF")
MEGA = 1_048_576


def look_at_incoming(git: Git, most: int, places: bool) -> tuple[Problem, ...]:
    """The problems of what is staged, by place.

    most    bytes a file may have
    places  whether pictures may hold the place where they were taken
    Raises GitError.
    """
    changes = [one for one in history.staged(git) if one.path.startswith(_TOPS)]
    wanted = {one.new for one in changes if one.new}
    known = history.sizes(git, wanted)
    found = [
        *_altered(changes),
        *_digests(git, changes),
        *_left_behind(git, changes),
        *_large(changes, known, min(most, EVIDENCE_BYTES)),
        *_pictures(git, changes, known, places),
    ]
    return tuple(sorted(found, key=lambda one: one.key))


def _of_evidence(path: str) -> bool:
    parts = PurePosixPath(path).parts
    return parts[0] == "cases" and _EVIDENCE in parts[2:-1]


def _altered(changes: Iterable[Staged]) -> Iterator[Problem]:
    """Files of evidence that were committed before, and are changed or go. One that only moves is neither."""
    changes = tuple(changes)
    kept = {one.new for one in changes}
    for one in changes:
        if one.old is None or not _of_evidence(one.path):
            continue
        if one.new is not None:
            yield Problem(
                "evidence-altered", Level.REJECT, Span(one.path, 0),
                "this file of evidence was committed before with other bytes", "the bytes first committed are needed",
                f"git restore --source=HEAD --staged --worktree -- {one.path} has them back; register what was edited "
                "as a file of its own, with derived_from and edits.",
            )  # fmt: skip
        elif one.old not in kept:
            yield Problem(
                "evidence-missing", Level.REJECT, Span(one.path, 0),
                "this file of evidence was committed before and is taken out", "every file of evidence is needed",
                f"git restore --source=HEAD --staged --worktree -- {one.path} has it back. A patient's data that must "
                "go are purged by the page Patient data, not by a commit: git keeps what it had.",
            )  # fmt: skip


def _digests(git: Git, changes: Iterable[Staged]) -> Iterator[Problem]:
    """Registered digests that are written over: then the file and its record would agree, and nobody would see."""
    lists = [one for one in changes if one.old and one.new and PurePosixPath(one.path).name == _LIST]
    if not lists:
        return
    held = dict(history.contents(git, [ident for one in lists for ident in (one.old, one.new) if ident]))
    for one in lists:
        before, after = (_registered(held.get(ident or "") or b"") for ident in (one.old, one.new))
        for ref, (old, _) in before.items():
            new, line = after.get(ref, (old, 0))
            if old and new != old:
                yield Problem(
                    "evidence-altered", Level.REJECT, Span(one.path, line),
                    f"the digest of {ref} was {old[:12]}… and is {new[:12] or 'nothing'}{'…' if new else ''}",
                    "the digest first registered is needed",
                    "Put it back; register another file under an id of its own.", ref,
                )  # fmt: skip


def _left_behind(git: Git, changes: Iterable[Staged]) -> Iterator[Problem]:
    """Evidence that is registered, and that neither the commit brings nor one before it: it lies in a folder alone.

    A check of the folder finds it there and passes; whoever fetches the commit has the record and no file.
    """
    lists = [one for one in changes if one.new and PurePosixPath(one.path).name == _LIST]
    held = dict(history.contents(git, [one.new for one in lists if one.new])) if lists else {}
    for one in lists:
        home = PurePosixPath(one.path).parent
        named = {
            ref: (name, line)
            for ref, (name, line) in _registered(held.get(one.new or "") or b"", "file").items()
            if name.startswith(f"{_EVIDENCE}/") and ".." not in name.split("/")
        }
        kept = history.indexed(git, f"{home}/{_EVIDENCE}") if named else frozenset()
        for ref, (name, line) in named.items():
            if f"{home}/{name}" not in kept:
                yield Problem(
                    "evidence-missing", Level.REJECT, Span(one.path, line),
                    f"{ref} names {name}, and no commit has that file", "the file beside its record is needed",
                    f"git add --force -- {shlex.quote(f'{home}/{name}')} brings it along, whatever .gitignore says.",
                    ref,
                )  # fmt: skip


def _registered(data: bytes, field: str = "sha256") -> dict[str, tuple[str, int]]:
    """Id of a piece of evidence → its digest, or another field, and the line of it. Of a file that cannot be read,
    nothing: the check of the case speaks of it."""
    import yaml

    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    # A list that is this long is no list of evidence; the reader of cases refuses it with its reason.
    if len(data) > 8 * MEGA:
        return {}
    try:
        node = yaml.compose(data.decode("utf-8-sig"), loader)
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError):
        return {}
    found = {}
    for ref, record in node.value if isinstance(node, yaml.MappingNode) else ():
        for name, value in record.value if isinstance(record, yaml.MappingNode) else ():
            if name.value == field and isinstance(value, yaml.ScalarNode):
                text = str(value.value)
                told = text.replace(" ", "").lower() if field == "sha256" else text
                found[str(ref.value)] = (told, value.start_mark.line + 1)
    return found


def _large(changes: Iterable[Staged], known: Mapping[str, int], most: int) -> Iterator[Problem]:
    for one in changes:
        size = known.get(one.new or "", 0)
        if size > most:
            yield Problem(
                "file-too-large", Level.REJECT, Span(one.path, 0),
                f"this file has {size / MEGA:.1f} MiB", f"at most {most / MEGA:g} MiB are allowed in a commit",
                "Keep it elsewhere by its digest: asfound evidence add FILE --elsewhere. Once it is committed, every "
                "clone has it for good, and hosts of code refuse 100 MiB.",
            )  # fmt: skip


def _pictures(git: Git, changes: Iterable[Staged], known: Mapping[str, int], places: bool) -> Iterator[Problem]:
    """What cameras and editors wrote into pictures that are new."""
    new = {one.new: one.path for one in changes if one.new and known.get(one.new, 0) <= EVIDENCE_BYTES}
    for ident, data in history.contents(git, new):
        if data is None or not data[:_HEAD_BYTES].startswith(_PICTURES):
            continue
        # Pictures are few in a commit, and this is the one place that loads what reads them.
        from asfound.intake.camera import read_camera

        written = read_camera(data)
        if written is None:
            continue
        path, said = new[ident], []
        if written.position and not places:
            yield Problem(
                "gps-in-picture", Level.REJECT, Span(path, 0),
                "the file holds the place where it was taken", "a decision that it may lie here is needed",
                "Keep the untouched original elsewhere by its digest (asfound evidence add --elsewhere). Where this "
                "repository may hold places, say so once: args: [--places] of this hook.",
            )  # fmt: skip
        said += list(written.fact.identifiers)
        if written.owner:
            said.append("the name of an author or owner")
        if said:
            yield Problem(
                "patient-identifier", Level.REJECT, Span(path, 0),
                f"a text inside the file seems to hold {' and '.join(said)}", "one that leads to no person is needed",
                "Keep the untouched file elsewhere by its digest (asfound evidence add --elsewhere); never edit it.",
            )  # fmt: skip
