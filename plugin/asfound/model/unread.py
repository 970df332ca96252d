"""What rests on something that stands in the case and could not be read.

Whoever mends the file may find that it says all that was needed. So nothing is held against such a record but what
hindered its reading, which has a problem of its own, and is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from asfound.model.calculation import Calculated, Stated
from asfound.model.case import Case
from asfound.model.prose import read_prose
from asfound.model.reasoning import Explanation
from asfound.model.verdict import Result


class Unread:
    """What could not be read, and what rests on it: asked by id.

    `unfit` are sheets whose instrument could not be read: nothing is known of the doubt of their readings.
    """

    def __init__(self, case: Case, result: Mapping[str, Result], unfit: frozenset[str] = frozenset()) -> None:
        self._case = case
        self._unfit = unfit
        self._result = result
        self._known: dict[str, bool] = {}
        self._sheets = unfit | frozenset(
            f"S-{name.removeprefix('readings/').removesuffix('.csv')}" if name[:9] == "readings/" else _sheet(name)
            for name in case.broken
            if name[:9] == "readings/" or name[:2] in {"R-", "S-"}
        )

    @property
    def nothing(self) -> bool:
        """Whether everything could be read."""
        return not (self._case.broken or self._unfit)

    @property
    def some_sheet(self) -> bool:
        """Whether there is a sheet of which something could not be read."""
        return bool(self._sheets) or self._case.some_unread("S")

    def on(self, ref: str) -> bool:
        """Whether a record rests, by whatever way, on something that could not be read, or is that itself."""
        if self.nothing:
            return False
        if ref not in self._known:
            self._find(ref)
        return self._known[ref]

    def _find(self, ref: str) -> None:
        """Walk down from a record; of what was walked in vain it is known that it rests on nothing unread either."""
        seen, todo = {ref}, [ref]
        while todo:
            one = todo.pop()
            if self._known.get(one, False) or self._direct(one):
                self._known[ref] = self._known[one] = True
                return
            for below in self._below(one):
                if below not in seen and self._known.get(below, True):
                    seen.add(below)
                    todo.append(below)
        self._known.update(dict.fromkeys(seen, False))

    def any(self, refs: Iterable[str]) -> bool:
        """Whether any of these does."""
        return any(self.on(ref) for ref in refs)

    def test(self, name: str) -> bool:
        """Whether a planned test has a sheet of which something could not be read, or may have one."""
        return self.on(f"P-{name}")

    def _direct(self, ref: str) -> bool:
        case = self._case
        if ref in case.broken or case.unread(ref):
            return True
        if "plan.yml" in case.broken and ref[:1] in "RSXY":
            return True  # what is measured against what, and what a test can reach, stands there
        if ref[:1] == "S":
            return ref in self._sheets
        if ref[:1] == "R":
            sheet = case.sheets.get(_sheet(ref))
            planned = sheet is not None and f"P-{sheet.test}" in case.broken
            own = _sheet(ref)
            return planned or own in self._unfit or own in case.broken or "sheets.yml" in case.broken
        if ref[:1] == "P":
            return self._of_test(ref[2:])
        if ref[:1] == "Y" and ref not in self._result:
            if "calculations.yml" in case.broken or "sheets.yml" in case.broken:
                return True
            # The sheet or calculation it would come of has a shorter name; which one is not known before it is read.
            return any(ref.startswith(f"Y-{one[2:]}-") for one in (*self._sheets, *case.calculations) if self.on(one))
        return False

    def _of_test(self, name: str) -> bool:
        case = self._case
        if any(sheet in self._sheets for sheet, _ in case.sheets_of(name)) or "sheets.yml" in case.broken:
            return True
        if any(ref in self._sheets for ref, sheet in case.prepared.items() if sheet.test == name):
            return True
        # A sheet whose entry cannot be read, and that bears the name of no test, may be that of any.
        own = {f"S-{test.replace('--', '-')}": test for test in (case.plan.tests if case.plan is not None else ())}
        return any(ref[:2] == "S-" and own.get(ref, name) == name for ref in case.broken)

    def _below(self, ref: str) -> Iterator[str]:
        """What a record is made of."""
        case = self._case
        if ref in case.findings:
            finding = case.findings[ref]
            yield from finding.rests_on
            yield from (one for one in read_prose(finding.text).refs if one[:1] in "FY")
        elif ref in case.explanations:
            yield from evidence_of(case.explanations[ref])
        elif ref in case.calculations:
            yield from _inputs(case.calculations[ref])
        elif ref in self._result:
            made = self._result[ref]
            yield from (made.sheet,) if made.sheet else ()
            yield from made.of


def evidence_of(one: Explanation) -> Iterator[str]:
    """What is listed for and against an explanation and its needs."""
    yield from (*one.supports, *one.contradicts)
    for need in one.needs:
        yield from (*need.shown_by, *need.shown_false_by)


def _sheet(ref: str) -> str:
    return ref if ref[:2] == "S-" else f"S-{ref[2:].rpartition('-')[0]}"


def _inputs(one: Calculated) -> Iterator[str]:
    for given in one.inputs.values():
        if isinstance(given, Stated):
            yield from given.from_
        else:
            yield from (given,) if isinstance(given, str) else given
    if one.rows is not None:
        yield one.rows.sheet
    if one.series is not None:
        yield one.series.evidence


__all__ = ["Unread", "evidence_of"]
