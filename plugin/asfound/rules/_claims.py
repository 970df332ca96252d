"""Words of a verdict in running text, and whether they agree with what was computed.

Read narrowly: hypotheses (*would fail*, *if it passes*), functions (*failed to sound*) and movements (*the current
passed through*) are not verdicts, and a claim counts only beside the reading it cites.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from enum import Enum
from functools import lru_cache

from msgspec import Struct

from asfound.measure.units import unit
from asfound.model.facts import Facts
from asfound.model.number import ValueKind
from asfound.model.verdict import Outcome, Verdict
from asfound.model.work import Reading
from asfound.rules._texts import Clause, Said, clauses
from asfound.rules._work import JUDGED, in_unit
from asfound.verdicts.sizes import DIRECTED


class Claim(Enum):
    """What a text says of a reading."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"
    OVER = "over the limit"
    UNDER = "under the limit"


_LIMIT = (
    r"(?P<limit>(?:(?:its|the|their|this|that|all|both|any|every|each|given|stated|upper|lower|maximum|minimum|permitted|"
    r"allowed|maker's|relevant|applicable|published|in-service|of|set|own)\s+)*"
    r"(?:limits?|tolerances?|specifications?|requirements?|bounds?|criteri(?:on|a)|standards?|"
    r"(?:IEC|ISO|EN|ANSI|AAMI|NFPA)\b(?:[/ ](?:ISO|IEC|AAMI|TR|HF)\b)*))"
)
_STANDS = (
    r"(?:is|are|was|were|lies|lie|lay|stands?|stood|stays?|stayed|remains?|remained|reads?|rises?|rose|falls?|fell)"
    r"\s+(?:\w+\s+)?"
)
_PATTERNS: tuple[tuple[Claim, str], ...] = (
    (Claim.CONDITIONAL_PASS, r"conditional(?:ly)? pass(?:es|ed)?|pass(?:es|ed)? conditionally"),
    (Claim.CONDITIONAL_FAIL, r"conditional(?:ly)? fail(?:s|ed)?|fail(?:s|ed)? conditionally"),
    (Claim.OVER, rf"(?:exceed(?:s|ed)?|{_STANDS}(?:above|over)|"
                 rf"(?:is|are|was|were)\s+(?:\w+\s+)?(?:higher|greater|more) than)\s+{_LIMIT}"),
    (Claim.UNDER, rf"(?:{_STANDS}(?:below|under)|(?:is|are|was|were)\s+(?:\w+\s+)?(?:lower|less|smaller) than)"
                  rf"\s+{_LIMIT}"),
    (Claim.FAIL, rf"fail(?:s|ed)? to (?:meet|satisfy|fulfil|comply with|conform (?:to|with)|(?:stay|lie|remain) within)"
                 rf"\s+{_LIMIT}"),
    (Claim.FAIL, rf"(?:outside|out of|beyond)\s+{_LIMIT}"),
    (Claim.PASS, rf"within\s+{_LIMIT}"),
    (Claim.PASS, rf"(?:meets?|met|satisf(?:y|ies|ied)|compl(?:y|ies|ied) with)\s+{_LIMIT}"),
    (Claim.PASS, rf"conform(?:s|ed)? (?:to|with)\s+{_LIMIT}"),
    (Claim.FAIL, r"fail(?:s|ed)?\b(?!\s+(?:to|safe|secure|on|in use|when|after|during|while)\b)"),
    (Claim.PASS, r"pass(?:es|ed)?\b(?!\s+(?:through|into|from|over|along|between|under|to|by|on|out|across|down|around|"
                 r"beneath|within|an?\b|current|gas|air|water|fluid))"),
)  # fmt: skip
_COMPILED = tuple((claim, re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)) for claim, pattern in _PATTERNS)
_NEGATED = re.compile(
    r"(?:\b(?:not(?!\s+(?:only|just|merely)\b)|never|nor|neither|no|none|nothing|cannot|without)\b|n['’]t\b)"
    r"(?:\s+\w+){0,2}\s*$"
    r"|\b(?:none|neither|not one|no \w+) of(?:[\s,]+\w+){1,4}[\s,]*$",
    re.IGNORECASE,
)
_SUPPOSED = re.compile(
    r"\b(?:whether|if|unless|until|as though)\b[^,;.]*$"
    r"|\b(?:would|could|might|may|should|must|shall|to|can|will|before it|did it|does it)"
    r"(?:\s+(?:it|they|also|then|still|not|have|be|\w+ed))?\s*$",
    re.IGNORECASE,
)
# What is put right in the same breath: *not a pass but a conditional pass* claims the second, and denies nothing of it.
_PUT_RIGHT = re.compile(
    r"\b(?:not|no)\s+(?:an?\s+)?(?:plain\s+|clear\s+|simple\s+)?(?:pass|fail)(?:es|ed|s|ure)?,?\s+but\s+(?:only\s+)?"
    r"(?=(?:an?\s+)?conditional|(?:pass|fail)(?:es|ed|s)?\s+conditionally)",
    re.IGNORECASE,
)
_OPPOSITE = {
    Claim.PASS: Claim.FAIL,
    Claim.FAIL: Claim.PASS,
    Claim.OVER: Claim.UNDER,
    Claim.UNDER: Claim.OVER,
    Claim.CONDITIONAL_PASS: None,
    Claim.CONDITIONAL_FAIL: None,
}


# Words that tell one limit of several from the others.
_ONE_OF_THEM = re.compile(
    r"maker|manufacturer|\b(?:IEC|ISO|EN|ANSI|AAMI|NFPA|published|in.service|acceptance|exemplar|house|facility|custom|"
    r"set|first|second|one|other|upper|lower|maximum|minimum|this|that|own|stated|given)\b",
    re.IGNORECASE,
)


class Words(Struct, frozen=True):
    """A claim and the words that make it.

    bound  of *above* and *below*: the bound that is meant, `upper` or `lower`
    named  whether the words name that bound; else the only bound there is may be meant
    """

    claim: Claim
    text: str
    bound: str = ""
    named: bool = False


@lru_cache(maxsize=4096)
def claims(text: str) -> tuple[Words, ...]:
    """The verdict words of a text, in order."""
    found: list[tuple[int, Words]] = []
    taken: list[tuple[int, int]] = []
    for claim, pattern in _COMPILED:
        for match in pattern.finditer(text):
            start, end = match.span()
            if any(start < stop and begin < end for begin, stop in taken):
                continue
            taken.append((start, end))
            before = text[:start]
            if _SUPPOSED.search(before):
                continue
            said: Claim | None = claim
            shown = match.group(0)
            if negation := _NEGATED.search(before):
                said = _OPPOSITE[claim]
                shown = negation.group(0).strip() + " " + shown
            if said is not None:
                found.append((start, Words(said, shown, *_bound(claim, match))))
    return tuple(words for _, words in sorted(found, key=lambda one: one[0]))


def _bound(claim: Claim, match: re.Match[str]) -> tuple[str, bool]:
    """Which bound *above* and *below* speak of. *Not above* speaks of the same one as *above*."""
    if claim not in {Claim.OVER, Claim.UNDER}:
        return "", False
    limit = match["limit"].casefold().split()
    for bound, names in (("upper", {"upper", "maximum"}), ("lower", {"lower", "minimum"})):
        if names & set(limit):
            return bound, True
    return "upper" if claim is Claim.OVER else "lower", False


def borne_out(words: Words, verdict: Verdict) -> bool:
    """Whether a verdict is the one that is claimed.

    *Above* and *below* say where the value lies, not the verdict: above an upper limit it fails, above a lower one it
    passes, and what is permitted beyond its limit all the same is beyond it.
    """
    if words.claim not in {Claim.OVER, Claim.UNDER}:
        return Outcome(words.claim.value) is verdict.outcome
    if verdict.outcome not in JUDGED:
        return False
    bound = words.bound
    at = {"upper": verdict.upper, "lower": verdict.lower}
    if at[bound] is None and not words.named:
        bound = "lower" if bound == "upper" else "upper"
    limit = at[bound]
    if limit is None or verdict.value is None:
        return False
    if verdict.value != limit:
        return (verdict.value > limit) is (words.claim is Claim.OVER)
    # At the limit itself, and for `>500` against 500, the verdict tells whether it is kept.
    beyond = verdict.outcome in _ADVERSE
    return beyond is ((bound == "upper") is (words.claim is Claim.OVER))


class Clash(Struct, frozen=True):
    """A claim beside a reading whose computed verdicts are others.

    `plain` is true where the text says pass or fail and the verdict is the conditional form of the same word.
    `computed` are the outcomes there are (empty where nothing was computed), in words.
    """

    ref: str
    words: str
    computed: tuple[str, ...]
    plain: bool


_ADVERSE = frozenset({Outcome.FAIL, Outcome.CONDITIONAL_FAIL})
_PLAIN = {Claim.PASS: Outcome.CONDITIONAL_PASS, Claim.FAIL: Outcome.CONDITIONAL_FAIL}
_AGAINST = _ADVERSE | {Outcome.CONDITIONAL_PASS}


def clashes(facts: Facts, said: Said) -> Iterator[Clash]:
    """Claims of a text that the cited readings do not bear out, each reading once."""
    spoken: set[str] = set()
    for clause in clauses(_PUT_RIGHT.sub("", said.text)):
        words = claims(clause.text)
        if not words:
            continue
        for ref, verdicts in _cited(facts, clause):
            clash = _clash(ref, clause.text, words, verdicts)
            if clash is not None and ref not in spoken:
                spoken.add(ref)
                yield clash


def _cited(facts: Facts, clause: Clause) -> Iterator[tuple[str, tuple[Verdict | Beside, ...]]]:
    for ref in clause.refs:
        if ref not in facts.case.reading:
            continue
        all_of_it = facts.verdicts_of.get(ref, ())
        own = tuple(one for one in all_of_it if one.subject == ref)
        groups = tuple(_beside(facts, clause, ref, one) for one in all_of_it if one.subject != ref)
        # What is judged by itself is beyond the limit of a group too, where it lies beyond it.
        yield ref, own + tuple(one for one in groups if not own or (isinstance(one, Beside) and one.beyond))


class Beside(Struct, frozen=True):
    """A reading that was judged with another: the verdict on that one, and where the reading itself lies.

    together  whether the other one is cited beside it, so that a *fail* is said of both
    """

    of: Verdict
    value: Decimal
    together: bool

    @property
    def beyond(self) -> bool:
        """Whether the reading lies beyond the limit itself."""
        upper = self.of.upper
        return upper is not None and (self.value > upper or (self.value == upper and self.of.strict))

    def bears_out(self, words: Words) -> bool:
        """Whether what is claimed holds of this reading.

        It passes where the highest passes. Where that one fails, the others are not beyond the limit for it; and where
        a value lies is said of no other value.
        """
        if words.claim in {Claim.OVER, Claim.UNDER}:
            itself = Outcome.FAIL if self.beyond else Outcome.PASS
            return self.of.outcome in JUDGED and borne_out(words, self.of._replace(value=self.value, outcome=itself))
        if words.claim in {Claim.FAIL, Claim.CONDITIONAL_FAIL} and not (self.beyond or self.together):
            return False
        return borne_out(words, self.of)

    def told(self) -> str:
        """The outcome, and whose it is; on which side of the limit this reading lies."""
        said = f"{self.of.outcome}, that of {self.of.subject}, with which it is judged"
        return f"{said}; it lies {_side(self.value, 'upper', self.of.upper)}" if self.of.upper is not None else said


def _beside(facts: Facts, clause: Clause, ref: str, verdict: Verdict) -> Verdict | Beside:
    value = _value_beside(facts.case.reading[ref], facts.case.reading.get(verdict.subject), verdict)
    return verdict if value is None else Beside(verdict, value, verdict.subject in clause.refs)


def _value_beside(reading: Reading, top: Reading | None, verdict: Verdict) -> Decimal | None:
    """The value of a reading judged with another as that one was held against the limit: in its unit, by its size,
    scaled alike. None where either is no number, or there is no upper limit that the highest could speak to."""
    if top is None or verdict.upper is None or verdict.value is None:
        return None
    if reading.value.kind is not ValueKind.NUMBER or top.value.kind is not ValueKind.NUMBER:
        return None
    numbers = (reading.value.number, top.value.number)
    one, highest = (None if part is None else in_unit(part, of.unit, verdict.unit)
                    for part, of in zip(numbers, (reading, top), strict=True))  # fmt: skip
    known = unit(verdict.unit)
    if one is None or highest is None or known is None:
        return None
    if known.quantity.value in DIRECTED and verdict.upper >= 0:
        one, highest = abs(one), abs(highest)
    return one if highest in (verdict.value, Decimal(0)) else one * verdict.value / highest


def _clash(ref: str, text: str, words: tuple[Words, ...], verdicts: tuple[Verdict | Beside, ...]) -> Clash | None:
    """A clause with several claims bears out a reading where one of them does.

    A reading that is held against several limits passes where it passes all; a clause may tell one limit from the rest.
    """
    claim = words[0]
    told = tuple(dict.fromkeys(_told(claim, one) for one in verdicts))
    outcomes = [one.of.outcome if isinstance(one, Beside) else one.outcome for one in verdicts]
    if len(words) == 1 and claim.claim is Claim.PASS and not _ONE_OF_THEM.search(text):
        against = set(outcomes) & _AGAINST
        if against:
            return Clash(ref, claim.text, told, against == {Outcome.CONDITIONAL_PASS})
    if any(_holds(one, verdict) for one in words for verdict in verdicts):
        return None
    conditional = {_PLAIN.get(one.claim) for one in words}
    return Clash(ref, claim.text, told, any(one in conditional for one in outcomes))


def _holds(words: Words, verdict: Verdict | Beside) -> bool:
    return verdict.bears_out(words) if isinstance(verdict, Beside) else borne_out(words, verdict)


def _told(claim: Words, verdict: Verdict | Beside) -> str:
    """An outcome; beside a claim of *above* or *below*, also on which side of which bound the value lies."""
    if isinstance(verdict, Beside):
        return verdict.told()
    if not claim.bound or verdict.value is None or verdict.outcome not in JUDGED:
        return str(verdict.outcome)
    value = verdict.value
    bounds = (("lower", verdict.lower), ("upper", verdict.upper))
    sides = [_side(value, bound, limit) for bound, limit in bounds if limit is not None]
    return f"{verdict.outcome}, {' and '.join(sides)}" if sides else str(verdict.outcome)


def _side(value: Decimal, bound: str, limit: Decimal) -> str:
    return f"{'above' if value > limit else 'below' if value < limit else 'at'} its {bound} limit"
