"""What rests on an instrument, case by case: wanted when it is later found out of tolerance."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from asfound.model.dossier import Dossier
from asfound.model.ids import sort_key
from asfound.model.rests import Steps, rests_on
from asfound.model.verdict import Result, Verdict
from asfound.model.weighing import Fall


class Touched(Struct, frozen=True):
    """What rests on one instrument in one case.

    sheets, readings  taken with it; void readings are none
    results   derived results that use any of the readings
    verdicts  of a limit, on those readings and results
    findings  those that rest on any of it, with other things or alone; `fallen` are those that fall with it alone
    explanations  those that cite any of it
    statuses, levels  what falls or changes when all it measured is taken away, as the case's strike-out says
    """

    case: str
    instrument: str
    sheets: tuple[str, ...]
    readings: tuple[str, ...]
    results: tuple[str, ...]
    verdicts: tuple[Verdict, ...]
    findings: tuple[str, ...]
    fallen: tuple[str, ...]
    explanations: tuple[str, ...]
    statuses: tuple[Fall, ...]
    levels: tuple[Fall, ...]


def touched(dossiers: Sequence[Dossier]) -> dict[str, list[Touched]]:
    """Instrument → the cases in which anything was measured with it, both in order."""
    found: dict[str, list[Touched]] = {}
    for dossier in sorted(dossiers, key=lambda one: one.id):
        for one in _of_case(dossier):
            found.setdefault(one.instrument, []).append(one)
    return {ref: found[ref] for ref in sorted(found, key=sort_key)}


def _of_case(dossier: Dossier) -> list[Touched]:
    core, case = dossier.core, dossier.core.case
    used = sorted({sheet.instrument for sheet in case.sheets.values()}, key=sort_key)
    # What findings, explanations and results rest on is walked once a case, not once an instrument.
    steps: Steps = {}
    wanted = (*case.findings, *case.explanations)
    below = {ref: set(rests_on(case, ref, core.results, steps=steps)) for ref in wanted}
    strikes = {one.refs[0]: one for one in core.weighing.strikes if one.refs} if core.weighing is not None else {}
    made = []
    for ref in used:
        sheets = tuple(name for name, sheet in case.sheets.items() if sheet.instrument == ref)
        readings = tuple(row.id for name in sheets for row in case.standing(name))
        results = _using(core.results, {*sheets, *readings})
        measured = {*readings, *results}
        strike = strikes.get(ref)
        made.append(
            Touched(
                case.id,
                ref,
                sheets,
                readings,
                results,
                tuple(one for one in core.verdicts if one.limit is not None and measured & {one.subject, *one.members}),
                tuple(sorted((one for one in case.findings if ref in below[one]), key=sort_key)),
                strike.findings if strike else (),
                tuple(sorted((one for one in case.explanations if ref in below[one]), key=sort_key)),
                strike.statuses if strike else (),
                strike.levels if strike else (),
            )
        )
    return made


def _using(results: Sequence[Result], measured: set[str]) -> tuple[str, ...]:
    """The results worked out of any of the sheets and readings, and of such results, in the order they stand in.

    A sheet that names another, being taken by a second instrument, makes its own results none of the first one's.
    """
    found = set(measured)
    while more := {one.id for one in results if not found.isdisjoint((one.sheet, *one.of))} - found:
        found |= more
    return tuple(one.id for one in results if one.id in found)
