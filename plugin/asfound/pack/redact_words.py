"""Words of a redacted edition: labels for what leads back, times since the event, and texts without either."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable
from decimal import Decimal

from msgspec import Struct, field

from asfound.model.base import Moment
from asfound.model.identifiers import identifiers

SHORTEST = 4
"""Letters and digits an identifier must have to be looked for within other words. A shorter one is taken out where it
stands by itself: `12` within `112.5 W` is no lot."""

LEFT_OUT = "[left out]"
WITHHELD = "[a text that seemed to hold an identifier of a person was left out]"

_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sep(?:t(?:ember)?)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_ZONE = r"(?: ?(?:Z|UTC|[+\-\u2212]\d{2}:?\d{2}))?"
_DATE = re.compile(
    rf"(?<!\d)(?:19|20|21)\d\d[-/.](?:0?[1-9]|1[0-2])(?:[-/.]\d{{1,2}})?(?!\d)(?:[T ]\d{{1,2}}:\d{{2}}(?::\d{{2}}"
    rf"(?:\.\d+)?)?{_ZONE})?|(?<![\w-])(?<!\d\.)\d{{1,2}}[-/.]\d{{1,2}}[-/.](?:19|20|21)?\d\d(?!\d)|"
    rf"\b\d{{1,2}}(?:st|nd|rd|th)?(?: of)?[ -]{_MONTH}\b(?:,?[ -]\d{{2,4}}\b)?|"
    rf"\b{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?\b(?:,? \d{{4}}\b)?|\b{_MONTH} (?:19|20|21)\d\d\b|"
    r"(?<!\d)(?:19|20|21)\d\d(?:0[1-9]|1[0-2])(?:[0-2]\d|3[01])(?!\d)",
    re.IGNORECASE,
)
_TIME = re.compile(
    rf"(?:(?<!\w)[+\-\u2212]|(?<![\d:.]))(?:[01]?\d|2[0-3]):[0-5]\d(?::[0-5]\d(?:\.\d+)?)?(?![\d:]){_ZONE}"
)
_PLACE = re.compile(
    r"\b(?:ward|room|theatre|bay|bed|floor|building|wing|suite|clinic)s? (?:no\.? ?|number )?"
    r"(?:[a-z]{0,3}[-/ _]?\d[\w/-]*)(?!\s*[°%]|\.\d)",
    re.IGNORECASE,
)
_ARTICLE = re.compile(r"\bthe ((?:person|place|maker|owner|organisation) \d+)", re.IGNORECASE)
_DOUBLED = re.compile(r"\b(serial|lot|seal|model|software|certificate|place|person) (\1 \d+)", re.IGNORECASE)
"""`serial serial 1`: the word stood before the original already."""
_VERSION = re.compile(r"\b(software|firmware|version)s? v?\d+(?:\.\w+)+", re.IGNORECASE)
_WEEKDAY = re.compile(r"\b(?:mon|tues|wednes|thurs|fri|satur|sun)days?\b", re.IGNORECASE)
_DIGEST = re.compile(r"\b[0-9a-f]{32,128}\b", re.IGNORECASE)
_ADDRESS = re.compile(r"\b(?:https?|ftp|file)://\S+|\bwww\.\S+", re.IGNORECASE)


class Labels(Struct, frozen=True):
    """Originals and the labels they stand under: kind and original → `serial 2`."""

    of: dict[tuple[str, str], str] = field(default_factory=dict)

    def give(self, kind: str, original: str) -> str:
        """The label of an original; a new one where it has none yet."""
        key = (kind, " ".join(original.split()).casefold())
        if key not in self.of:
            self.of[key] = f"{kind} {self.counted().get(kind, 0) + 1}"
        return self.of[key]

    def counted(self) -> dict[str, int]:
        """Kind → how many labels there are."""
        found: dict[str, int] = {}
        for label in dict.fromkeys(self.of.values()):
            kind = label.rpartition(" ")[0]
            found[kind] = found.get(kind, 0) + 1
        return found


_OF_ROLES = frozenset(
    (
        "agent", "anaesthetist", "assistant", "attending", "biomedical", "circulating", "clinical", "clinician",
        "coordinator", "counsel", "custodian", "doctor", "engineer", "equipment", "evidence", "examiner", "inspector",
        "maintainer", "maker", "makers", "manager", "manufacturer", "manufacturers", "night", "nurse", "of", "officer",
        "on", "operating", "operator", "owner", "owners", "pad", "patient", "patients", "physician", "porter", "pump",
        "reader", "representative", "reviewer", "risk", "safety", "second", "service", "shift", "skin", "staff",
        "surgeon", "technician", "the", "theatre", "user", "visitor", "ward", "witness",
    )
)  # fmt: skip
"""Words of roles that say what somebody does and not who it is. A role made of them stays; any other gets a label."""


def common_role(role: str) -> bool:
    """Whether a role says nothing about who somebody is."""
    return set(re.findall(r"[^\W_]+", role.casefold().replace("'s", ""))) <= _OF_ROLES


def names_something(kind: str, original: str) -> bool:
    """Whether an original is looked for in running text. A general word, such as `the maker`, names nobody."""
    if kind == "person":
        return not common_role(original)
    if kind == "place":
        return any(char.isdigit() for char in original) or len(original.split()) > 2
    if kind in ("organisation", "owner", "maker"):
        words = [word for word in original.split() if word not in ("the", "a", "an")]
        return any(char.isdigit() for char in original) or not set(words) <= _GENERAL
    if kind in ("model", "software", "expiry"):
        return strong(original) or sum(char.isalnum() for char in original) > SHORTEST
    return True


_GENERAL = frozenset(
    (
        "accredited", "clinic", "counsel", "department", "device", "engineering", "examination", "firm", "generator",
        "hospital", "house", "in", "independent", "injured", "insurer", "invented", "known", "laboratory", "maker",
        "manufacturer", "none", "not", "of", "one", "other", "outside", "owner", "pad", "party", "person", "pump",
        "return", "service", "side", "stated", "supplier", "unknown", "ward",
    )
)  # fmt: skip


_REMARK = re.compile(r"\s*\([^()]*\)\s*$")
"""A remark behind an original, as in `HG-120 (alias)`: in running text it stands without."""


class Scrub:
    """Takes out of texts whatever has a label, and dates, times, digests and addresses."""

    def __init__(self, labels: Labels, gone: Iterable[str], named: Callable[[str], bool]) -> None:
        self._named = named
        self._replacements: dict[str, str] = {}
        patterns: dict[str, str] = {}
        known = [(original, label) for (kind, original), label in labels.of.items() if names_something(kind, original)]
        for original, label in (*known, *((one, LEFT_OUT) for one in sorted(gone))):
            for one in dict.fromkeys((original, _REMARK.sub("", original))):
                key = bare(one)
                if key:
                    self._replacements.setdefault(key, label)
                    patterns.setdefault(key, _pattern(one))
        # The longest first: a name within another is not looked for before the whole.
        ordered = [patterns[key] for key in sorted(patterns, key=lambda one: (-len(one), one))]
        self._names = re.compile("|".join(ordered), re.IGNORECASE) if ordered else None

    def text(self, text: str) -> str:
        """A text without what leads back."""
        if identifiers(text) or self._named(text):
            return WITHHELD
        text = _ADDRESS.sub(LEFT_OUT, _DIGEST.sub(LEFT_OUT, text))
        if self._names is not None:
            text = _ARTICLE.sub(r"\1", self._names.sub(self._label, text))
        text = _DOUBLED.sub(r"\2", _VERSION.sub(r"\1 [left out]", _PLACE.sub("[a place]", text)))
        return _WEEKDAY.sub("[a day]", _TIME.sub("[a time]", _DATE.sub("[a date]", text)))

    def _label(self, hit: re.Match[str]) -> str:
        key = bare(hit[0])
        # A plural stands for what it is the plural of.
        return next(
            (self._replacements[one] for one in (key, key[:-1], key[:-2]) if one in self._replacements), LEFT_OUT
        )


def bare(original: str) -> str:
    """Letters and digits alone: `25-K 118` and `25K118` are one."""
    return "".join(char for char in original.casefold() if char.isalnum())


def strong(original: str) -> bool:
    """Whether an original is looked for within words, too: it has digits, and is no short one."""
    return any(char.isdigit() for char in original) and len(bare(original)) >= SHORTEST


def certain(original: str) -> bool:
    """Whether an original can be looked for among figures and all: nothing else is likely to be written like it."""
    found = bare(original)
    return len(found) >= 6 and any(char.isdigit() for char in found)


def _pattern(original: str) -> str:
    """An original as it may be written: with its own signs between its parts, with others, or with none."""
    parts = [re.escape(one) for one in re.findall(r"[^\W_]+", original)]
    own = [re.escape(one) for one in re.findall(r"(?<=[^\W_])[\W_]+(?=[^\W_])", original)]
    if not strong(original):
        words = _joined(parts, own, r"[\s_-]+")
        return rf"(?<![\w-]){words}(?:e?s)?(?![\w])" if original[-1:].isalpha() else rf"(?<![\w-]){words}(?![\w])"
    words = _joined(parts, own, r"[\s_/.-]{0,2}")
    before = r"(?<!\d)(?<!\d\.)" if parts[0][0].isdigit() else ""
    after = r"(?!\d|\.\d)" if parts[-1][-1].isdigit() else ""
    return before + words + after


def _joined(parts: list[str], own: list[str], others: str) -> str:
    """Parts with what may stand between them: what stands there in the original, or what people write instead."""
    return parts[0] + "".join(f"(?:{between}|{others}){part}" for between, part in zip(own, parts[1:], strict=True))


def elapsed(at: Moment, event: Moment) -> str:
    """The time since the event, as `2 d 3 h 5 min after the event`."""
    return _words(at.at - event.at)


def elapsed_days(day: dt.date, event: Moment) -> str:
    """The days since the day of the event."""
    return _words(dt.timedelta(days=(day - event.at.date()).days), day=True)


def _words(length: dt.timedelta, day: bool = False) -> str:
    if not length:
        return "on the day of the event" if day else "at the time of the event"
    left = abs(length)
    parts = [(left.days, "d"), (left.seconds // 3600, "h"), (left.seconds % 3600 // 60, "min")]
    seconds = Decimal(left.seconds % 60) + Decimal(left.microseconds) / 1_000_000
    told = [f"{number} {unit}" for number, unit in parts if number]
    if seconds:
        told.append(f"{seconds.normalize():f} s")
    return f"{' '.join(told)} {'after' if length > dt.timedelta() else 'before'} the event"
