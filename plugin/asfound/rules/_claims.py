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
from asfound.rules._work import JUDGED


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
    for clause in clauses(said.text):
        words = claims(clause.text)
        if not words:
            continue
        for ref, verdicts in _cited(facts, clause):
            clash = _clash(ref, clause.text, words, verdicts)
            if clash is not None and ref not in spoken:
                spoken.add(ref)
                yield clash


def _cited(facts: Facts, clause: Clause) -> Iterator[tuple[str, tuple[Verdict, ...]]]:
    for ref in clause.refs:
        if ref in facts.case.reading:
            own = facts.verdicts_of.get(ref, ())
            yield ref, tuple(one for one in own if one.subject == ref) or own


def _clash(ref: str, text: str, words: tuple[Words, ...], verdicts: tuple[Verdict, ...]) -> Clash | None:
    """A clause with several claims bears out a reading where one of them does.

    A reading that is held against several limits passes where it passes all; a clause may tell one limit from the rest.
    """
    claim = words[0]
    told = tuple(dict.fromkeys(_told(claim, one) for one in verdicts))
    if len(words) == 1 and claim.claim is Claim.PASS and not _ONE_OF_THEM.search(text):
        against = {one.outcome for one in verdicts} & _AGAINST
        if against:
            return Clash(ref, claim.text, told, against == {Outcome.CONDITIONAL_PASS})
    if any(borne_out(one, verdict) for one in words for verdict in verdicts):
        return None
    conditional = {_PLAIN.get(one.claim) for one in words}
    return Clash(ref, claim.text, told, any(one.outcome in conditional for one in verdicts))


def _told(claim: Words, verdict: Verdict) -> str:
    """An outcome; beside a claim of *above* or *below*, also on which side of which bound the value lies."""
    if not claim.bound or verdict.value is None or verdict.outcome not in JUDGED:
        return str(verdict.outcome)
    sides = [
        f"{'above' if verdict.value > limit else 'below' if verdict.value < limit else 'at'} its {bound} limit"
        for bound, limit in (("lower", verdict.lower), ("upper", verdict.upper))
        if limit is not None
    ]
    return f"{verdict.outcome}, {' and '.join(sides)}" if sides else str(verdict.outcome)
