"""From a reading, its doubt and a limit to a decision.

Which side of a limit a reading lies on is settled in exact decimals. The chance that the true value meets the
limit is the conformance probability of JCGM 106:2012, clause 7, with a normal distribution of standard
deviation U / k about the reading.

Two rules. *Simple acceptance* takes the reading as it stands. *Guard band* (ILAC-G8:09/2019, the four-state
form; from memory) keeps a distance w = r U from the limit: pass beyond it on the good side, conditional
pass within it on the good side, conditional fail within it on the bad side, fail beyond. A reading at
exactly the distance w is still conditional.
"""

# U and u are two different quantities in JCGM 100, and k, r, y are its own letters.

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Context, Decimal

from msgspec import Struct, structs

from asfound.model.number import Value, ValueKind
from asfound.model.outcome import DecisionRule, Outcome

# Readings and limits have at most 30 digits and exponents within 30: their differences fit in this.
_EXACT = Context(prec=120, rounding=ROUND_HALF_EVEN)
_SQRT_HALF = math.sqrt(0.5)
_ZERO, _ONE = Decimal(0), Decimal(1)
_NO_DOUBT = "The doubt of the reading is not known, and the guard band cannot be laid without it."
_erfc = math.erfc


class Decision(Struct, frozen=True):
    """One decision with every number it rests on; all in one unit.

    outcome, rule         the verdict and the rule that gave it
    y, U, k               the reading (or the bound, for `<` and `>`), its expanded doubt, the coverage factor
    lower, upper          the limits; `strict_lower`, `strict_upper` where the limit itself does not meet it
    side                  `lower` or `upper`: the nearest limit; empty where there is none
    margin                distance to the nearest limit, positive on the good side
    guard                 w, the width of the guard band; None where no doubt is known
    chance                that the true value meets the limit, 0 to 1; None where it cannot be computed
    doubt_missing         decided, or left undecided, without a doubt
    why                   why it is not assessable, a sentence; else empty
    """

    outcome: Outcome
    rule: DecisionRule
    y: Decimal | None = None
    U: Decimal | None = None
    k: float = 2.0
    lower: Decimal | None = None
    upper: Decimal | None = None
    strict_lower: bool = False
    strict_upper: bool = False
    side: str = ""
    margin: Decimal | None = None
    guard: Decimal | None = None
    chance: float | None = None
    doubt_missing: bool = False
    why: str = ""


def _as_decimal(number: Decimal | float) -> Decimal:
    """A float counts as its shortest text, which is how it is printed."""
    return number if isinstance(number, Decimal) else Decimal(repr(float(number)))


def phi(z: float) -> float:
    """The standard normal distribution function, accurate in both tails."""
    return 0.5 * math.erfc(-z * _SQRT_HALF)


def conformance(y: float, u: float, lower: float | None, upper: float | None) -> float:
    """Chance that the true value lies within the limits (JCGM 106:2012, 7.3 and 7.4; from memory).

    y  the reading, u  its standard uncertainty, above 0.
    """
    if upper is not None and lower is not None:
        above, below = (upper - y) / u, (y - lower) / u
        # Subtract the two small tails from one another or from 1, never two numbers near 1.
        if above < 0.0:
            return max(0.0, phi(above) - phi(-below))
        if below < 0.0:
            return max(0.0, phi(below) - phi(-above))
        return max(0.0, 1.0 - phi(-above) - phi(-below))
    if upper is not None:
        return phi((upper - y) / u)
    if lower is not None:
        return phi((y - lower) / u)
    return 1.0


def _check(lower: Decimal | None, upper: Decimal | None, k: float, r: Decimal) -> None:
    if lower is not None and upper is not None and lower > upper:
        raise ValueError("the lower limit lies above the upper one")
    if not k > 0.0:
        raise ValueError("a coverage factor is above 0")
    if not r >= 0:
        raise ValueError("the guard band's ratio is 0 or more")


def decide(
    y: Decimal,
    U: Decimal | float | None,
    k: float = 2.0,
    *,
    lower: Decimal | None = None,
    upper: Decimal | None = None,
    strict_lower: bool = False,
    strict_upper: bool = False,
    rule: DecisionRule = DecisionRule.SIMPLE,
    r: Decimal = _ONE,
) -> Decision:
    """Decide on one number.

    y             the reading
    U, k          its expanded doubt, or None where it is not known, and the coverage factor
    lower, upper  resolved limits in the unit of y; None where there is none on that side
    r             width of the guard band in units of U

    Raises ValueError for limits that cross, or a U, k or r that cannot be; a reading never raises.
    """
    _check(lower, upper, k, r)
    size = None if U is None else _as_decimal(U)
    if size is not None and not (size.is_finite() and size >= 0):
        raise ValueError("an expanded doubt is a finite number, not below 0")
    guarded = rule is DecisionRule.GUARD_BAND
    guard = None if size is None else (_EXACT.multiply(r, size) if guarded else _ZERO)
    outcome, side, why = Outcome.NO_REQUIREMENT, "", ""
    margin: Decimal | None = None
    chance: float | None = None
    above = None if upper is None else _EXACT.subtract(upper, y)
    below = None if lower is None else _EXACT.subtract(y, lower)
    if above is not None and (below is None or above <= below):
        margin, side = above, "upper"
    elif below is not None:
        margin, side = below, "lower"
    if margin is not None:
        inside = _kept(above, strict_upper) and _kept(below, strict_lower)
        outcome = _outcome(margin, inside, guard, guarded)
        chance = _chance(size, k, below, above, inside)
        why = _NO_DOUBT if outcome is Outcome.NOT_ASSESSABLE else ""
    return Decision(
        outcome,
        rule,
        y,
        size,
        k,
        lower,
        upper,
        strict_lower,
        strict_upper,
        side,
        margin,
        guard,
        chance,
        size is None,
        why,
    )


def _kept(gap: Decimal | None, strict: bool) -> bool:
    """Whether one limit is met, from the distance to it."""
    return gap is None or (gap > 0 if strict else gap >= 0)


def _outcome(margin: Decimal, inside: bool, guard: Decimal | None, guarded: bool) -> Outcome:
    if not guarded:
        return Outcome.PASS if inside else Outcome.FAIL
    if guard is None:
        return Outcome.NOT_ASSESSABLE
    if inside:
        return Outcome.PASS if margin > guard else Outcome.CONDITIONAL_PASS
    return Outcome.FAIL if -margin > guard else Outcome.CONDITIONAL_FAIL


def _chance(size: Decimal | None, k: float, below: Decimal | None, above: Decimal | None, inside: bool) -> float | None:
    if size is None:
        return None
    u = float(size) / k
    if u == 0.0:
        return 1.0 if inside else 0.0
    # From the exact distances: a large reading close to its limit keeps its distance.
    return conformance(0.0, u, None if below is None else -float(below), None if above is None else float(above))


def decide_value(
    value: Value,
    U: Decimal | float | None,
    k: float = 2.0,
    *,
    lower: Decimal | None = None,
    upper: Decimal | None = None,
    strict_lower: bool = False,
    strict_upper: bool = False,
    rule: DecisionRule = DecisionRule.SIMPLE,
    r: Decimal = _ONE,
) -> Decision:
    """Decide on whatever a cell held.

    A number goes to `decide`. `<0.5` and `>20` decide only where the bound alone settles it: every value
    the reading may have must give the same verdict. Everything else is not assessable against limits in
    numbers, and says why.
    """
    kind = value.kind
    if kind is ValueKind.NUMBER and value.number is not None:
        return decide(
            value.number,
            U,
            k,
            lower=lower,
            upper=upper,
            strict_lower=strict_lower,
            strict_upper=strict_upper,
            rule=rule,
            r=r,
        )
    if kind in (ValueKind.BELOW, ValueKind.ABOVE) and value.number is not None:
        at_bound = decide(value.number, U, k, lower=lower, upper=upper, rule=rule, r=r)
        at_bound = structs.replace(
            at_bound, strict_lower=strict_lower, strict_upper=strict_upper, chance=None, doubt_missing=U is None
        )
        return _decide_bound(at_bound, kind is ValueKind.BELOW)
    base = Decision(
        Outcome.NO_REQUIREMENT, rule, None, None, k, lower, upper, strict_lower, strict_upper, doubt_missing=U is None
    )
    if lower is None and upper is None:
        return base
    return structs.replace(base, outcome=Outcome.NOT_ASSESSABLE, why=_why_not(value))


def _decide_bound(at: Decision, below: bool) -> Decision:
    """Decide from the bound. The reading lies strictly beyond it, so a limit at the bound is kept even if strict."""
    if at.lower is None and at.upper is None:
        return at
    y, guard = at.y, at.guard
    assert y is not None
    good, bad = (at.upper, at.lower) if below else (at.lower, at.upper)
    sign = "<" if below else ">"
    other = "below" if below else "above"
    guarded = at.rule is DecisionRule.GUARD_BAND
    if guarded and guard is None:
        return structs.replace(
            at,
            outcome=Outcome.NOT_ASSESSABLE,
            side="",
            margin=None,
            why=_NO_DOUBT,
        )
    width = guard if guarded and guard is not None else _ZERO
    # Distances from the bound, counted in the direction in which the reading lies.
    to_bad = None if bad is None else (_EXACT.subtract(bad, y) if below else _EXACT.subtract(y, bad))
    to_good = None if good is None else (_EXACT.subtract(good, y) if below else _EXACT.subtract(y, good))
    if to_bad is not None and to_bad >= width:
        return structs.replace(
            at,
            outcome=Outcome.FAIL,
            side="lower" if below else "upper",
            margin=-to_bad,
        )
    if bad is None and to_good is not None and to_good >= width:
        return structs.replace(
            at,
            outcome=Outcome.PASS,
            side="upper" if below else "lower",
            margin=to_good,
        )
    return structs.replace(
        at,
        outcome=Outcome.NOT_ASSESSABLE,
        side="",
        margin=None,
        why=f"{sign}{y} says only that the reading lies {other} {y}, which does not settle the verdict.",
    )


def _why_not(value: Value) -> str:
    """Why a cell that is no number cannot be held against a limit in numbers, as a sentence."""
    if value.kind in (ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE):
        return f"It was {value.kind}: {value.why}."
    if value.kind is ValueKind.BLANK:
        return "No value was written down."
    if value.kind in (ValueKind.OVER_RANGE, ValueKind.UNDER_RANGE):
        end = "largest" if value.kind is ValueKind.OVER_RANGE else "smallest"
        sign = ">" if value.kind is ValueKind.OVER_RANGE else "<"
        return (
            f"The instrument showed {value.kind}; written as {sign} and the {end} value of the range, "
            "it could be held against the limit."
        )
    if value.kind is ValueKind.NO_OUTPUT:
        return (
            "There was no output; written as < and the smallest value the instrument can show, "
            "it could be held against the limit."
        )
    return f'"{value.text}" is not a number, and the limit is one.'


def decider(
    *,
    lower: Decimal | None = None,
    upper: Decimal | None = None,
    strict_lower: bool = False,
    strict_upper: bool = False,
    rule: DecisionRule = DecisionRule.SIMPLE,
    k: float = 2.0,
    r: Decimal = _ONE,
) -> Callable[[Decimal, float | None], tuple[Outcome, float | None]]:
    """For many rows against one limit: a function of (reading, U) that gives (outcome, chance) as `decide` does.

    It works in binary numbers and hands the row to `decide` whenever a comparison is too close for them.
    """
    _check(lower, upper, k, r)
    guarded = rule is DecisionRule.GUARD_BAND
    low = -math.inf if lower is None else float(lower)
    high = math.inf if upper is None else float(upper)
    one_sided = lower is None or upper is None
    no_limit = lower is None and upper is None
    # Largest error of a difference of two rounded numbers, relative to their size, with room to spare.
    near = 1e-14
    largest = max(abs(value) for value in (low, high, 0.0) if math.isfinite(value))
    ratio = float(r)
    half = _SQRT_HALF * k
    passed, failed = Outcome.PASS, Outcome.FAIL
    maybe, hardly = Outcome.CONDITIONAL_PASS, Outcome.CONDITIONAL_FAIL

    def exactly(y: Decimal, U: float | None) -> tuple[Outcome, float | None]:
        full = decide(
            y,
            U,
            k,
            lower=lower,
            upper=upper,
            strict_lower=strict_lower,
            strict_upper=strict_upper,
            rule=rule,
            r=r,
        )
        return full.outcome, full.chance

    def row(y: Decimal, U: float | None) -> tuple[Outcome, float | None]:
        if U is None or not 0.0 < U < math.inf or no_limit:
            return exactly(y, U)
        value = float(y)
        above, below = high - value, value - low
        margin = above if above < below else below
        room = near * (largest + abs(value))
        scale = half / U
        if -room <= margin <= room or room * scale > 1e-9:
            return exactly(y, U)
        if guarded:
            width = ratio * U
            gap = (margin if margin > 0.0 else -margin) - width
            if -room - near * width <= gap <= room + near * width:
                return exactly(y, U)
            outcome = (passed if gap > 0.0 else maybe) if margin > 0.0 else (failed if gap > 0.0 else hardly)
        else:
            outcome = passed if margin > 0.0 else failed
        if one_sided:
            return outcome, 0.5 * _erfc(-margin * scale)
        # As in `conformance`, written out: a call costs as much as the rest of the row.
        if above < 0.0:
            return outcome, max(0.0, 0.5 * (_erfc(-above * scale) - _erfc(below * scale)))
        if below < 0.0:
            return outcome, max(0.0, 0.5 * (_erfc(-below * scale) - _erfc(above * scale)))
        return outcome, 1.0 - 0.5 * (_erfc(above * scale) + _erfc(below * scale))

    return row
