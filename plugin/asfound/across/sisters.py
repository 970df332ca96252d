"""Units that are alike and fail the same test. A count of bench findings, and no rate of the field."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from asfound.model.dossier import Dossier
from asfound.model.things import ItemRole
from asfound.model.verdict import Outcome

FAILING = frozenset((Outcome.FAIL, Outcome.CONDITIONAL_FAIL))


class Unit(Struct, frozen=True):
    """A thing in a case, and the readings of one test that fail on it; none where the test was made and none fails."""

    case: str
    item: str
    what: str
    failing: tuple[str, ...]


class Family(Struct, frozen=True):
    """Units alike in `by` (`model`, or `kind of device`) that were put to the same test; two or more of them fail."""

    by: str
    name: str
    test: str
    units: tuple[Unit, ...]

    @property
    def failing(self) -> tuple[Unit, ...]:
        """Those that fail."""
        return tuple(one for one in self.units if one.failing)


def families(dossiers: Sequence[Dossier]) -> list[Family]:
    """Families with two failing units or more, by model first, then by kind of device where that brings in others."""
    groups: dict[tuple[str, str, str], dict[tuple[str, str], Unit]] = {}
    for dossier in sorted(dossiers, key=lambda one: one.id):
        core, case = dossier.core, dossier.core.case
        tested: dict[tuple[str, str], list[str]] = {}
        for verdict in core.verdicts:
            if verdict.limit is None or verdict.item not in case.items:
                continue
            fails = tested.setdefault((verdict.item, verdict.test.partition("--")[0]), [])
            if verdict.outcome in FAILING and verdict.subject not in fails:
                fails.append(verdict.subject)
        for (ref, test), fails in tested.items():
            item = case.items[ref]
            unit = Unit(case.id, ref, item.what, tuple(fails))
            if isinstance(item.model, str):
                maker = item.maker if isinstance(item.maker, str) else ""
                name = " ".join(f"{maker} {item.model}".split())
                groups.setdefault(("model", name, test), {})[case.id, ref] = unit
            if item.role is ItemRole.MAIN_DEVICE and case.head.device_kind:
                groups.setdefault(("kind of device", case.head.device_kind, test), {})[case.id, ref] = unit
    found = [Family(*key, tuple(units.values())) for key, units in groups.items()]
    found = [one for one in found if len(one.failing) > 1]
    known = {(one.test, frozenset((u.case, u.item) for u in one.failing)) for one in found if one.by == "model"}
    kept = [
        one
        for one in found
        if one.by == "model" or (one.test, frozenset((u.case, u.item) for u in one.failing)) not in known
    ]
    return sorted(kept, key=lambda one: (one.by != "model", one.name, one.test))
