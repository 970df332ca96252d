"""Bounds for results that are shares themselves: a deviation is told in per cent of its setting, and so is its limit.

Ten per cent of the setting allow a deviation of ten per cent, whatever the setting: to reckon the share of a setting
once more would compare per cent with watts, or, where the setting is one in per cent, with a tenth of what is meant.
"""

from __future__ import annotations

from asfound.measure.units import Unit
from asfound.model.base import Amount
from asfound.model.limits import Bound, Fixed, Greatest, LeakagePower, Limit, Percent, Sense, Sum
from asfound.model.work import Reading
from asfound.verdicts.bounds import Resolved, resolve
from asfound.verdicts.context import Setting, Unknown, words

WHOLE = {"deviation": "setting", "linearity": "", "port agreement": ""}
"""Kinds of results in per cent, and the known thing they are a share of; empty where a limit cannot name it."""
_OF = {
    "deviation": "its setting",
    "linearity": "the straight line through zero",
    "port agreement": "the other port",
}


def resolve_share(kind: str, limit: Limit, setting: Setting, reading: Reading, test: str, to: Unit) -> Resolved:
    """The bounds for a result of some kind, in its unit; for one that is no share, those of `resolve`.

    What is within a share of the setting around the setting, or at most that share, may stray so far to either side.
    Raises Unknown where a share of something else is asked for, and as `resolve` does.
    """
    if kind not in WHOLE:
        return resolve(limit, setting, reading, test, to)
    if limit.around is not None and limit.around != WHOLE[kind]:
        raise Unknown(_not(kind, limit.around))
    sides = {name: _plain(getattr(limit, name), kind) for name in ("bound", "low", "high")}
    plain = limit.model_copy(update=sides)
    if limit.sense not in (Sense.WITHIN, Sense.AT_MOST):
        return resolve(plain, setting, reading, test, to)
    found = resolve(plain.model_copy(update={"sense": Sense.AT_MOST}), setting, reading, test, to)
    assert found.upper is not None
    said = f"a {kind} is a share of {_OF[kind]} and counts to either side"
    return Resolved(-found.upper, found.upper, (said, *found.steps))


def _plain(bound: Bound | None, kind: str) -> Bound | None:
    """A bound with its shares of what the result is a share of as plain per cent."""
    if isinstance(bound, Percent):
        if not WHOLE[kind] or bound.of != WHOLE[kind]:
            raise Unknown(_not(kind, bound.of))
        return Fixed(kind="fixed", value=Amount.read(f"{bound.percent} %"))
    if isinstance(bound, LeakagePower):
        raise Unknown(_not(kind, bound.of))
    if isinstance(bound, Greatest):
        return bound.model_copy(update={"among": tuple(_plain(one, kind) for one in bound.among)})
    if isinstance(bound, Sum):
        return bound.model_copy(update={"terms": tuple(_plain(one, kind) for one in bound.terms)})
    return bound


def _not(kind: str, asked: str) -> str:
    return (
        f"a {kind} is told in per cent of {_OF[kind]}, and the limit asks for a share of {words(asked)}; a fixed bound "
        "in % is needed"
    )
