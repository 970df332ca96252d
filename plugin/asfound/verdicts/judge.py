"""Hold every reading against every limit that speaks to it.

One verdict per reading (or per group whose highest counts, or per series) and limit. A reading to which no limit of
the plan's sets speaks gets *no requirement*; one that a limit would speak to, if only something were on record, gets
*not assessable* and the reason. Nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import structs

from asfound.measure.decide import Decision, decide_value, decider
from asfound.measure.units import unit
from asfound.model.limits import Limit, LimitKind, LimitSet, Sense
from asfound.model.number import Value, ValueKind
from asfound.model.verdict import LimitRef, Outcome, Verdict
from asfound.model.work import DecisionRule, Plan, Reading, Sheet
from asfound.verdicts.bounds import Exempted, Resolved, applies, permitted, resolve, unrecorded
from asfound.verdicts.context import Unknown, amount_in, not_recorded
from asfound.verdicts.ends import of_bound, of_word
from asfound.verdicts.measured import Measured, SheetWork, others, six
from asfound.verdicts.sizes import on_size, sized
from asfound.verdicts.widened import Repeats

Decider = Callable[[Decimal, float | None], tuple[Outcome, float | None]]

_SHARED = 65_536
"""How many decisions of one limit on a sheet are kept to be shared between equal readings."""

_OPEN_ABOVE = frozenset({ValueKind.ABOVE, ValueKind.OVER_RANGE})

_WEIGHT = {
    Outcome.NO_REQUIREMENT: 0,
    Outcome.PASS: 1,
    Outcome.CONDITIONAL_PASS: 2,
    Outcome.NOT_ASSESSABLE: 3,
    Outcome.CONDITIONAL_FAIL: 4,
    Outcome.FAIL: 5,
}
"""Which verdict speaks for a group whose highest counts, where more than one reading may be the highest."""

_new = tuple.__new__


def _speaks_louder(made: Verdict) -> tuple[int, float]:
    """The order in which verdicts of one group come forward: by what they say, then by how much they are doubted."""
    return _WEIGHT[made.outcome], -1.0 if made.doubt is None else made.doubt


def _is(one: Measured, top: Decimal | None) -> bool:
    return one.y is not None and one.y == top


def _may_lie_above(one: Measured, top: Decimal | None) -> bool:
    """Whether a reading that is no number may be higher than the highest number of its group."""
    if one.why or one.value.kind in _OPEN_ABOVE:
        return True
    return one.value.kind is ValueKind.BELOW and one.y is not None and (top is None or one.y > top)


def candidates(sets: Mapping[str, LimitSet], plan: Plan, planned: str) -> tuple[tuple[LimitRef, Limit], ...]:
    """The limits of the plan's sets that belong to a planned test, in the plan's order of sets."""
    base = planned.partition("--")[0]
    chosen = plan.tests[planned].limits if planned in plan.tests else None
    found = []
    for set_name in plan.limit_sets:
        one = sets.get(set_name)
        if one is None:
            continue
        for name, limit in one.limits.items():
            if base in limit.tests and (chosen is None or name in chosen):
                found.append((limit_ref(one, name, limit), limit))
    return tuple(found)


def limit_ref(one: LimitSet, name: str, limit: Limit) -> LimitRef:
    """The citation of a limit."""
    document, edition = one.authority(name)
    return LimitRef(one.set, name, document, edition, limit.clause or "", limit.kind, limit.status)


def judge_sheet(
    work: SheetWork, limits: Sequence[tuple[LimitRef, Limit]], plan: Plan, planned: str
) -> Iterator[Verdict]:
    """Every verdict of a sheet."""
    # A mark has no doubt that a guard band could be laid by.
    marked = work.test.read_from == "mark"
    rule = DecisionRule.SIMPLE if marked else plan.decision_rule
    spoken: set[str] = set()
    unsure: dict[str, set[str]] = {}
    makers = [limit for _, limit in limits if limit.kind is LimitKind.MAKER and limit.result is None]
    for ref, limit in limits:
        if limit.result is not None:
            continue  # speaks of a derived result, not of readings
        judge = _Judge(work, ref, limit, rule, Decimal(plan.guard_factor), planned, makers)
        for verdict in judge.verdicts():
            spoken.update(verdict.members)
            yield verdict
        for row, names in judge.unsure.items():
            unsure.setdefault(row, set()).update(names)
    for one in work.measured:
        row = one.reading.id
        if row in spoken:
            continue
        if row in unsure:
            outcome, why = Outcome.NOT_ASSESSABLE, not_recorded(sorted(unsure[row]), "the limits differ by")
        else:
            subject = "reading" if limits else "test"
            outcome, why = Outcome.NO_REQUIREMENT, f"no limit of the plan's sets speaks to this {subject}"
        yield _without(work, one, planned, rule, outcome, why)


def _without(work: SheetWork, one: Measured, planned: str, rule: DecisionRule, outcome: Outcome, why: str) -> Verdict:
    return Verdict(
        one.reading.id, (one.reading.id,), planned, work.sheet.item, None, outcome, one.y, work.to.symbol,
        one.U, one.k, None, None, False, None, None, str(rule), why, one.steps,
    )  # fmt: skip


_Decided = tuple[Outcome, float | None, Decimal | None, str, tuple[str, ...]]
"""Outcome, chance, margin, why, steps."""


class _Judge:
    """One limit against one sheet.

    Whether the limit speaks, and its bounds, are settled once for each combination of conditions; the decision, once
    for each value under it.
    """

    def __init__(
        self,
        work: SheetWork,
        ref: LimitRef,
        limit: Limit,
        rule: DecisionRule,
        r: Decimal,
        planned: str,
        makers: Sequence[Limit],
    ) -> None:
        self.work, self.ref, self.limit, self.rule, self.r, self.planned = work, ref, limit, rule, r, planned
        self.base = planned.partition("--")[0]
        self.makers = makers
        self.unsure: dict[str, tuple[str, ...]] = {}
        self._bounds: dict[tuple[str, ...], Resolved | Unknown | Exempted | None] = {}
        self._speaking: dict[tuple[str, ...], bool | None] = {}
        self._deciders: dict[tuple[tuple[str, ...], float], Decider] = {}
        self._decided: dict[tuple[tuple[str, ...], str, str], _Decided] = {}
        self._repeats = Repeats(work.measured, work.ranges)

    def verdicts(self) -> Iterator[Verdict]:
        limit = self.limit
        mine = [one for one in self.work.measured if self._speaks(one)]
        if not mine:
            return
        if on_size(limit):
            mine = [sized(one) for one in mine]
        if limit.kind.reference_only:
            for one in mine:
                yield self._plain(one, Outcome.NO_REQUIREMENT, f"given for comparison only: {limit.kind}")
        elif limit.sense is Sense.ANSWER:
            for one in mine:
                yield self._answered(one)
        elif limit.sense is Sense.MONOTONIC:
            from asfound.verdicts.series import monotonic

            yield from monotonic(self.work, mine, self.ref, limit, self.planned)
        elif limit.highest_of:
            yield from self._highest(mine)
        else:
            for one in mine:
                yield self._single(one, (one.reading.id,))

    def _speaks(self, one: Measured) -> bool:
        key, reading = one.key, one.reading
        if key in self._speaking:
            verdict = self._speaking[key]
        else:
            verdict = applies(self.limit, self.work.setting, reading, self.base, self.makers)
            self._speaking[key] = verdict
        if verdict is None:
            self.unsure[reading.id] = unrecorded(self.limit, self.work.setting, reading)
        return verdict is True

    def _answered(self, one: Measured) -> Verdict:
        asked, value = str(self.limit.answer), one.value
        if value.kind in {ValueKind.YES, ValueKind.NO}:
            met, why = value.kind.value == asked, f"the limit asks for {asked}"
        elif value.kind is ValueKind.COUNT and value.number is not None and value.of:
            # `9 of 10` is yes in nine trials; what is asked for is asked of each.
            times = value.number if asked == "yes" else value.of - value.number
            met, why = times == value.of, f"the limit asks for {asked}, which was so in {times} of {value.of} trials"
        else:
            return self._plain(one, Outcome.NOT_ASSESSABLE, f'a yes or no is asked for, and "{value.text}" stands here')
        return self._plain(one, Outcome.PASS if met else Outcome.FAIL, why)

    def _resolved(self, key: tuple[str, ...], reading: Reading) -> Resolved | Unknown | Exempted:
        found = self._bounds.get(key)
        if found is None:
            try:
                found = resolve(
                    self.limit, self.work.setting, reading, self.work.sheet.test.partition("--")[0], self.work.to
                )
            except (Unknown, Exempted) as reason:
                found = reason
            self._bounds[key] = found
        return found

    def _highest(self, mine: Sequence[Measured]) -> Iterator[Verdict]:
        groups: dict[tuple[str, ...], list[Measured]] = {}
        for one in mine:
            groups.setdefault(others(one, *self.limit.highest_of), []).append(one)
        for group in groups.values():
            numbers = [one.y for one in group if one.y is not None and one.value.kind is not ValueKind.BELOW]
            top = max(numbers, default=None)
            # Equal highest readings may have been repeated differently and so be doubted differently: all are judged,
            # that none speaks for having been written first. `over range`, `>500` or a value that cannot be converted
            # may be higher still than the highest number, and so may `<500` than 490; none of them hides what 490 says.
            asked = [one for one in group if _is(one, top) or _may_lie_above(one, top)] or group
            refs = tuple(one.reading.id for one in group)
            loudest = max((self._single(one, refs) for one in asked), key=_speaks_louder)
            # The others are judged with it, and each is a value with a doubt of its own all the same.
            rest = ((one.reading.id, one.U) for one in group if one.reading.id != loudest.subject)
            yield loudest._replace(beside=tuple((ref, U) for ref, U in rest if U is not None))

    def _single(self, one: Measured, members: tuple[str, ...]) -> Verdict:
        bounds = self._resolved(one.key, one.reading)
        if isinstance(bounds, Exempted):
            return self._plain(one, Outcome.NO_REQUIREMENT, str(bounds), members)
        if isinstance(bounds, Unknown):
            return self._plain(one, Outcome.NOT_ASSESSABLE, str(bounds), members)
        if one.why:
            return self._plain(one, Outcome.NOT_ASSESSABLE, one.why, members)
        y, U, steps = one.y, one.U, one.steps
        if self.work.test.read_from == "mark":
            steps = (*steps, OF_MARK)
        if self.limit.scale is not None and y is not None:
            scaled = _scaled(y, U, self.work.sheet)
            if isinstance(scaled, str):
                return self._plain(one, Outcome.NOT_ASSESSABLE, scaled, members)
            y, U, step = scaled
            steps = (*steps, step)
        if one.value.kind is ValueKind.NUMBER and y is not None and self.limit.permitted is None:
            return self._quick(one, y, U, bounds, members, steps)
        value = one.value if y is None else Value(one.value.text, one.value.kind, y)
        decision = self._valued(value, U, one.k, bounds)
        if decision.outcome is Outcome.NOT_ASSESSABLE and self.limit.scale is None and self.limit.permitted is None:
            end = (of_word if y is None else of_bound)(value, self.work.ranges, self.work.to)
            at_end = decision if end is None else self._valued(end.value, six(end.doubt), 2.0, bounds)
            # A word may say that a limit is not met; that one is met is said by whoever writes a figure.
            if end is not None and at_end.outcome in ({Outcome.FAIL} if y is None else {Outcome.FAIL, Outcome.PASS}):
                decision, U = structs.replace(at_end, why=end.why), None if y is None else six(end.doubt)
        return self._from(one, value, decision, U, bounds, members, steps)

    def _valued(self, value: Value, U: float | None, k: float, bounds: Resolved) -> Decision:
        return decide_value(
            value, None if U is None else Decimal(repr(U)), k, lower=bounds.lower, upper=bounds.upper,
            strict_lower=self.limit.strict, strict_upper=self.limit.strict, rule=self.rule, r=self.r,
        )  # fmt: skip

    def _quick(
        self,
        one: Measured,
        y: Decimal,
        U: float | None,
        bounds: Resolved,
        members: tuple[str, ...],
        steps: tuple[str, ...],
    ) -> Verdict:
        reading = one.reading
        at = (one.key, reading.value.text, reading.unit)
        found = self._decided.get(at)
        if found is None:
            found = self._decide(one, y, U, bounds, steps)
            if len(self._decided) < _SHARED:
                self._decided[at] = found
        work = self.work
        return _new(
            Verdict,
            (reading.id, members, self.planned, work.sheet.item, self.ref, found[0], y, work.to.symbol, U, one.k,
             bounds.lower, bounds.upper, self.limit.strict, *found[1:3], self.rule, *found[3:], ()),
        )  # fmt: skip

    def _decide(self, one: Measured, y: Decimal, U: float | None, bounds: Resolved, steps: tuple[str, ...]) -> _Decided:
        lower, upper = bounds.lower, bounds.upper
        outcome, chance = self._decider(one.key, one.k, bounds)(y, U)
        below = None if lower is None else y - lower
        above = None if upper is None else upper - y
        margin = above if below is None or (above is not None and above < below) else below
        why = "" if U is not None or outcome is not Outcome.NOT_ASSESSABLE else NO_DOUBT
        # The instrument's own doubt has no spread in it, and a coverage factor of its own.
        why = why or self._repeats.said(
            one, U, outcome, lambda alone, k: self._decider(one.key, k, bounds)(y, alone)[0]
        )
        return outcome, None if chance is None else six(chance), margin, why, steps + bounds.steps

    def _decider(self, key: tuple[str, ...], k: float, bounds: Resolved) -> Decider:
        row = self._deciders.get((key, k))
        if row is None:
            row = self._deciders[key, k] = decider(
                lower=bounds.lower, upper=bounds.upper, strict_lower=self.limit.strict, strict_upper=self.limit.strict,
                rule=self.rule, k=k, r=self.r,
            )  # fmt: skip
        return row

    def _from(
        self,
        one: Measured,
        value: Value,
        decision: Decision,
        U: float | None,
        bounds: Resolved,
        members: tuple[str, ...],
        steps: tuple[str, ...],
    ) -> Verdict:
        outcome, why = decision.outcome, decision.why
        y = None if one.y is None else value.number
        if self.limit.permitted is not None and outcome in {Outcome.FAIL, Outcome.CONDITIONAL_FAIL} and y is not None:
            allowed, reason = permitted(self.limit, self.work.setting, one.reading, value, self.work.to)
            outcome, why = (Outcome.CONDITIONAL_PASS if allowed else outcome), reason or why
        return Verdict(
            one.reading.id, members, self.planned, self.work.sheet.item, self.ref, outcome, y, self.work.to.symbol,
            U, one.k, bounds.lower, bounds.upper, self.limit.strict,
            None if decision.chance is None else six(decision.chance), decision.margin, self.rule, why,
            steps + bounds.steps,
        )  # fmt: skip

    def _plain(self, one: Measured, outcome: Outcome, why: str, members: tuple[str, ...] = ()) -> Verdict:
        return Verdict(
            one.reading.id, members or (one.reading.id,), self.planned, self.work.sheet.item, self.ref, outcome, one.y,
            self.work.to.symbol, one.U, one.k, None, None, self.limit.strict, None, None, self.rule, why, one.steps,
        )  # fmt: skip


OF_MARK = "read off a mark, which has no doubt and is taken as it stands"
NO_DOUBT = "The doubt of the reading is not known, and the guard band cannot be laid without it."


def _scaled(y: Decimal, U: float | None, sheet: Sheet) -> tuple[Decimal, float | None, str] | str:
    """A leakage scaled to nominal mains: I · U_nominal / U_measured (IEC 62353:2014, 5.3.4; from memory)."""
    supply = sheet.supply
    if supply is None or supply.voltage is None or supply.nominal is None:
        return (
            "the supply voltage at the test, or the nominal voltage, is not recorded, and the reading is scaled by them"
        )
    volt = unit("V")
    assert volt is not None
    try:
        at, nominal = (
            amount_in(supply.voltage, volt, "the supply voltage"),
            amount_in(supply.nominal, volt, "the nominal voltage"),
        )
    except Unknown as reason:
        return str(reason)
    for what, volts in (("the supply voltage at the test", at), ("the nominal voltage", nominal)):
        if volts <= 0:
            return f"{what} is recorded as zero or less"
    factor = nominal / at
    scaled = (y * nominal / at).normalize()
    return (
        scaled,
        None if U is None else six(U * float(factor)),
        (f"scaled from {at.normalize():f} V to the nominal {nominal.normalize():f} V"),
    )


__all__ = ["candidates", "judge_sheet", "limit_ref"]
