"""A frozen dossier, computed once more from the files it was computed from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct, structs

from asfound.assess.issue import preserved
from asfound.assess.repository import open_repository
from asfound.assess.run import assess_case, made_with
from asfound.model.dossier import Core, Dossier, core_digest
from asfound.model.verdict import Verdict


class Recomputed(Struct, frozen=True):
    """What came of it.

    same  whether all of it is what it was; None where that cannot be told here
    said  what was found, one clause each
    """

    same: bool | None
    said: tuple[str, ...]


def recompute(
    root: Path, stored: Dossier, preservation: bool = False, known: Mapping[str, str] | None = None
) -> Recomputed:
    """Compute a dossier again from a repository at `root` that holds its case, and compare.

    Reading, limits, verdicts, results and rules are done anew; nothing is taken from the dossier but its date and the
    place of its case. `known` are digests of files of the case that were taken of these very bytes. A preservation
    edition is computed without opinions, as it was. Raises nothing.
    """
    core = stored.core
    place = root / core.case.folder
    shared = structs.replace(open_repository(root), known=known or {})
    if preservation:
        if not (place / "case.yml").is_file():
            return Recomputed(False, ("the case cannot be read",))
        again: Dossier | None = preserved(shared, place.resolve(), core.on)
    else:
        again = assess_case(shared.root, place, core.on, shared).dossier
    if again is None:
        return Recomputed(False, ("case.yml cannot be read",))
    now = again.core
    here = made_with()
    versions = f"made with asfound {stored.made_with.asfound}, computed again by {here.asfound}"
    if now.digests.case != core.digests.case:
        return Recomputed(False, ("the files are not those of the dossier",))
    if now.digests.limits != core.digests.limits:
        said = "the limits and protocols in reach here are not those the dossier was held against"
        # Those of the package belong to its version; a difference within one version has no good reason.
        return Recomputed(False if stored.made_with == here else None, (f"{said} ({versions})",))
    faults = tuple(_differing(core, now))
    if faults:
        return Recomputed(False, (*faults, versions))
    said = f"{len(now.verdicts)} verdicts and {len(now.results)} derived results were computed again and are the same"
    if core_digest(now) == core_digest(core):
        return Recomputed(True, (said, f"so is all else that was computed ({versions})"))
    if stored.made_with == here:
        return Recomputed(False, (f"{said}, but what the rules say is not", versions))
    return Recomputed(True, (said, f"the rules of this version say otherwise of the same records ({versions})"))


def _differing(core: Core, now: Core) -> Iterator[str]:
    for what, then, today in (
        ("verdict on", _verdicts(core), _verdicts(now)),
        ("result", {one.id: one for one in core.results}, {one.id: one for one in now.results}),
        ("coverage of", {one.test: one for one in core.coverage}, {one.test: one for one in now.coverage}),
        ("instrument", core.instruments, now.instruments),
    ):
        for name in sorted({*then, *today}):
            if then.get(name) != today.get(name):
                yield f"the {what} {name} is not what it was"
    if core.organisation != now.organisation:
        yield "the organisation's settings are not those of the dossier"


def _verdicts(core: Core) -> Mapping[str, tuple[Verdict, ...]]:
    found: dict[str, tuple[Verdict, ...]] = {}
    for one in core.verdicts:
        name = f"{one.subject} by {one.limit.id}" if one.limit else one.subject
        found[name] = (*found.get(name, ()), one)
    return found
