"""Numbers as text: the only place where one becomes the other.

Form after the SI Brochure, 9th edition, 5.4 (from memory): a space between number and unit that does not
break, digits in groups of three from five on, a true minus, no space before the degree of an angle. A doubt
has two significant digits and the value ends at the same place (JCGM 100:2008, 7.2.6). A value that
somebody typed keeps its digits: none is added, since nobody read it; one that was computed has them all, and its zeros
are printed down to the place of its doubt.
"""

# U is the symbol of expanded uncertainty in JCGM 100; u is another quantity.

from __future__ import annotations

import math
import re
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_EVEN, Context, Decimal

from asfound.measure.budget import doubt
from asfound.measure.units import Quantity, Unit
from asfound.measure.units import unit as unit_named
from asfound.model.number import Value, ValueKind, parted

NBSP = "\u00a0"
NARROW = "\u202f"
MINUS = "\u2212"
TIMES = "\u00d7"
PLUS_MINUS = "\u00b1"
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_WIDE = Context(prec=120, rounding=ROUND_HALF_EVEN)


def _grouped(digits: str, from_left: bool) -> str:
    """Groups of three, counted from the point, where there are five digits or more."""
    if len(digits) < 5:
        return digits
    if from_left:
        return NARROW.join(digits[at : at + 3] for at in range(0, len(digits), 3))
    first = len(digits) % 3
    return NARROW.join(
        part for part in (digits[:first], *(digits[at : at + 3] for at in range(first, len(digits), 3))) if part
    )


def show_number(number: Decimal) -> str:
    """A decimal with all its digits, never in powers of ten: `12 345.678 9` with narrow spaces, a true minus."""
    text = format(number, "f")
    sign = ""
    if text[0] in "+-":
        sign = MINUS if text[0] == "-" and number != 0 else ""
        text = text[1:]
    whole, _, part = text.partition(".")
    return sign + _grouped(whole, False) + (f".{_grouped(part, True)}" if part else "")


def short(value: float, digits: int = 3) -> str:
    """A figure in a sentence, to a few significant digits."""
    return show_number(Decimal(f"{value:.{digits - 1}e}").normalize()) if value else "0"


def doubtful(value: float, doubt: float | None) -> str:
    """A figure in a sentence with its doubt, both ending at one place; without one as `short`."""
    if not doubt:
        return short(value)
    shown = two_digits(doubt)
    return f"{show_number(Decimal(repr(value)).quantize(shown, context=_WIDE))} ± {show_number(shown)}"


def show_typed(text: str) -> str:
    """The text of a number as somebody typed it, every digit kept: `1.2e-6` becomes 1.2 x 10 to the -6 in print."""
    mantissa, e, exponent = text.lower().partition("e")
    sign = mantissa[0] if mantissa[0] in "+-" else ""
    whole, _, part = mantissa[len(sign) :].partition(".")
    shown = (MINUS if sign == "-" else sign) + _grouped(whole, False) + (f".{_grouped(part, True)}" if part else "")
    if e:
        shown += f"{NBSP}{TIMES}{NBSP}10{str(int(exponent)).translate(_RAISED)}"
    return shown


def with_unit(shown: str, unit: Unit | None) -> str:
    """Number text and unit, with the space that belongs between them."""
    if unit is None or not unit.si_text:
        return shown
    return shown + ("" if unit.quantity is Quantity.ANGLE else NBSP) + unit.si_text


_SAYS_ITSELF = frozenset(
    ("activation", "mode", "terminal", "direction", "method", "electrode", "what", "when", "entry", "fault")
)


def show_condition(name: str, text: str, units: str = "") -> str:
    """A condition of a row in words: the name of its column, what stands in it, and the unit of the column.

    Columns whose words need no name go without it, as does what names itself (`socket 6` under `socket`). An amount
    that carries its own unit (`90 W`) keeps that one.
    """
    head, tail = parted(text)
    known = unit_named(tail if tail else units) if tail or units else None
    shown = with_unit(show_typed(head), known) if known and _NUMBER.fullmatch(head) else text
    said = name.replace("_", " ")
    named = name in _SAYS_ITSELF or text.casefold().startswith(f"{said} ")
    return shown if named else f"{said} {shown}"


def show_value(value: Value, unit: Unit | None = None) -> str:
    """Whatever a cell held, as print: a number as typed with its unit, a bound with its sign, words as words."""
    kind = value.kind
    if kind is ValueKind.NUMBER:
        return with_unit(show_typed(value.text), unit)
    if kind in (ValueKind.BELOW, ValueKind.ABOVE):
        return f"{value.text[0]}{NBSP}{with_unit(show_typed(value.text[1:].strip()), unit)}"
    if kind is ValueKind.COUNT and value.number is not None:
        return f"{value.number}{NBSP}of{NBSP}{value.of}"
    if kind in (ValueKind.YES, ValueKind.NO):
        return f"{value.label}: {kind}" if value.label else str(kind)
    if kind in (ValueKind.NOT_MEASURED, ValueKind.NOT_OBTAINABLE):
        return f"{kind}: {value.why}"
    return "no value" if kind is ValueKind.BLANK else str(kind)


def two_digits(U: Decimal | float) -> Decimal:
    """A doubt rounded to two significant digits, half to even: 92.6 to 93, 0.0996 to 0.10."""
    exact = U if isinstance(U, Decimal) else doubt(U)
    for _ in range(2):  # a second time where rounding has carried into a new digit
        if exact == 0:
            return Decimal(0)
        exact = exact.quantize(Decimal((0, (1,), exact.adjusted() - 1)), context=_WIDE)
    return exact


def round_to_doubt(y: Decimal, U: Decimal | float, *, computed: bool = False) -> Decimal:
    """The value rounded to the place where its doubt ends.

    Digits that a reading does not have are not added; a computed value ends at that place whatever its own digits.
    """
    size = two_digits(U)
    if size == 0:
        return y
    place, own = size.as_tuple().exponent, y.as_tuple().exponent
    assert isinstance(place, int) and isinstance(own, int)
    return y if own >= place and not computed else y.quantize(Decimal((0, (1,), place)), context=_WIDE)


def show_measured(
    y: Decimal, U: Decimal | float | None, unit: Unit | None = None, *, computed: bool = False
) -> str:  # fmt: skip
    """Value and expanded doubt: `88.4 W ± 3.8 W`; without a doubt the value alone. See `round_to_doubt`."""
    if U is None:
        return with_unit(show_number(y), unit)
    size = two_digits(U)
    value = with_unit(show_number(round_to_doubt(y, U, computed=computed)), unit)
    return f"{value}{NBSP}{PLUS_MINUS}{NBSP}{with_unit(show_number(size), unit)}"


def show_doubt(U: Decimal | float, unit: Unit | None = None) -> str:
    """An expanded doubt alone, two significant digits: `± 3.8 W`."""
    return f"{PLUS_MINUS}{NBSP}{with_unit(show_number(two_digits(U)), unit)}"


def show_factor(k: float | None) -> str:
    """What stands behind a doubt whose coverage factor is not the usual 2: ` (k = 4.53)`; else nothing.

    A doubt is printed with two digits, and so a factor that is 2.0 in two digits is the usual one.
    """
    return "" if k is None or short(k, 2) == "2" else f" (k{NBSP}={NBSP}{short(k, 3)})"


def show_percent(value: Decimal | float, places: int = 1, signed: bool = False) -> str:
    """Per cent, rounded half to even: `15.2 %`; with a plus where it is asked to be signed."""
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    rounded = exact.quantize(Decimal((0, (1,), -places)), context=_WIDE)
    plus = "+" if signed and rounded > 0 else ""
    return f"{plus}{show_number(rounded)}{NBSP}%"


def show_chance(chance: float | None) -> str:
    """A chance from 0 to 1 in per cent: `90.9 %`, `more than 99.9 %`, `less than 0.1 %`; never 0 or 100."""
    if chance is None:
        return "not computed"
    if not 0.0 <= chance <= 1.0:
        raise ValueError("a chance lies between 0 and 1")
    if chance > 0.999:
        return f"more than 99.9{NBSP}%"
    if chance < 0.001:
        return f"less than 0.1{NBSP}%"
    return show_percent(Decimal(repr(chance)) * 100, 1)


def show_limit(
    lower: Decimal | None,
    upper: Decimal | None,
    unit: Unit | None = None,
    strict_lower: bool = False,
    strict_upper: bool = False,
) -> str:
    """A resolved limit in words: `at most 500 µA`, `less than 0.50 Ω`, `from 80 W to 120 W`."""
    low = None if lower is None else with_unit(show_number(lower), unit)
    high = None if upper is None else with_unit(show_number(upper), unit)
    if low is not None and high is not None and not (strict_lower or strict_upper):
        return f"from {low} to {high}"
    parts = []
    if low is not None:
        parts.append(f"{'more than' if strict_lower else 'at least'} {low}")
    if high is not None:
        parts.append(f"{'less than' if strict_upper else 'at most'} {high}")
    return " and ".join(parts) or "no limit"


def show_date(day: date) -> str:
    """`2026-11-25 (Wed)`; the weekday does not depend on the computer's language."""
    return f"{day:%Y-%m-%d} ({_DAYS[day.weekday()]})"


def show_month(day: date) -> str:
    """`2026-11`."""
    return f"{day:%Y-%m}"


def show_time(moment: datetime) -> str:
    """`2026-11-25 14:05 +01:00 (Wed)`, with seconds where there are any; a time without its zone says so."""
    clock = f"{moment.hour:02d}:{moment.minute:02d}"
    if moment.second or moment.microsecond:
        clock += f":{moment.second:02d}"
    if moment.microsecond:
        clock += f".{moment.microsecond:06d}".rstrip("0")
    offset = moment.utcoffset()
    zone = "zone not stated" if offset is None else _offset(offset)
    return f"{moment.year:04d}-{moment.month:02d}-{moment.day:02d} {clock} {zone} ({_DAYS[moment.weekday()]})"


def _offset(offset: timedelta) -> str:
    seconds = int(offset.total_seconds())
    sign = MINUS if seconds < 0 else "+"
    hours, rest = divmod(abs(seconds), 3600)
    minutes, left = divmod(rest, 60)
    return f"{sign}{hours:02d}:{minutes:02d}" + (f":{left:02d}" if left else "")


def show_duration(length: timedelta | Decimal) -> str:
    """A length of time (a Decimal is in seconds): `2 d 3 h`, `2 h 5 min`, `4 min 30 s`, `0.25 s`."""
    if isinstance(length, timedelta):
        micro = (length.days * 86_400 + length.seconds) * 1_000_000 + length.microseconds
        seconds = Decimal(micro) / 1_000_000
    else:
        seconds = length
    sign = MINUS if seconds < 0 else ""
    seconds = abs(seconds)
    whole = int(seconds)
    days, rest = divmod(whole, 86_400)
    hours, rest = divmod(rest, 3_600)
    minutes, rest = divmod(rest, 60)
    tail = seconds - whole + rest
    parts = [f"{show_number(Decimal(n))}{NBSP}{name}" for n, name in ((days, "d"), (hours, "h"), (minutes, "min")) if n]
    if tail or not parts:
        text = format(tail, "f")
        text = text.rstrip("0").rstrip(".") if "." in text else text
        parts.append(f"{text}{NBSP}s")
    return sign + " ".join(parts)


def show_seconds(seconds: float, *, signed: bool = False) -> str:
    """A computed length of time, no finer than it is worth: `2 min 37 s` to the second from ten seconds on, else with
    two digits; with a plus where it is asked to be signed."""
    size = abs(seconds)
    text = show_duration(Decimal(round(size)) if size >= 10 else two_digits(size))
    sign = MINUS if seconds < 0 and text != f"0{NBSP}s" else "+" if signed and seconds > 0 else ""
    return sign + text


def show_digest(digest: str, length: int | None = None) -> str:
    """A digest in hexadecimal, in groups of four; the first `length` digits where that is given."""
    shown = digest[:length] if length is not None else digest
    return " ".join(shown[at : at + 4] for at in range(0, len(shown), 4))


def json_doubt(value: float) -> str:
    """A doubt as the text of a JSON number: six significant digits, no more than were earned."""
    if not math.isfinite(value):
        raise ValueError("a doubt is a finite number")
    return f"{value:.6g}"
