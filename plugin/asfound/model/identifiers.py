"""What looks like a patient's identifier in a text: seen, named by its kind, never repeated.

The kinds are among those that 45 CFR 164.514(b)(2)(i) lists (confirmed): record numbers, dates of birth, telephone
numbers, addresses of electronic mail, social security numbers. Patterns cannot find every identifier, and names least
of all; what they find is precise enough to refuse a case on. Serial, lot, model and device numbers (UDI) are what an
investigation is made of, so a number that such a word introduces is never taken for a person's.
"""

from __future__ import annotations

import re
from collections.abc import Callable

RECORD_NUMBER = "a patient's record number"
BIRTH_DATE = "a date of birth"
TELEPHONE = "a telephone number"
MAIL = "an address of electronic mail"
SOCIAL_SECURITY = "a social security number"

# A word that makes the number after it one of a thing: "serial 118-20-3301", "lot no. 555-014-2233".
_OF_A_THING = re.compile(
    r"\b(?:serial|s/?n|lot|batch|model|part|p/n|ref|reference|catalogue|catalog|cat|order|article|item|asset|tag|seal|"
    r"udi|gtin|di|pi|version|firmware|software|certificate|job|invoice|port|channel|address)"
    r"\.?(?:\s*(?:number|numbers|no\.?|nr\.?|code|id|#))?\s*[:#=]?\s*\(?\Z",
    re.IGNORECASE,
)
_ROOM_BEFORE = 40

_NUMBER_WORD = r"(?:\s*(?:number|numbers|no\.?|nr\.?|id|#))"
_IS = r"\s*(?:[:#=]|is\b|was\b)?\s*"

# At least four digits, so that "patient no. 2" and "chart 12" stay what they are.
_NUMBER = r"(?=(?:[A-Z]{0,4}[\s-]?\d){1})[A-Z]{0,4}[ -]?(?:\d[ -]?){3,}\d"
_RECORD = re.compile(
    rf"\b(?:mrn|emrn|(?:medical|health|patient|hospital|clinical|case)[ -]record{_NUMBER_WORD}|"
    rf"(?:patient|hospital|chart|encounter|admission|case[ -]?note|health[ -]insurance|nhs|medicare){_NUMBER_WORD}|"
    rf"patient[ -]?id){_IS}{_NUMBER}",
    re.IGNORECASE,
)

_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sep(?:t(?:ember)?)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_DATE = (
    rf"(?:\d{{1,4}}[-/. ]\d{{1,2}}[-/. ]\d{{2,4}}|\d{{1,2}}(?:st|nd|rd|th)?[ .-]*{_MONTH}[ .,-]*\d{{2,4}}|"
    rf"{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?,? \d{{2,4}}|\d{{8}})"
)
_BIRTH = re.compile(
    rf"\b(?:dob\b|d\.o\.b\.|date of birth|birth ?dates?|birthday)(?:\s*(?:[:=]|is\b|was\b))?[\s(-]*{_DATE}|"
    rf"\bborn(?: on)?(?: the)?\s+{_DATE}",
    re.IGNORECASE,
)

# North American numbers in their usual groups; international ones with their plus, but no signed number in groups of
# three; any of seven digits after the word.
_GROUPED = re.compile(
    r"(?<![\w.-])(?:\+?1[ .-]?)?(?:\([2-9]\d\d\) ?[2-9]\d\d[-. ]|[2-9]\d\d([-.])[2-9]\d\d\1)\d{4}(?![\w-]|\.\d)"
)
_ABROAD = re.compile(
    r"(?<![\w.+-])(?!\+\d{1,3}(?: \d{3})+(?![ .-]?\d))(?=\+(?:\D{0,4}\d){9})"
    r"\+[1-9]\d{0,2}(?:[ .-]?\(0\))?(?:[ .-]?\d{2,5}){2,5}(?![\w-]|\.\d)"
)
_AFTER_WORD = re.compile(
    r"\b(?:tel|telephone|phone|mobile|cell ?phone|fax|pager|bleep)\b\.?(?:\s*(?:number|no\.?|nr\.?))?"
    r"(?:\s*(?:[:=]|is\b|was\b|at\b|on\b))?\s*\+?\(?\d(?:[ ()./-]{0,2}\d){6,14}(?!\d)",
    re.IGNORECASE,
)
# The word makes it certain; without it, the groups, and only numbers that were ever given out (the issuing authority's
# published rule: no area 000, 666 or 900 to 999, no group 00, no serial 0000; from memory).
_SOCIAL_WORD = re.compile(
    r"\b(?:ssn|social security(?: (?:number|no\.?))?)" + _IS + r"\d(?:[ -]?\d){8}\b", re.IGNORECASE
)
_SOCIAL = re.compile(r"(?<![\w./-])(?!000|666|9\d\d)\d{3}-(?!00)\d{2}-(?!0000)\d{4}(?![\w/-]|\.\d)")

_MAIL = re.compile(
    r"(?<![\w.+-])[A-Za-z0-9][\w.+-]*@(?=[\w.-]*[A-Za-z])[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)*\.[A-Za-z]{2,}\b"
)

_DIGIT = re.compile(r"\d")


def identifiers(text: str) -> tuple[str, ...]:
    """The kinds of identifiers a text seems to hold, each once, in a fixed order; never the identifiers themselves.

    >>> identifiers("MRN 4471-2290, tel. 555 0142 77"), identifiers("serial 118-20-3301, lot 25K118")
    (("a patient's record number", 'a telephone number'), ())
    """
    digits = len(_DIGIT.findall(text))
    if not digits and "@" not in text:
        return ()
    found = [kind for kind, least, seen in _KINDS if digits >= least and seen(text)]
    return tuple(dict.fromkeys(found))


def in_name(path: str) -> tuple[str, ...]:
    """The same for the name of a file, in which words are joined by signs: `MRN_44712290-wound.jpg`."""
    stem = path.rpartition("/")[2]
    head, dot, tail = stem.rpartition(".")
    stem = head if dot and len(tail) <= 5 else stem
    return tuple(dict.fromkeys((*identifiers(stem.replace("_", " ")), *identifiers(re.sub(r"[_.-]+", " ", stem)))))


def _whole(pattern: re.Pattern[str]) -> Callable[[str], bool]:
    return lambda text: pattern.search(text) is not None


def _unless_of_a_thing(*patterns: re.Pattern[str]) -> Callable[[str], bool]:
    def seen(text: str) -> bool:
        return any(
            _OF_A_THING.search(text[max(0, hit.start() - _ROOM_BEFORE) : hit.start()]) is None
            for pattern in patterns
            for hit in pattern.finditer(text)
        )

    return seen


_KINDS: tuple[tuple[str, int, Callable[[str], bool]], ...] = (
    (RECORD_NUMBER, 4, _whole(_RECORD)),
    (BIRTH_DATE, 3, _whole(_BIRTH)),
    (TELEPHONE, 7, _whole(_AFTER_WORD)),
    (TELEPHONE, 9, _unless_of_a_thing(_GROUPED, _ABROAD)),
    (MAIL, 0, _whole(_MAIL)),
    (SOCIAL_SECURITY, 9, _whole(_SOCIAL_WORD)),
    (SOCIAL_SECURITY, 9, _unless_of_a_thing(_SOCIAL)),
)
"""Each kind, with the fewest digits its patterns match: most texts hold fewer, and counting them costs a hundredth."""
