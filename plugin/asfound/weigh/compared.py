"""What another instrument says against a reading: it was read again at the same conditions, and the two do not agree.

A reading that a second instrument contradicts beyond the doubts of both cannot be *established*: one of the two is
wrong by more than it admits. Where they fall on different sides of a limit, what the reading was cited for hangs on
which of them is believed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from asfound.model.ids import sort_key
from asfound.model.reasoning import ConfidenceLevel
from asfound.model.verdict import Outcome, Result
from asfound.model.weighing import Link
from asfound.weigh.chain import link
from asfound.weigh.ground import Ground
from asfound.weigh.instruments import vouched

_WITHIN = frozenset({Outcome.PASS, Outcome.CONDITIONAL_PASS})
_OUTSIDE = frozenset({Outcome.FAIL, Outcome.CONDITIONAL_FAIL})


Apart = tuple[tuple[str, ...], tuple[str, ...]]
"""Readings of a second instrument and of the first at the same conditions."""


def disagreements(ground: Ground, refs: Sequence[str]) -> Iterator[Link]:
    """A link for each comparison that contradicts some of the readings, results or whole sheets cited.

    None where nobody vouches for the other instrument, nor where a third that is vouched for bears these readings out.
    """
    for name in sorted({sheet for ref in refs if (sheet := ground.sheet_of(ref))}, key=sort_key):
        for comparison in ground.compared.get(name, ()):
            yield from _of_comparison(ground, name, comparison, refs)


def _of_comparison(ground: Ground, name: str, comparison: Result, refs: Sequence[str]) -> Iterator[Link]:
    other = ground.beside(name, comparison)
    if not comparison.apart or not vouched(ground.whole, other):
        return
    cited = _cited(ground, refs)
    apart = [both for both in comparison.apart if cited.intersection((name, *both[0], *both[1]))]
    apart = [both for both in apart if not _borne_out(ground, name, other, both)]
    if not apart:
        return
    parted = [both for both in apart if _parted(ground, *both)]
    second, first = (parted or apart)[0]
    caps = ConfidenceLevel.POSSIBLE if parted else ConfidenceLevel.PROBABLE
    sides = ", and fall on different sides of a limit" if parted else ""
    text = f"{second[0]} and {first[0]}, read with two instruments, do not agree within their doubts{sides}."
    yield link("instruments-disagree", (comparison.id, name, other), text, caps)


def _cited(ground: Ground, refs: Iterable[str]) -> set[str]:
    """What is cited, and the readings that cited results were made of."""
    found = set(refs)
    for ref in refs:
        result = ground.whole.facts.result.get(ref)
        found.update(result.of if result is not None else ())
    return found


def _borne_out(ground: Ground, name: str, other: str, both: Apart) -> bool:
    """Whether a third instrument that is vouched for agrees with a sheet on what another contradicts."""
    case = ground.case
    mine = next(set(refs) for refs in both if ground.sheet_of(refs[0]) == name)
    for comparison in ground.compared.get(name, ()):
        third = ground.beside(name, comparison)
        if third == other or third in ground.gone or case.sheets[third].instrument == case.sheets[other].instrument:
            continue
        off = {ref for each in comparison.apart for refs in each for ref in refs}
        agrees = mine.intersection(comparison.of) and not mine.intersection(off)
        if agrees and any(True for _ in ground.rows(third)) and vouched(ground, third):
            return True
    return False


def _parted(ground: Ground, second: tuple[str, ...], first: tuple[str, ...]) -> bool:
    """Whether any two readings of the two instruments are on different sides of a limit that speaks of both."""
    return any(
        within is not other
        for limit, within in _sides(ground, second)
        for same, other in _sides(ground, first)
        if limit == same
    )


def _sides(ground: Ground, refs: Iterable[str]) -> set[tuple[str, bool]]:
    """Each limit that speaks of some readings, and whether one of them is within it."""
    return {
        (one.limit.id, one.outcome in _WITHIN)
        for ref in refs
        for one in ground.whole.facts.verdicts_of.get(ref, ())
        if one.limit is not None and one.outcome in _WITHIN | _OUTSIDE
    }
