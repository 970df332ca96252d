"""Words of a redacted edition: labels for what leads back, times since the event, and texts without either."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal

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
    rf"(?:\.\d+)?)?{_ZONE})?|(?<!\d)\d{{1,2}}[-/.]\d{{1,2}}[-/.](?:19|20|21)?\d\d(?!\d)|"
    rf"\b\d{{1,2}}(?:st|nd|rd|th)?(?: of)?[ -]{_MONTH}\b(?:,?[ -]\d{{2,4}}\b)?|"
    rf"\b{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?\b(?:,? \d{{4}}\b)?|\b{_MONTH} (?:19|20|21)\d\d\b|"
    r"(?<!\d)(?:19|20|21)\d\d(?:0[1-9]|1[0-2])(?:[0-2]\d|3[01])(?!\d)",
    re.IGNORECASE,
)
_TIME = re.compile(rf"(?<![\d:.])(?:[01]?\d|2[0-3]):[0-5]\d(?::[0-5]\d(?:\.\d+)?)?(?![\d:]){_ZONE}")
_ARTICLE = re.compile(r"\b[Tt]he ((?:person|place|maker|owner|organisation) \d+)")
_DIGEST = re.compile(r"\b[0-9a-f]{32,128}\b", re.IGNORECASE)
_ADDRESS = re.compile(r"\b(?:https?|ftp|file)://\S+|\bwww\.\S+", re.IGNORECASE)


@dataclass(frozen=True)
class Labels:
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


COMMON = frozenset(("examiner", "patient", "reviewer", "staff", "visitor"))
"""Roles that say nothing about who somebody is: words of the trade, which stay in running text."""


def names_something(kind: str, original: str) -> bool:
    """Whether an original is looked for in running text. A general word, such as `the maker`, names nobody."""
    if kind == "person":
        return original not in COMMON
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


class Scrub:
    """Takes out of texts whatever has a label, and dates, times, digests and addresses."""

    def __init__(self, labels: Labels, gone: Iterable[str]) -> None:
        replacements: dict[str, str] = {}
        for (kind, original), label in labels.of.items():
            if not names_something(kind, original):
                continue
            for form in _forms(original):
                replacements.setdefault(form, label)
        for original in gone:
            for form in _forms(original.casefold()):
                replacements.setdefault(form, LEFT_OUT)
        self._replacements = replacements
        ordered = sorted(replacements, key=lambda one: (-len(one), one))
        self._names = re.compile("|".join(_pattern(one) for one in ordered), re.IGNORECASE) if ordered else None
        self.dates = 0

    def text(self, text: str) -> str:
        """A text without what leads back."""
        if identifiers(text):
            return WITHHELD
        text = _ADDRESS.sub(LEFT_OUT, _DIGEST.sub(LEFT_OUT, text))
        if self._names is not None:
            text = self._names.sub(self._label, text)
        text = _ARTICLE.sub(r"\1", text)
        text, dates = _DATE.subn("[a date]", text)
        text, times = _TIME.subn("[a time]", text)
        self.dates += dates + times
        return text

    def _label(self, hit: re.Match[str]) -> str:
        found = self._replacements.get(" ".join(hit[0].split()).casefold())
        return LEFT_OUT if found is None else found


def _forms(original: str) -> Iterator[str]:
    """An original as it may be written: as it is, with spaces for hyphens, without either."""
    plain = " ".join(original.split())
    if plain:
        yield plain
        if "-" in plain or "_" in plain:
            yield plain.replace("-", " ").replace("_", " ")


def strong(original: str) -> bool:
    """Whether an original is looked for within words, too: it has digits, and is no short one."""
    return any(char.isdigit() for char in original) and sum(char.isalnum() for char in original) >= SHORTEST


def _pattern(original: str) -> str:
    words = r"\s+".join(re.escape(word) for word in original.split())
    return (
        words
        if strong(original)
        else rf"(?<![\w-]){words}(?:e?s)?(?![\w])"
        if original[-1:].isalpha()
        else (rf"(?<![\w-]){words}(?![\w])")
    )


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
