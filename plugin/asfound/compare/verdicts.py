"""Verdicts that two dossiers give otherwise: by another outcome, by another limit, or on one side only."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from asfound.compare.difference import Area, Difference, Kind, Move
from asfound.measure import show_measured, show_number, unit, with_unit
from asfound.model.dossier import Core
from asfound.model.outcome import Outcome
from asfound.model.verdict import Verdict

_Key = tuple[str, str, int]
_FAILING = (Outcome.FAIL, Outcome.CONDITIONAL_FAIL)


def moved_verdicts(old: Core, new: Core) -> Iterator[Difference]:
    """Each verdict that is another one, one difference each; those of a new reading only where they are adverse."""
    before, after = _keyed(old.verdicts), _keyed(new.verdicts)
    for was, now in _by_another_limit(before, after):
        yield _difference(was, now)
    subjects = {one.subject for one in old.verdicts} & {one.subject for one in new.verdicts}
    for key in dict.fromkeys((*before, *after)):
        was_one, now_one = before.get(key), after.get(key)
        one = now_one or was_one
        assert one is not None
        if was_one is not None and now_one is not None:
            if was_one.outcome is now_one.outcome:
                continue
        elif not (one.outcome.adverse or (key[0] in subjects and one.limit is not None)):
            # A new reading brings its verdicts with it; only those a report must speak of are told apart.
            continue
        yield _difference(was_one, now_one)


def _keyed(verdicts: tuple[Verdict, ...]) -> dict[_Key, Verdict]:
    """Verdicts by reading and limit; where one reading is held against one limit more than once, by number too."""
    found: dict[_Key, Verdict] = {}
    for one in verdicts:
        name, number = one.limit.id if one.limit else "", 0
        while (one.subject, name, number) in found:
            number += 1
        found[one.subject, name, number] = one
    return found


def _by_another_limit(before: dict[_Key, Verdict], after: dict[_Key, Verdict]) -> list[tuple[Verdict, Verdict]]:
    """Takes out of both sides what is one verdict that passed from one limit to another, as where the set changed.

    Of one reading the limits of one name belong together, whatever set they stand in; then the only one that went and
    the only one that came. Of several nobody knows which took the place of which.
    """
    pairs = []
    for same_name in (True, False):
        gone, come = (_grouped(these, those, same_name) for these, those in ((before, after), (after, before)))
        for group, keys in gone.items():
            others = come.get(group, [])
            if len(keys) == len(others) == 1:
                pairs.append((before.pop(keys[0]), after.pop(others[0])))
    return pairs


def _grouped(
    these: dict[_Key, Verdict], those: dict[_Key, Verdict], same_name: bool
) -> dict[tuple[str, str], list[_Key]]:
    """What stands against a limit on one side only, by reading and, where asked, the limit's name in its set."""
    found: dict[tuple[str, str], list[_Key]] = {}
    for key, one in these.items():
        if one.limit is not None and key not in those:
            found.setdefault((one.subject, one.limit.name if same_name else ""), []).append(key)
    return found


def _difference(was: Verdict | None, now: Verdict | None) -> Difference:
    one = now or was
    assert one is not None
    moves = [Move("outcome", was.outcome if was else None, now.outcome if now else None)]
    shown = (_compared(was), _compared(now))
    if shown[0] != shown[1]:
        moves.append(Move("value", *shown))
    limits = [side.limit.id if side is not None and side.limit else "" for side in (was, now)]
    if was is not None and now is not None and limits[0] != limits[1]:
        moves.append(Move("limit", *limits))
    same = shown[0] or "" if shown[0] == shown[1] else ""
    heavy = any(side is not None and side.outcome in _FAILING for side in (was, now))
    kind = Kind.ADDED if was is None else Kind.REMOVED if now is None else Kind.CHANGED
    beside = one.limit.id if one.limit else ""
    return Difference(Area.VERDICT, kind, one.subject, tuple(moves), beside, same, 10 if heavy else 12)


def _compared(verdict: Verdict | None) -> str | None:
    if verdict is None or verdict.value is None:
        return None
    of = unit(verdict.unit) if verdict.unit else None
    if verdict.doubt:
        return show_measured(verdict.value, verdict.doubt, of, computed=True)
    # A quotient has as many digits as decimals are kept with; six are more than a reader can use.
    short = verdict.value if len(verdict.value.as_tuple().digits) < 7 else Decimal(f"{verdict.value:.6g}")
    return with_unit(show_number(short), of)
