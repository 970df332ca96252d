"""Words of a verdict in running text, and whether they agree with what was computed.

Read narrowly: hypotheses (*would fail*, *if it passes*), functions (*failed to sound*) and movements (*the current
passed through*) are not verdicts, and a claim counts only beside the reading it cites.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import Enum
from functools import lru_cache

from msgspec import Struct

from asfound.model.facts import Facts
from asfound.model.verdict import Outcome, Verdict
from asfound.rules._texts import Clause, Said, clauses


class Claim(Enum):
    """What a text says of a reading."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"
    OVER = "over the limit"
    UNDER = "under the limit"


_LIMIT = (
    r"(?:(?:its|the|their|this|that|all|both|any|every|each|given|stated|upper|lower|permitted|allowed|maker's|relevant|"
    r"applicable|published|in-service|of|set|own)\s+)*"
    r"(?:limits?|tolerances?|specifications?|requirements?|bounds?|criteri(?:on|a)|standards?|"
    r"(?:IEC|ISO|EN|ANSI|AAMI|NFPA)\b(?:[/ ](?:ISO|IEC|AAMI|TR|HF)\b)*)"
)
_PATTERNS: tuple[tuple[Claim, str], ...] = (
    (Claim.CONDITIONAL_PASS, r"conditional(?:ly)? pass(?:es|ed)?|pass(?:es|ed)? conditionally"),
    (Claim.CONDITIONAL_FAIL, r"conditional(?:ly)? fail(?:s|ed)?|fail(?:s|ed)? conditionally"),
    (Claim.OVER, rf"(?:exceed(?:s|ed)?|(?:is|are|was|were|lies|lie|lay|stands?|stood)\s+(?:\w+\s+)?(?:above|over)|"
                 rf"(?:is|are|was|were)\s+(?:\w+\s+)?(?:higher|greater|more) than)\s+{_LIMIT}"),
    (Claim.UNDER, rf"(?:(?:is|are|was|were|lies|lie|lay|stands?|stood|stays?|stayed|falls?|fell)\s+(?:\w+\s+)?"
                  rf"(?:below|under)|(?:is|are|was|were)\s+(?:\w+\s+)?(?:lower|less|smaller) than)\s+{_LIMIT}"),
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
    r"(?:\b(?:not|never|nor|neither|no|none|nothing|cannot|without)\b|n['’]t\b)(?:\s+\w+){0,2}\s*$", re.I
)
_SUPPOSED = re.compile(
    r"\b(?:whether|if|unless|until|as though)\b[^,;.]*$"
    r"|\b(?:would|could|might|may|should|must|shall|to|can|will|before it|did it|does it)"
    r"(?:\s+(?:it|they|also|then|still|not|have|be|\w+ed))?\s*$",
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


class Words(Struct, frozen=True):
    """A claim and the words that make it."""

    claim: Claim
    text: str


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
                found.append((start, Words(said, shown)))
    return tuple(words for _, words in sorted(found, key=lambda one: one[0]))


def meant(claim: Claim, verdict: Verdict) -> Outcome:
    """The outcome a claim amounts to under one verdict's bounds."""
    if claim is Claim.OVER:
        return Outcome.FAIL if verdict.upper is not None else Outcome.PASS
    if claim is Claim.UNDER:
        return Outcome.PASS if verdict.upper is not None and verdict.lower is None else (
            Outcome.FAIL if verdict.lower is not None else Outcome.PASS
        )  # fmt: skip
    return Outcome(claim.value)


class Clash(Struct, frozen=True):
    """A claim beside a reading whose computed verdicts are others.

    `plain` is true where the text says pass or fail and the verdict is the conditional form of the same word.
    `said` is the outcome claimed, `computed` the outcomes there are (empty where nothing was computed).
    """

    ref: str
    words: str
    said: Outcome
    computed: tuple[Outcome, ...]
    plain: bool


_PLAIN = {Outcome.PASS: Outcome.CONDITIONAL_PASS, Outcome.FAIL: Outcome.CONDITIONAL_FAIL}


def clashes(facts: Facts, said: Said) -> Iterator[Clash]:
    """Claims of a text that the cited readings do not bear out, each reading once."""
    spoken: set[str] = set()
    for clause in clauses(said.text):
        words = claims(clause.text)
        if not words:
            continue
        for ref, verdicts in _cited(facts, clause):
            clash = _clash(ref, words, verdicts)
            if clash is not None and ref not in spoken:
                spoken.add(ref)
                yield clash


def _cited(facts: Facts, clause: Clause) -> Iterator[tuple[str, tuple[Verdict, ...]]]:
    for ref in clause.refs:
        if ref in facts.case.reading:
            own = facts.verdicts_of.get(ref, ())
            yield ref, tuple(one for one in own if one.subject == ref) or own


def _clash(ref: str, words: tuple[Words, ...], verdicts: tuple[Verdict, ...]) -> Clash | None:
    """A clause with several claims bears out a reading where one of them does."""
    computed = tuple(dict.fromkeys(one.outcome for one in verdicts))
    plain = False
    for one in words:
        if not verdicts:
            continue
        for verdict in verdicts:
            outcome = meant(one.claim, verdict)
            if outcome is verdict.outcome:
                return None
            # "Above the limit" is true of a conditional fail as well: it says where the value lies, not the verdict.
            if one.claim in {Claim.OVER, Claim.UNDER} and _PLAIN.get(outcome) is verdict.outcome:
                return None
            plain = plain or _PLAIN.get(outcome) is verdict.outcome
    first = words[0]
    said = meant(first.claim, verdicts[0]) if verdicts else (
        Outcome.PASS if first.claim in {Claim.PASS, Claim.UNDER, Claim.CONDITIONAL_PASS} else Outcome.FAIL
    )  # fmt: skip
    return Clash(ref, first.text, said, computed, plain)
