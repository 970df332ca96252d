"""Hold derived results against the limits that speak of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from asfound.measure.decide import decide
from asfound.measure.units import Unit, unit
from asfound.model.limits import Limit, LimitKind
from asfound.model.verdict import LimitRef, Outcome, Result, Verdict
from asfound.model.work import DecisionRule, Plan, Reading
from asfound.verdicts.bounds import Exempted, Resolved, applies, unrecorded
from asfound.verdicts.context import Unknown, not_recorded
from asfound.verdicts.measured import SheetWork, six
from asfound.verdicts.shares import resolve_share


def judge_result(
    result: Result, work: SheetWork, limits: Sequence[tuple[LimitRef, Limit]], plan: Plan
) -> tuple[Result, tuple[Verdict, ...]]:
    """A result with its outcome, and its verdicts.

    One whose doubt is known is judged as a reading is, by the rule of the plan. Others by simple acceptance, without a
    chance: the readings behind them share most of their doubt, and what is left of it is not known well enough for a
    guard band. A result's outcome is the heaviest of its verdicts. A limit that speaks to some of the readings behind
    a result and not to others, or has other bounds at others, leaves it not assessable.
    """
    rule = DecisionRule.SIMPLE if result.doubt is None else plan.decision_rule
    doubt = None if result.doubt is None else Decimal(repr(result.doubt))
    to = unit(result.unit)
    mine = [(ref, limit) for ref, limit in limits if limit.result == result.kind]
    if to is None or not mine:
        return result, ()
    behind = _behind(result, work)
    base = work.sheet.test.partition("--")[0]
    # A maker's limit of the readings says nothing of what is worked out of them, nor one of another result.
    makers = [limit for _, limit in mine if limit.kind is LimitKind.MAKER]
    spoken = []
    for ref, limit in mine:
        speaks = {applies(limit, work.setting, reading, base, makers) for reading in behind}
        if speaks == {False}:
            continue
        outcome, why, lower, upper, margin = Outcome.NOT_ASSESSABLE, "", None, None, None
        chance: float | None = None
        if None in speaks:
            why = not_recorded(_lacking(limit, work, behind), "the limit depends on")
        elif limit.kind.reference_only:
            outcome, why = Outcome.NO_REQUIREMENT, f"given for comparison only: {limit.kind}"
        elif False in speaks:
            why = "it comes from readings to which the limit speaks and from others to which it does not"
        elif result.value is None:
            why = "no figure could be worked out to hold against the limit"
        else:
            try:
                bounds = _bounds(result.kind, limit, work, behind, to)
                made = decide(
                    result.value, doubt, result.k or 2.0, lower=bounds.lower, upper=bounds.upper,
                    strict_lower=limit.strict, strict_upper=limit.strict, rule=rule, r=Decimal(plan.guard_factor),
                )  # fmt: skip
                outcome, lower, upper, margin = made.outcome, bounds.lower, bounds.upper, made.margin
                chance = None if doubt is None or made.chance is None else six(made.chance)
            except Exempted as reason:
                outcome, why = Outcome.NO_REQUIREMENT, str(reason)
            except Unknown as reason:
                why = str(reason)
        k = None if result.doubt is None else result.k or 2.0
        verdict = Verdict(
            result.id, (), work.sheet.test, work.sheet.item, ref, outcome, result.value, to.symbol, result.doubt, k,
            lower, upper, limit.strict, chance, margin, str(rule), why, (result.text,),
        )  # fmt: skip
        spoken.append(verdict)
    if not spoken:
        return result, ()
    worst = max((verdict.outcome for verdict in spoken), key=_WEIGHT.__getitem__)
    return replace(result, outcome=worst), tuple(spoken)


def _behind(result: Result, work: SheetWork) -> list[Reading]:
    """The readings of the sheet that a result comes from, one of each combination of conditions."""
    of = frozenset(result.of)
    return list({one.key: one.reading for one in reversed(work.measured) if one.reading.id in of}.values())[::-1]


def _lacking(limit: Limit, work: SheetWork, behind: Sequence[Reading]) -> dict[str, None]:
    return dict.fromkeys(name for one in behind for name in unrecorded(limit, work.setting, one))


def _bounds(kind: str, limit: Limit, work: SheetWork, behind: Sequence[Reading], to: Unit) -> Resolved:
    """The bounds that a limit has at every reading behind a result. Raises as `resolve` does, and where they differ."""
    found: list[Resolved] = []
    exempted: list[Exempted] = []
    for one in behind:
        try:
            found.append(resolve_share(kind, limit, work.setting, one, work.sheet.test.partition("--")[0], to))
        except Exempted as reason:
            exempted.append(reason)
    if not found:
        raise exempted[0]
    if exempted:
        raise Unknown(f"of some of the readings behind it the document asks nothing: {exempted[0]}")
    if len({(one.lower, one.upper) for one in found}) > 1:
        raise Unknown("the readings behind it were taken under conditions that have bounds of their own")
    return found[0]


_WEIGHT = {
    Outcome.NO_REQUIREMENT: 0,
    Outcome.PASS: 1,
    Outcome.NOT_ASSESSABLE: 2,
    Outcome.CONDITIONAL_PASS: 3,
    Outcome.CONDITIONAL_FAIL: 4,
    Outcome.FAIL: 5,
}
