"""The kinds of link a conclusion can hang on: the strongest level each bears, and what would make it bear more."""

from __future__ import annotations

from msgspec import Struct

from asfound.model.reasoning import ConfidenceLevel
from asfound.model.weighing import Link

_OPEN, _POSSIBLE, _PROBABLE = ConfidenceLevel.UNDETERMINED, ConfidenceLevel.POSSIBLE, ConfidenceLevel.PROBABLE


class LinkKind(Struct, frozen=True):
    """A kind of link; among links that bear the same, the one that stands first in this file is called the weakest."""

    caps: ConfidenceLevel
    would_raise: str


KINDS: dict[str, LinkKind] = {
    "none-stands-out": LinkKind(_OPEN, "A test that parts the explanations that stand side by side."),
    "no-explanation": LinkKind(_OPEN, "An explanation, with what would have to be true for it, and a test of that."),
    "named-has-fallen": LinkKind(_OPEN, "Another explanation; this one does not hold."),
    "named-has-nothing": LinkKind(_OPEN, "Evidence of its own for the explanation that is named."),
    "rival-at-same-level": LinkKind(_OPEN, "A test that parts the two."),
    "contradiction-unanswered": LinkKind(_POSSIBLE, "An answer to what speaks against it, or a test that settles it."),
    "need-in-dispute": LinkKind(_POSSIBLE, "A further test that settles which of the two is so."),
    "need-not-shown": LinkKind(_POSSIBLE, "Evidence that shows it, or that shows it false."),
    "need-out-of-reach": LinkKind(_POSSIBLE, "A test able to reach it."),
    "need-untested": LinkKind(_POSSIBLE, "A test of it."),
    "rival-not-separated": LinkKind(_POSSIBLE, "A test that parts the two, planned as such."),
    "rival-not-tested": LinkKind(_POSSIBLE, "A test of the rival, or the record that shows it is not in play."),
    "no-rival": LinkKind(_POSSIBLE, "Rival explanations, each with what would part it from this one."),
    "custody-unaccounted": LinkKind(_POSSIBLE, "An account of who had the thing, signed by whoever can give it."),
    "custody-accounted": LinkKind(_PROBABLE, "Custody without such a while, which cannot be had any more."),
    "device-not-impounded": LinkKind(_POSSIBLE, "The thing itself, impounded and examined."),
    "item-not-impounded": LinkKind(_PROBABLE, "The thing itself, impounded and examined."),
    "exemplar-instead": LinkKind(_POSSIBLE, "The same test on the thing that was in use."),
    "exemplar-fitted": LinkKind(_PROBABLE, "The same test with the part that was in use."),
    "instrument-unfit": LinkKind(_POSSIBLE, "The same test with an instrument in date, or a later check of this one."),
    "instrument-indicative": LinkKind(_PROBABLE, "The same test with an instrument in date."),
    "instruments-disagree": LinkKind(
        _POSSIBLE, "A third instrument at the same conditions, or what the two did not have in common, found."
    ),
    "after-adjustment": LinkKind(_POSSIBLE, "A reading from before anything was adjusted."),
    "exception-on-the-way": LinkKind(_POSSIBLE, "What the exception lifted, done."),
    "exceptions": LinkKind(_POSSIBLE, "What the exceptions lifted, done."),
    "exception": LinkKind(_PROBABLE, "What the exception lifted, done."),
    "only-modelled": LinkKind(_PROBABLE, "A measurement of the same on the things themselves, set as found."),
    "only-told": LinkKind(_PROBABLE, "A thing measured, seen or recorded that shows the same."),
    "time-not-provable": LinkKind(_PROBABLE, "A record of the same state with its time."),
    "limit-unconfirmed": LinkKind(_PROBABLE, "The limit held against a bought copy of its document."),
    "verdict-conditional": LinkKind(_PROBABLE, "A reading whose doubt does not reach over its limit."),
    "as-found-unknown": LinkKind(_PROBABLE, "A record of the settings as found."),
    "not-reproduced": LinkKind(
        _PROBABLE, "The event reproduced on the things themselves, as they were set and with what was fitted."
    ),
    "intermittent-not-provoked": LinkKind(_PROBABLE, "A test that provokes what comes and goes."),
    "rival-standing": LinkKind(_PROBABLE, "A test that rules the rival out, or weakens it."),
    "rival-only-observed": LinkKind(_PROBABLE, "A test able to reach the rival."),
    "set-aside-on-words": LinkKind(_PROBABLE, "The record that shows it was not in play."),
    "mechanism-no-stronger": LinkKind(_PROBABLE, "A stronger mechanism: why it came to be so hangs on it."),
    "not-independent": LinkKind(_PROBABLE, "A review by somebody without ties, from outside."),
    "not-reviewed": LinkKind(_PROBABLE, "A review by somebody other than the examiner."),
}  # fmt: skip
"""By name. `mechanism-no-stronger` bears what the mechanism bears."""

_ORDER = {name: number for number, name in enumerate(KINDS)}


def link(name: str, refs: tuple[str, ...], text: str, caps: ConfidenceLevel | None = None) -> Link:
    """A link of a known kind. Raises KeyError for another."""
    kind = KINDS[name]
    return Link(name, caps or kind.caps, refs, text, kind.would_raise)


def order(one: Link) -> int:
    """Where a kind of link stands among those that bear the same."""
    return _ORDER[one.name]
