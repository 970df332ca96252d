"""The instrument can show the difference between the reading and its limit.

Fails: 0.5 mA read in steps of 0.1 mA and passed against a limit of 0.55 mA.
Passes: the same read in steps of 0.001 mA. A step between a tenth of the distance and the whole of it warns; so
does a coarser one where the verdict is conditional, since the doubt has then already spoken.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import function_of, in_unit, of_mark, range_of, sheet_of

ENTRY = Entry(
    name="resolution-too-coarse",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="An instrument's resolution is fine enough for the distance between reading and limit.",
    reason="A display that cannot show the difference cannot decide it.",
    source="ISO/IEC 17025:2017, 6.4.5; the share is a setting of ours",
    status="from memory",
    mend="Repeat the reading on a finer range or with a finer instrument.",
    rows=("R49",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a reading, for the limit it stands nearest to."""
    sheets = sheet_of(facts)
    spoken: set[str] = set()
    plain = {Outcome.PASS, Outcome.FAIL}
    judged = plain | {Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL}
    for verdict in sorted(facts.verdicts, key=lambda one: abs(one.margin) if one.margin is not None else 0):
        row = facts.case.reading.get(verdict.subject)
        if verdict.outcome not in judged or verdict.margin is None or verdict.limit is None or row is None:
            continue
        sheet = facts.case.sheets.get(sheets[row.id])
        if row.id in spoken or sheet is None or row.value.number is None or not row.value.is_number:
            continue
        if of_mark(facts.protocol_test(sheet.test)):
            continue
        function = function_of(facts, sheet)
        inside = None if function is None else range_of(function, row.value.number, row.unit)
        if inside is None:
            continue
        step = in_unit(inside.resolution.value, inside.resolution.unit, verdict.unit)
        distance = abs(verdict.margin)
        if step is None or step <= facts.settings.resolution_share * distance:
            continue
        spoken.add(row.id)
        coarse = step > distance
        yield facts.problem(
            ENTRY,
            row.id,
            found=f"{row.id} was read in steps of {inside.resolution.text} and stands "
            f"{distance.normalize():f} {verdict.unit} from the limit {verdict.limit.id}",
            needed="steps no coarser than "
            + ("the distance" if coarse else f"{facts.settings.resolution_share.normalize():f} of the distance")
            + " are needed",
            level=None if coarse and verdict.outcome in plain else Level.WARN,
        )
