"""What one cell of a readings file may hold, and the one grammar that reads it.

A value is evidence: its text is kept as typed, its number is an exact decimal, and nothing is repaired on
the way. Whatever is not in the grammar comes back as a `Fault` that says what stood there, what was needed
and how to mend it.

The grammar is ASCII on purpose. A dash that only looks like a minus, a comma that may be a decimal sign or
may separate thousands, and digits of another script all have to be settled by the person who holds the
worksheet.
"""

from __future__ import annotations

import re
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple

from asfound.model.fault import Fault as Fault
from asfound.model.row import as_object

MAX_DIGITS = 30
MAX_EXPONENT = 30


class ValueKind(StrEnum):
    """What sort of answer the cell gives."""

    NUMBER = "number"
    BELOW = "below"
    ABOVE = "above"
    OVER_RANGE = "over range"
    UNDER_RANGE = "under range"
    NO_OUTPUT = "no output"
    YES = "yes"
    NO = "no"
    COUNT = "count"
    BLANK = "blank"
    NOT_MEASURED = "not measured"
    NOT_OBTAINABLE = "not obtainable"


class Value(NamedTuple):
    """One cell, understood.

    text    exactly as typed
    kind    what sort of answer it is
    number  the number; for `below` and `above` the bound; for `count` how many; else None
    of      for `count`: out of how many
    label   for `yes` and `no`: what was asked (`alarm yes` has the label `alarm`), else empty
    why     for `not measured` and `not obtainable`: the reason given
    """

    text: str
    kind: ValueKind
    number: Decimal | None = None
    of: int | None = None
    label: str = ""
    why: str = ""

    @property
    def is_number(self) -> bool:
        """True for a plain number (not for a bound or a count)."""
        return self.kind is ValueKind.NUMBER

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
        return as_object(cls, handler)


# The fast road: no exponent, and short enough that no digit count is needed.
_plain = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?").fullmatch
_full = re.compile(r"[+-]?([0-9]+)(?:\.([0-9]+))?(?:[eE]([+-]?)([0-9]+))?").fullmatch
_bound = re.compile(r"([<>]) ?(.*)", re.DOTALL).fullmatch
_count = re.compile(r"([0-9]{1,9}) of ([0-9]{1,9})").fullmatch
_answer = re.compile(r"(?:([A-Za-z][A-Za-z-]{0,29}) )?(yes|no)", re.IGNORECASE).fullmatch
_reasoned = re.compile(r"(not measured|not obtainable)(?:: ?(.*))?", re.IGNORECASE | re.DOTALL).fullmatch
# A spreadsheet writes a long run of digits like this, and drops the digits it did not show.
_shortened = re.compile(r"[+-]?[0-9](?:\.[0-9]+)?E\+(?:1[1-9]|[2-9][0-9])").fullmatch

_NUMBER = ValueKind.NUMBER
# The constructor of a named tuple is a function of Python; for the commonest cell the tuple's own is called.
_new = tuple.__new__
_WORDS = {
    "over range": ValueKind.OVER_RANGE,
    "under range": ValueKind.UNDER_RANGE,
    "no output": ValueKind.NO_OUTPUT,
    "not measured": ValueKind.NOT_MEASURED,
    "not obtainable": ValueKind.NOT_OBTAINABLE,
}
VALUE_FORMS = (
    "a number such as 92.4, <0.5, >20, 3 of 10, yes, no, alarm yes, over range, under range, no output, "
    "not measured: why, not obtainable: why, or nothing"
)


def read_value(text: str) -> Value | Fault:
    """Read one cell. Never raises, never repairs.

    >>> read_value("1.10").number
    Decimal('1.10')
    """
    if len(text) <= MAX_DIGITS and _plain(text):
        return _new(Value, (text, _NUMBER, Decimal(text), None, "", ""))
    if not text:
        return Value(text, ValueKind.BLANK)
    if _full(text):
        number = read_decimal(text)
        return number if isinstance(number, Fault) else Value(text, _NUMBER, number)
    return _read_other(text)


def read_decimal(text: str) -> Decimal | Fault:
    """Read a number and nothing else: at most 30 digits, an exponent from -30 to 30, ASCII, exact.

    Trailing zeros are kept, since 1.10 says more about the instrument than 1.1.
    """
    match = _full(text)
    if match is None:
        # Imported here so that a run without faults never compiles its patterns.
        from asfound.model import number_faults

        return number_faults.explain(text, "a decimal number such as 92.4")
    whole, part, sign, exponent = match.groups()
    digits = len(whole) + len(part or "")
    if digits > MAX_DIGITS:
        return Fault(
            f"a number of {digits} digits",
            f"at most {MAX_DIGITS} digits",
            "Write the number as the instrument showed it; a serial number belongs in a column of text.",
        )
    if exponent is not None:
        size = exponent.lstrip("0") or "0"
        if len(size) > 2 or int(size) > MAX_EXPONENT:
            where = text.lower().index("e")
            shown = size if len(size) <= 12 else f"{size[:12]}..."
            return Fault(
                f"the exponent {sign}{shown}",
                f"an exponent between -{MAX_EXPONENT} and {MAX_EXPONENT}",
                "Move the power of ten into the unit, for example from A to mA.",
                where,
            )
        if _shortened(text):
            return Fault(
                f'"{text}", the short form in which spreadsheets save a long run of digits',
                "all the digits, or the number written with a small e",
                f"If it was a serial number, type it again from the label; if the number itself is "
                f"meant, write {text.replace('E+', 'e')}.",
                text.index("E"),
            )
    return Decimal(text)


def parted(text: str) -> tuple[str, str]:
    """The first word and what follows it, a number and its unit for instance, with any space between.

    A space that does not break stands in what is copied out of a document: `90\u00a0W` is 90 and W.
    """
    head, *rest = text.split(None, 1) or ("",)
    return head, rest[0].strip() if rest else ""


def decimal_of(text: str) -> Decimal | None:
    """The same number; None where `read_decimal` would say what is wrong with it.

    For whoever asks whether a word is a number at all: most words of a case are none, and nobody reads why.
    """
    if _full(text) is None:
        return None
    read = read_decimal(text)
    return None if isinstance(read, Fault) else read


def decimals(text: str) -> int:
    """Digits after the point that the text shows: `1.10` gives 2, `100` gives 0, `1.2e3` gives -2.

    A leading `<` or `>` is passed over. ValueError when the rest is no number.
    """
    number = read_decimal(text.lstrip("<> "))
    if isinstance(number, Fault):
        raise ValueError(f"{number.found}; {number.needed}")
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)  # the grammar admits finite numbers only
    return -exponent


def _read_other(text: str) -> Value | Fault:
    """Everything a cell may hold that does not begin as a plain number."""
    if match := _bound(text):
        sign, rest = match.groups()
        number = read_decimal(rest)
        if isinstance(number, Fault):
            from asfound.model import number_faults

            return number_faults.explain_bound(text, sign, number)
        return Value(text, ValueKind.BELOW if sign == "<" else ValueKind.ABOVE, number)
    if match := _count(text):
        some, whole = int(match[1]), int(match[2])
        if some > whole:
            return Fault(
                f'"{text}", more than there were',
                "a count no larger than its total, such as 3 of 10",
                "Check the two numbers against the worksheet.",
            )
        return Value(text, ValueKind.COUNT, Decimal(some), of=whole)
    if match := _answer(text):
        label = (match[1] or "").lower()
        if label not in ("say", "not", "maybe", "or", "and"):
            return Value(text, ValueKind.YES if match[2].lower() == "yes" else ValueKind.NO, label=label)
    if match := _reasoned(text):
        kind = _WORDS[match[1].lower()]
        why = match[2] or ""
        if not why or why != why.strip():
            return Fault(
                f'"{text[:60]}" without a reason' if not why.strip() else "spaces around the reason",
                f'"{kind}: " and the reason in a few words',
                f'Say why, for example "{kind}: item kept by the hospital".',
                len(text) if not why.strip() else len(match[1]) + 1,
            )
        return Value(text, kind, why=why)
    word = _WORDS.get(text.lower())
    if word is not None:
        return Value(text, word)
    from asfound.model import number_faults

    return number_faults.explain(text, VALUE_FORMS)
