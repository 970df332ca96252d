"""Hold derived results against the limits that speak of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from asfound.measure.decide import decide
from asfound.measure.units import OtherQuantityError, convert, unit
from asfound.model.limits import Limit
from asfound.model.verdict import LimitRef, Outcome, Result, Verdict
from asfound.model.work import DecisionRule, Plan
from asfound.verdicts.bounds import Exempted, applies, unrecorded
from asfound.verdicts.context import Unknown, words
from asfound.verdicts.measured import SheetWork, six
from asfound.verdicts.shares import resolve_share


def judge_result(
    result: Result, work: SheetWork, limits: Sequence[tuple[LimitRef, Limit]], plan: Plan
) -> tuple[Result, tuple[Verdict, ...]]:
    """A result with its outcome, and its verdicts.

    One whose doubt is known is judged as a reading is, by the rule of the plan. Others by simple acceptance, without a
    chance: the readings behind them share most of their doubt, and what is left of it is not known well enough for a
    guard band. A result's outcome is the heaviest of its verdicts.
    """
    rule = DecisionRule.SIMPLE if result.doubt is None else plan.decision_rule
    doubt = None if result.doubt is None else Decimal(repr(result.doubt))
    to = unit(result.unit)
    if result.value is None or to is None:
        return result, ()
    first = next(one.reading for one in work.measured if one.reading.id in result.of)
    base = work.sheet.test.partition("--")[0]
    spoken = []
    for ref, limit in limits:
        if limit.result != result.kind:
            continue
        speaks = applies(limit, work.setting, first, base)
        if speaks is False:
            continue
        value, outcome, why, lower, upper, margin = result.value, Outcome.NOT_ASSESSABLE, "", None, None, None
        chance: float | None = None
        if speaks is None:
            lacking = " and ".join(words(name) for name in unrecorded(limit, work.setting, first))
            why = f"{lacking} is not recorded, and the limit depends on it"
        elif limit.kind.reference_only:
            outcome, why = Outcome.NO_REQUIREMENT, f"given for comparison only: {limit.kind}"
        else:
            try:
                bounds = resolve_share(result.kind, limit, work.setting, first, base, to)
                value = convert(result.value, to, to)
                made = decide(
                    value, doubt, lower=bounds.lower, upper=bounds.upper, strict_lower=limit.strict,
                    strict_upper=limit.strict, rule=rule, r=Decimal(plan.guard_factor),
                )  # fmt: skip
                outcome, lower, upper, margin = made.outcome, bounds.lower, bounds.upper, made.margin
                chance = None if doubt is None or made.chance is None else six(made.chance)
            except Exempted as reason:
                outcome, why = Outcome.NO_REQUIREMENT, str(reason)
            except (Unknown, OtherQuantityError) as reason:
                why = str(reason)
        k = None if result.doubt is None else 2.0
        verdict = Verdict(
            result.id, (), work.sheet.test, work.sheet.item, ref, outcome, value, to.symbol, result.doubt, k,
            lower, upper, limit.strict, chance, margin, str(rule), why, (result.text,),
        )  # fmt: skip
        spoken.append(verdict)
    if not spoken:
        return result, ()
    worst = max((verdict.outcome for verdict in spoken), key=_WEIGHT.__getitem__)
    return replace(result, outcome=worst), tuple(spoken)


_WEIGHT = {
    Outcome.NO_REQUIREMENT: 0,
    Outcome.PASS: 1,
    Outcome.NOT_ASSESSABLE: 2,
    Outcome.CONDITIONAL_PASS: 3,
    Outcome.CONDITIONAL_FAIL: 4,
    Outcome.FAIL: 5,
}
