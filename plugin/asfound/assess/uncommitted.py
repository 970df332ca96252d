"""How the files of a case, as they lie there, differ from the last commit.

git's own index is not asked: contents are compared, so that no filter, attribute or flag of the repository has a say.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from asfound import intake
from asfound.assess.changes import BYTES, differences
from asfound.assess.lineage import Lineage
from asfound.assess.used import Used
from asfound.history import Log, content_id
from asfound.intake import Stand
from asfound.model.layout import BENCH, part_of_case
from asfound.model.past import FieldChange, RecordChange

_POINTER = re.compile(rb"\Aversion https://git-lfs[^\n]*\n(?:[^\n]*\n)*?oid sha256:([0-9a-f]{64})\n")


def uncommitted(
    root: Path,
    log: Log,
    lineage: Lineage,
    case: str,
    folder: str,
    used: Used,
    names: Mapping[str, str],
) -> tuple[RecordChange, ...]:
    """Records and files that are not as the last commit has them. Approvals and editions are left out.

    `names` gives the id of the evidence that a file is. Raises GitError.
    """
    home = lineage.folder(case)
    held = {
        path[len(home) + 1 :] if home else path: (path, ident)
        for path, ident in lineage.held.items()
        if home is not None and (not home or path.startswith(f"{home}/"))
    }
    walked = intake.walk_case(root, root / folder)
    here = {path: walked.at(path) for path in walked.paths}
    if not used.nothing:
        held.update((path, (path, ident)) for path, ident in lineage.held.items() if intake.of_bench(path))
        bench = intake.walk_case(root, root / BENCH) if (root / BENCH).is_dir() else None
        names_here = (bench.at(path) for path in bench.paths) if bench is not None else ()
        here.update((path, path) for path in names_here if intake.of_bench(path))
    found = _compare(root, log, held, here, dict(names))
    return tuple(change for change in found if not change.file.startswith(f"{BENCH}/") or used.holds(change.ref))


def _compare(
    root: Path, log: Log, held: Mapping[str, tuple[str, str]], here: Mapping[str, str], names: dict[str, str]
) -> Iterator[RecordChange]:
    apart: dict[str, bytes | None] = {}
    for path in sorted({*held, *here}):
        if not part_of_case(path):
            continue
        # A file that is refused, or that is not there, has no bytes to compare; the check speaks of the first.
        data = intake.read_bytes(root, here[path]).data if path in here else None
        if path in here and data is None:
            continue
        ident = held[path][1] if path in held else None
        if data is None or ident is None or content_id(data, ident) != ident:
            apart[path] = data
    kept = dict(log.contents([held[path][1] for path in apart if path in held]))
    olds: dict[str, tuple[Stand, str]] = {}
    news: dict[str, tuple[Stand, str]] = {}
    files: list[RecordChange] = []
    for path, data in apart.items():
        place, ident = held.get(path, ("", ""))
        before = kept.get(ident)
        if not intake.holds_records(path):
            files += _file(path, place or here[path], before, data, ident)
            continue
        old = intake.read_version(path, before) if before is not None else {}
        new = intake.read_version(path, data) if data is not None else {}
        if old is None or new is None:
            files.append(RecordChange("", path, "changed", here.get(path, place)))
            continue
        olds.update((ref, (stand, here.get(path, place))) for ref, stand in old.items())
        news.update((ref, (stand, here[path])) for ref, stand in new.items())
    told = list(differences("", olds, news))
    for ref, (stand, _) in news.items():
        if ref.startswith("E-") and isinstance(stand.data, dict):
            names[str(stand.data.get("file"))] = ref
    yield from told
    for one in files:
        yield RecordChange("", names.get(one.ref, one.ref), one.kind, one.file, 0, one.fields)


def _file(path: str, place: str, before: bytes | None, data: bytes | None, ident: str) -> Iterator[RecordChange]:
    if data is None:
        yield RecordChange("", path, "removed", place)
    elif not ident:
        yield RecordChange("", path, "added", place)
    elif before is None:
        yield RecordChange("", path, "changed", place)
    elif not _alike(before, data):
        told = FieldChange(BYTES, hashlib.sha256(before).hexdigest(), hashlib.sha256(data).hexdigest())
        yield RecordChange("", path, "changed", place, 0, (told,))


def _alike(before: bytes, data: bytes) -> bool:
    """Whether only the checkout made the difference: line ends, or the large file a pointer stands for."""
    pointer = _POINTER.match(before)
    if pointer is not None:
        return pointer[1].decode() == hashlib.sha256(data).hexdigest()
    return b"\r\n" in data and data.replace(b"\r\n", b"\n") == before
