"""Explanations for cells that are not in the grammar of `number`: each common slip is named for what it is.

Reached only when reading has failed, so it may take its time.
"""

from __future__ import annotations

import re

from asfound.model.fault import Fault

_SIGN_AND_DIGITS = r"[+-]?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]{1,3})?"
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}"
_DATES = re.compile(
    rf"[0-9]{{4}}[-/.][0-9]{{1,2}}[-/.][0-9]{{1,2}}.*|[0-9]{{1,2}}([-/.])[0-9]{{1,2}}\1[0-9]{{2,4}}"
    rf"|[0-9]{{1,2}}[- ./]{_MONTH}(?:[- ./][0-9]{{2,4}})?|{_MONTH}[- ./][0-9]{{1,4}}",
    re.IGNORECASE | re.DOTALL,
).fullmatch
_TIME = re.compile(r"[0-9]{1,3}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?: ?[ap]m)?", re.IGNORECASE).fullmatch
_SLASH = re.compile(r"([0-9]{1,9}) ?/ ?([0-9]{1,9})").fullmatch
_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:([,. '])[0-9]{3})(?:\1[0-9]{3})*(?:([.,])[0-9]+)?").fullmatch
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+(?:[eE][+-]?[0-9]+)?").fullmatch
_OPEN_POINT = re.compile(r"[+-]?(?:\.[0-9]+|[0-9]+\.)(?:[eE][+-]?[0-9]+)?").fullmatch
_BASE = re.compile(r"[+-]?0[xXbBoO][0-9A-Fa-f_]+").fullmatch
_UNDERSCORE = re.compile(r"[+-]?[0-9][0-9_]*_[0-9_.]*[0-9]").fullmatch
_SHEET_ERROR = re.compile(r"#[A-Za-z0-9/!?]{1,20}[!?]?|#+").fullmatch
_NOT_FINITE = re.compile(r"[+-]?(?:s?nan[0-9]*|inf(?:inity)?|1\.#(?:qnan|snan|ind|inf)[0-9]*)", re.IGNORECASE).fullmatch
_OPEN_EXPONENT = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?[eE][+-]?").fullmatch
_RANGE = re.compile(rf"({_SIGN_AND_DIGITS}) ?(?:-|to|\.\.\.?) ?({_SIGN_AND_DIGITS})").fullmatch
_DOUBT = re.compile(rf"({_SIGN_AND_DIGITS}) ?(?:\+/-|\+-) ?.*", re.DOTALL).fullmatch
_UNIT = re.compile(rf"([<>]? ?{_SIGN_AND_DIGITS})( *)([^0-9\s].{{0,40}})", re.DOTALL).fullmatch
_TWO = re.compile(rf"({_SIGN_AND_DIGITS})([ ;]+){_SIGN_AND_DIGITS}.*", re.DOTALL).fullmatch

# No value is longer, and no slip that can be named.
_LONGEST = 120

_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d\u2043"
_SPACES = "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\u1680"
_UNSEEN = "\u00ad\u061c\u200b\u200c\u200d\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff"

# Words people write in the cell, and the value they most likely mean. Offered, never assumed.
_MEANT = {
    "ol": '"over range"',
    "o.l": '"over range"',
    "o.l.": '"over range"',
    "0l": '"over range"',
    "overload": '"over range"',
    "overrange": '"over range"',
    "over-range": '"over range"',
    "underrange": '"under range"',
    "under-range": '"under range"',
    "no-output": '"no output"',
    "nooutput": '"no output"',
    "nothing": '"no output" if the device gave none, or "<" and the smallest value the instrument can show',
    "y": '"yes"',
    "n": '"no"',
    "true": '"yes"',
    "false": '"no"',
    "n/a": '"not measured: " and the reason',
    "na": '"not measured: " and the reason',
    "n.a.": '"not measured: " and the reason',
    "none": '"not measured: " and the reason, or "no output"',
    "null": "nothing at all, or the reason why it was not measured",
    "tbd": "nothing at all until it is known",
    "-": "nothing at all, or the reason why it was not measured",
    "--": "nothing at all, or the reason why it was not measured",
    "?": "nothing at all, and say in the note what is unsure",
    "nil": '"no output", or "<" and the smallest value the instrument can show',
    "zero": "0 if the instrument showed 0",
}
_VERDICTS = {"pass", "passed", "fail", "failed", "ok", "okay", "good", "bad", "normal"}


def explain(text: str, needed: str) -> Fault:
    """Say why `text` is no value. The order matters: the most particular explanation comes first."""
    if not text:
        return Fault("nothing", needed, "Write the number.")
    if fault := _characters(text):
        return fault
    if len(text) > _LONGEST:
        # Also keeps the patterns below from text on which trying every split would take minutes.
        return Fault(
            f"{len(text)} characters, beginning {_quoted(text)}",
            needed,
            "Write the value alone; remarks belong in the note column.",
        )
    return _number_like(text) or _word_like(text, needed)


def explain_bound(text: str, sign: str, inner: Fault) -> Fault:
    """Say why `<...` or `>...` is no bound; the inner fault is moved to its place in the whole cell."""
    rest = text[1:]
    if rest.startswith("="):
        return Fault(
            f'"{_short(text)}", a bound that includes its own value',
            f"{sign} and a number, such as {sign}0.5",
            f"The reading lies beyond what the instrument shows: write {sign} and the last value it shows.",
            1,
        )
    return Fault(
        f"{inner.found}, after {sign}",
        f"{sign} and a number, such as {sign}0.5",
        inner.mend,
        inner.offset + (2 if rest.startswith(" ") else 1),
    )


def _short(text: str) -> str:
    """Up to 40 characters, with what cannot be seen spelt out."""
    seen = "".join(ch if ch.isprintable() and ch not in _UNSEEN else f"<U+{ord(ch):04X}>" for ch in text[:40])
    return seen + ("..." if len(text) > 40 else "")


def _characters(text: str) -> Fault | None:
    """Faults of single characters: spaces, dashes, digits of other scripts, signs that are not ASCII."""
    if text != text.strip():
        inner = text.strip()
        if not inner:
            return Fault(
                "a cell that looks empty and holds only spaces",
                "nothing at all, or a value",
                "Delete the spaces.",
            )
        first = len(text) - len(text.lstrip())
        return Fault(
            f"a space {'before' if first else 'after'} the value {_quoted(inner)}",
            "the value alone",
            "Delete the space.",
            0 if first else len(text.rstrip()),
        )
    for offset, ch in enumerate(text):
        if " " <= ch <= "~":
            continue
        code = f"U+{ord(ch):04X}"
        if ch in _SPACES:
            return Fault(
                f"a space of another kind ({code}) in {_quoted(text)}",
                "the number without spaces",
                "Delete it; numbers copied from a document often carry it.",
                offset,
            )
        if ch in _UNSEEN or not ch.isprintable():
            return Fault(
                f"a character that cannot be seen ({code}) in {_quoted(text)}",
                "visible characters only",
                "Delete the cell and type it again.",
                offset,
            )
        if ch in _DASHES:
            return Fault(
                f"a dash ({code}) that is not the minus sign of the keyboard in {_quoted(text)}",
                "the plain minus sign -",
                "Type the minus again with the hyphen key.",
                offset,
            )
        if ch in "\u2264\u2265":
            sign = "<" if ch == "\u2264" else ">"
            return Fault(
                f"the sign {ch} in {_quoted(text)}",
                f"{sign} and a number, such as {sign}0.5",
                f"Write {sign} and the last value the instrument can show.",
                offset,
            )
        if ch in "\u00b1":
            return Fault(
                f"a value with its doubt in one cell, {_quoted(text)}",
                "the value alone",
                "Leave the value here; the doubt comes from the instrument's data.",
                offset,
            )
        if ch == "\u221e":
            return Fault(
                f"infinity, {_quoted(text)}",
                "a number the instrument showed",
                "If the instrument showed that its range was passed, write over range.",
                offset,
            )
        if ch.isdigit() or ch.isnumeric():
            return Fault(
                f"the digit {ch} ({code}), which is not one of 0 to 9, in {_quoted(text)}",
                "the digits 0 to 9 of the keyboard",
                "Type the number again.",
                offset,
            )
        break
    return None


def _number_like(text: str) -> Fault | None:
    """Faults of things that were meant as numbers, or that a spreadsheet made of numbers."""
    quoted = _quoted(text)
    formula = text[0] in "=@" or (text[0] in "+-" and len(text) > 1 and (text[1].isalpha() or text[1] in "=@("))
    if formula and not _NOT_FINITE(text):
        return Fault(
            f"{quoted}, which a spreadsheet would take for a formula",
            "the value itself",
            "Type the reading that the instrument showed, not a formula.",
        )
    if text[0] == "#" and _SHEET_ERROR(text):
        return Fault(
            f"the spreadsheet error {quoted}",
            "the value itself",
            "The cell held a formula that failed, or was too narrow: type the reading from the worksheet.",
        )
    if _NOT_FINITE(text):
        return Fault(
            f"{quoted}, which is no finite number",
            "a number the instrument showed",
            "If there was no reading, write over range, no output, or not measured: and why.",
        )
    if _BASE(text):
        return Fault(
            f"{quoted}, a number in another base",
            "a decimal number",
            "Write it in decimal digits; a code shown by a device belongs in a column of text.",
        )
    if _UNDERSCORE(text):
        return Fault(
            f"an underscore between digits, {quoted}",
            "digits without separators",
            "Delete the underscore.",
            text.index("_"),
        )
    if match := _SLASH(text):
        return Fault(
            f"{quoted}, which may be a fraction, a count or a date",
            "a number, or a count such as 3 of 10",
            f"For a count write {match[1]} of {match[2]}; for a fraction write it as a decimal number.",
            text.index("/"),
        )
    if _DATES(text):
        return Fault(
            f"{quoted}, which looks like a date",
            "a number",
            "Spreadsheets turn entries such as 3-4 into dates: type the reading again from the worksheet.",
        )
    if _TIME(text):
        return Fault(
            f"{quoted}, which looks like a time of day",
            "a number",
            "Write a length of time as one number of seconds or minutes, with the unit in the header.",
            text.index(":"),
        )
    if (match := _THOUSANDS(text)) and (match[1] != "." or match[2] or text.count(".") > 1):
        mark = match[1]
        where = text.index(mark)
        if mark == "," and match[2] is None and text.count(",") == 1:
            return Fault(
                f"{quoted}, where the comma may stand for the decimal point or for thousands",
                "a decimal point, and digits without separators",
                f"Write {text.replace(',', '.')} or {text.replace(',', '')}, as the instrument showed it.",
                where,
            )
        name = {",": "a comma", ".": "a point", " ": "a space", "'": "an apostrophe"}[mark]
        return Fault(
            f"{name} between groups of digits, {quoted}",
            "digits without separators, and a decimal point",
            "Write the digits without separators.",
            where,
        )
    if _COMMA(text):
        return Fault(
            f"a decimal comma, {quoted}",
            "a decimal point",
            f"Write {text.replace(',', '.') if text[0] != ',' else '0' + text.replace(',', '.')}.",
            text.index(","),
        )
    if _OPEN_POINT(text):
        point = text.index(".")
        side = "after" if point and text[point - 1].isdigit() else "before"
        return Fault(
            f"{quoted}, with no digit {side} the point",
            "a digit on both sides of the point",
            "Write 0.5 for .5, and 5 or 5.0 for 5. as the instrument showed it.",
            point,
        )
    if _OPEN_EXPONENT(text):
        return Fault(
            f"an exponent without digits, {quoted}",
            "a number such as 1.2e-6",
            "Complete the exponent or leave it out.",
            text.lower().index("e"),
        )
    if match := _DOUBT(text):
        return Fault(
            f"a value with its doubt in one cell, {quoted}",
            "the value alone",
            "Leave the value here; the doubt comes from the instrument's data.",
            len(match[1]),
        )
    if match := _RANGE(text):
        return Fault(
            f"two values in one cell, {quoted}",
            "one value",
            "Give each reading a row of its own; the spread is computed from them.",
            len(match[1]),
        )
    if match := _TWO(text):
        return Fault(
            f"two numbers in one cell, {quoted}",
            "one value",
            "Give each reading a row of its own, or delete the space between the digits.",
            len(match[1]),
        )
    if match := _UNIT(text):
        tail = match[3].strip()
        where = len(match[1]) + len(match[2])
        if tail in ("?", "*", "!"):
            return Fault(
                f'the mark "{tail}" after the number, {quoted}',
                "the number alone",
                "Say in the note column what is unsure about it.",
                where,
            )
        return Fault(
            f"more than a number, {quoted}",
            "the number alone, with its unit in the header or in a unit column",
            f'If "{_short(tail)}" is a unit, move it to the header.',
            where,
        )
    return None


def _word_like(text: str, needed: str) -> Fault:
    """Words, and whatever else is left."""
    quoted = _quoted(text)
    lowered = text.lower()
    if text[0] in "~" or lowered.startswith(("about ", "approx", "ca.", "ca ")):
        return Fault(
            f"an estimate, {quoted}",
            "the number the instrument showed",
            "Write the reading itself, and say in the note that it was unsteady or read by eye.",
        )
    if lowered in _VERDICTS:
        return Fault(
            f"a verdict, {quoted}, where a reading belongs",
            needed,
            "Write what the instrument showed; the verdict is worked out from it.",
        )
    if meant := _MEANT.get(lowered):
        return Fault(quoted, needed, f"Write {meant}.")
    letters = next((at for at, ch in enumerate(text) if not (ch.isdigit() or ch in "+-.")), 0)
    return Fault(quoted, needed, "Write the value in one of these forms; remarks belong in the note column.", letters)


def _quoted(text: str) -> str:
    return f'"{_short(text)}"'
