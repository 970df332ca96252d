"""A surprise is repeated with a second instrument or a second accessory before it is believed.

Fails: a finding rests on a failing reading, and no sheet repeats it.
Passes: a second sheet with `repeats_of` that sheet, another instrument or another accessory, and the same conditions.
What is seen or read has no instrument that could err: there a second reader takes the place, named on the sheet or with
a sheet of their own.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.facts import Facts
from asfound.model.limits import Test
from asfound.model.verdict import Outcome
from asfound.model.work import Reading, Sheet
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._texts import cited_by_findings, named
from asfound.rules._work import Work, answered, canonical, works

ENTRY = Entry(
    name="surprise-not-repeated",
    family=Family.COMPLETENESS,
    level=Level.WARN,
    title="A surprise that a finding rests on is repeated with something or, if it was seen, by somebody else.",
    reason="The first explanation of a surprising reading is the bench: a worn lead, an accessory, the instrument; of "
    "one that was seen, it is the eye.",
    source="common practice, no source",
    status="common practice",
    mend="Repeat the readings by another instrument or accessory, on a sheet of its own with theirs as repeats_of.",
)

BAD = frozenset({Outcome.FAIL, Outcome.CONDITIONAL_FAIL})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a sheet, naming the readings."""
    rested = cited_by_findings(facts)
    rested |= {ref for name in rested & facts.result.keys() for ref in facts.result[name].of}
    every = list(works(facts))
    for work in every:
        alone = [
            row.id
            for row in answered(work.rows)
            if (row.id in rested or work.name in rested)
            and any(one.subject == row.id and one.outcome in BAD for one in facts.verdicts_of.get(row.id, ()))
            and not _repeated(facts, every, work, row)
        ]
        if alone and _by_eye(work.test):
            if _second_reader(work.sheet):
                continue
            same = work.sheet.second_reader is not None
            yield facts.problem(
                ENTRY,
                alone[0],
                found=f"a finding rests on {named(alone)}, outside the limit, and "
                + (f"its second_reader is who took it ({work.sheet.by})" if same else "one person alone looked"),
                needed="a second reader, or a repeat with another accessory, is needed",
                mend="Let another person look or read without being told what was found, and name that role as the "
                "sheet's second_reader; or on a sheet of their own, with this one as repeats_of.",
            )
        elif alone:
            yield facts.problem(
                ENTRY,
                alone[0],
                found=f"a finding rests on {named(alone)}, outside the limit, and no second instrument or accessory "
                "was used",
                needed="a repeat with another instrument or another accessory is needed",
            )


def _by_eye(test: Test | None) -> bool:
    """Whether a person is what a test is read with."""
    return test is not None and test.read_from is not None


def _second_reader(sheet: Sheet) -> bool:
    """Whether a sheet names somebody beside whoever took it."""
    return sheet.second_reader is not None and sheet.second_reader != sheet.by


def _repeated(facts: Facts, every: list[Work], work: Work, row: Reading) -> bool:
    mine = canonical(work, row)
    for other in every:
        if other.sheet.repeats_of != work.name and work.sheet.repeats_of != other.name:
            continue
        # In whatever order they were listed, the same things are the same.
        fitted = set(other.sheet.accessories) == set(work.sheet.accessories)
        another = _by_eye(work.test) and other.sheet.by != work.sheet.by
        if fitted and other.sheet.instrument == work.sheet.instrument and not another:
            continue
        if facts.unread.on(other.name):
            return True  # whether the repeat stands there is not known before the sheet is mended
        for one in answered(other.rows):
            theirs = canonical(other, one)
            # The second sheet may say more (which accessory), so it is compared where both speak.
            if one.repeat_of == row.id or all(theirs.get(name, text) == text for name, text in mine.items()):
                return True
    return False
