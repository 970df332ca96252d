"""The closed list of units, and exact conversion between units of one quantity.

Closed on purpose: a unit that is not here is a question to the person who wrote it, not a guess. Names are
case-sensitive, because mΩ and MΩ differ by a thousand million and only by one letter.

Sources of the factors, from memory: the SI Brochure, 9th edition (2019), tables 4, 5, 7 and 8, for prefixes
and for units accepted beside the SI; NIST Special Publication 811 (2008), appendix B.8, for the
conventional millimetre of mercury, centimetre of water, pound per square inch, inch and degree Fahrenheit.
The conventional pressures are given there rounded; here they are exact from their definitions (13 595.1
kg/m3 and 1000 kg/m3 at 9.806 65 m/s2). Every factor is compared with an independent library of units in the
tests.

A gas volume's condition (BTPS, ATPD, STPD) is not a unit and is not treated as one.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache

from msgspec import Struct

_WIDE = Context(prec=60, rounding=ROUND_HALF_EVEN)
_KEPT = Context(prec=34, rounding=ROUND_HALF_EVEN)


class Quantity(StrEnum):
    """What is measured. Two units convert when, and only when, they share it."""

    CURRENT = "electric current"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    CONDUCTANCE = "conductance"
    CAPACITANCE = "capacitance"
    INDUCTANCE = "inductance"
    CHARGE = "electric charge"
    POWER = "power"
    APPARENT_POWER = "apparent power"
    ENERGY = "energy"
    TIME = "time"
    FREQUENCY = "frequency"
    RATE = "rate of events"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    HEATING_RATE = "rate of temperature change"
    PRESSURE = "pressure"
    VOLUME = "volume"
    FLOW = "volume flow"
    COMPLIANCE = "compliance"
    MASS = "mass"
    DENSITY = "density"
    FORCE = "force"
    TORQUE = "torque"
    LENGTH = "length"
    AREA = "area"
    SPEED = "speed"
    ANGLE = "plane angle"
    CURRENT_DENSITY = "current density"
    HEATING_FACTOR = "heating factor"
    IRRADIANCE = "power per area"
    ILLUMINANCE = "illuminance"
    SOUND_LEVEL = "sound level"
    RATIO = "ratio"
    COUNT = "count"


class Unit(Struct, frozen=True):
    """One unit.

    symbol    as typed on a keyboard, the name used in files
    si_text   as printed
    name      in words
    quantity  what it measures
    factor    how many coherent SI units one of it is (for `count` and `sound level`: 1, no conversion exists)
    offset    only for temperature: kelvin at its zero point
    aliases   other spellings that are accepted
    """

    symbol: str
    si_text: str
    name: str
    quantity: Quantity
    factor: Fraction
    offset: Fraction = Fraction(0)
    aliases: tuple[str, ...] = ()


class OtherQuantityError(ValueError):
    """A conversion between units of two quantities was asked for."""

    def __init__(self, from_: Unit, to: Unit) -> None:
        super().__init__(
            f"{from_.symbol} measures {from_.quantity} and {to.symbol} measures {to.quantity}; "
            "one cannot be turned into the other"
        )
        self.from_ = from_
        self.to = to


_G = Fraction("9.80665")
_MMHG = Fraction("13595.1") * _G / 1000
_CMH2O = 10 * _G
_PSI = Fraction("0.45359237") * _G / Fraction("0.0254") ** 2
_LITRE = Fraction(1, 1000)
_Q = Quantity


@cache
def _f(text: str) -> Fraction:
    return Fraction(text)


# symbol, printed, name, quantity, factor, aliases
_ROWS: tuple[tuple[str, str, str, Quantity, Fraction, str], ...] = (
    ("A", "A", "ampere", _Q.CURRENT, _f("1"), "amp amps ampere"),
    ("mA", "mA", "milliampere", _Q.CURRENT, _f("1e-3"), ""),
    ("uA", "µA", "microampere", _Q.CURRENT, _f("1e-6"), "µA"),
    ("nA", "nA", "nanoampere", _Q.CURRENT, _f("1e-9"), ""),
    ("kV", "kV", "kilovolt", _Q.VOLTAGE, _f("1e3"), ""),
    ("V", "V", "volt", _Q.VOLTAGE, _f("1"), "volt volts"),
    ("mV", "mV", "millivolt", _Q.VOLTAGE, _f("1e-3"), ""),
    ("uV", "µV", "microvolt", _Q.VOLTAGE, _f("1e-6"), "µV"),
    ("Gohm", "GΩ", "gigaohm", _Q.RESISTANCE, _f("1e9"), "GΩ"),
    ("Mohm", "MΩ", "megaohm", _Q.RESISTANCE, _f("1e6"), "MΩ"),
    ("kohm", "kΩ", "kiloohm", _Q.RESISTANCE, _f("1e3"), "kΩ"),
    ("ohm", "Ω", "ohm", _Q.RESISTANCE, _f("1"), "Ω Ohm ohms"),
    ("mohm", "mΩ", "milliohm", _Q.RESISTANCE, _f("1e-3"), "mΩ"),
    ("uohm", "µΩ", "microohm", _Q.RESISTANCE, _f("1e-6"), "µΩ µohm"),
    ("S", "S", "siemens", _Q.CONDUCTANCE, _f("1"), ""),
    ("mS", "mS", "millisiemens", _Q.CONDUCTANCE, _f("1e-3"), ""),
    ("uS", "µS", "microsiemens", _Q.CONDUCTANCE, _f("1e-6"), "µS"),
    ("F", "F", "farad", _Q.CAPACITANCE, _f("1"), ""),
    ("mF", "mF", "millifarad", _Q.CAPACITANCE, _f("1e-3"), ""),
    ("uF", "µF", "microfarad", _Q.CAPACITANCE, _f("1e-6"), "µF"),
    ("nF", "nF", "nanofarad", _Q.CAPACITANCE, _f("1e-9"), ""),
    ("pF", "pF", "picofarad", _Q.CAPACITANCE, _f("1e-12"), ""),
    ("H", "H", "henry", _Q.INDUCTANCE, _f("1"), ""),
    ("mH", "mH", "millihenry", _Q.INDUCTANCE, _f("1e-3"), ""),
    ("uH", "µH", "microhenry", _Q.INDUCTANCE, _f("1e-6"), "µH"),
    ("C", "C", "coulomb", _Q.CHARGE, _f("1"), "coulomb"),
    ("mC", "mC", "millicoulomb", _Q.CHARGE, _f("1e-3"), ""),
    ("uC", "µC", "microcoulomb", _Q.CHARGE, _f("1e-6"), "µC"),
    ("Ah", "A·h", "ampere hour", _Q.CHARGE, _f("3600"), "A·h A.h"),
    ("mAh", "mA·h", "milliampere hour", _Q.CHARGE, _f("3.6"), "mA·h mA.h"),
    ("kW", "kW", "kilowatt", _Q.POWER, _f("1e3"), ""),
    ("W", "W", "watt", _Q.POWER, _f("1"), "watt watts"),
    ("mW", "mW", "milliwatt", _Q.POWER, _f("1e-3"), ""),
    ("uW", "µW", "microwatt", _Q.POWER, _f("1e-6"), "µW"),
    ("VA", "V·A", "volt ampere", _Q.APPARENT_POWER, _f("1"), "V·A"),
    ("kVA", "kV·A", "kilovolt ampere", _Q.APPARENT_POWER, _f("1e3"), "kV·A"),
    ("kJ", "kJ", "kilojoule", _Q.ENERGY, _f("1e3"), ""),
    ("J", "J", "joule", _Q.ENERGY, _f("1"), "joule joules"),
    ("mJ", "mJ", "millijoule", _Q.ENERGY, _f("1e-3"), ""),
    ("Wh", "W·h", "watt hour", _Q.ENERGY, _f("3600"), "W·h W.h"),
    ("kWh", "kW·h", "kilowatt hour", _Q.ENERGY, _f("3600000"), "kW·h kW.h"),
    ("d", "d", "day", _Q.TIME, _f("86400"), "day days"),
    ("h", "h", "hour", _Q.TIME, _f("3600"), "hr hour hours"),
    ("min", "min", "minute", _Q.TIME, _f("60"), "minute minutes"),
    ("s", "s", "second", _Q.TIME, _f("1"), "sec second seconds"),
    ("ms", "ms", "millisecond", _Q.TIME, _f("1e-3"), ""),
    ("us", "µs", "microsecond", _Q.TIME, _f("1e-6"), "µs"),
    ("ns", "ns", "nanosecond", _Q.TIME, _f("1e-9"), ""),
    ("GHz", "GHz", "gigahertz", _Q.FREQUENCY, _f("1e9"), ""),
    ("MHz", "MHz", "megahertz", _Q.FREQUENCY, _f("1e6"), ""),
    ("kHz", "kHz", "kilohertz", _Q.FREQUENCY, _f("1e3"), ""),
    ("Hz", "Hz", "hertz", _Q.FREQUENCY, _f("1"), "hertz"),
    ("mHz", "mHz", "millihertz", _Q.FREQUENCY, _f("1e-3"), ""),
    ("/s", "s⁻¹", "per second", _Q.RATE, _f("1"), "1/s s-1 s⁻¹"),
    ("/min", "min⁻¹", "per minute", _Q.RATE, _f("1/60"), "1/min min-1 min⁻¹ bpm"),
    ("/h", "h⁻¹", "per hour", _Q.RATE, _f("1/3600"), "1/h h-1 h⁻¹"),
    ("degC", "°C", "degree Celsius", _Q.TEMPERATURE, _f("1"), "°C ℃ deg.C celsius Celsius"),
    ("degF", "°F", "degree Fahrenheit", _Q.TEMPERATURE, _f("5/9"), "°F ℉ deg.F fahrenheit Fahrenheit"),
    ("K", "K", "kelvin, as a difference", _Q.TEMPERATURE_DIFFERENCE, _f("1"), "kelvin"),
    ("mK", "mK", "millikelvin, as a difference", _Q.TEMPERATURE_DIFFERENCE, _f("1e-3"), ""),
    ("K/s", "K/s", "kelvin per second", _Q.HEATING_RATE, _f("1"), ""),
    ("K/min", "K/min", "kelvin per minute", _Q.HEATING_RATE, _f("1/60"), ""),
    ("K/h", "K/h", "kelvin per hour", _Q.HEATING_RATE, _f("1/3600"), ""),
    ("Pa", "Pa", "pascal", _Q.PRESSURE, _f("1"), "pascal"),
    ("hPa", "hPa", "hectopascal", _Q.PRESSURE, _f("1e2"), ""),
    ("kPa", "kPa", "kilopascal", _Q.PRESSURE, _f("1e3"), ""),
    ("MPa", "MPa", "megapascal", _Q.PRESSURE, _f("1e6"), ""),
    ("bar", "bar", "bar", _Q.PRESSURE, _f("1e5"), ""),
    ("mbar", "mbar", "millibar", _Q.PRESSURE, _f("1e2"), ""),
    ("mmHg", "mmHg", "millimetre of mercury", _Q.PRESSURE, _MMHG, "mm_Hg"),
    ("cmH2O", "cmH₂O", "centimetre of water", _Q.PRESSURE, _CMH2O, "cmH₂O"),
    ("psi", "psi", "pound per square inch", _Q.PRESSURE, _PSI, ""),
    ("m3", "m³", "cubic metre", _Q.VOLUME, _f("1"), "m³"),
    ("L", "L", "litre", _Q.VOLUME, _LITRE, "l litre litres"),
    ("dL", "dL", "decilitre", _Q.VOLUME, _LITRE / 10, "dl"),
    ("mL", "mL", "millilitre", _Q.VOLUME, _f("1e-6"), "ml cc cm3 cm³"),
    ("uL", "µL", "microlitre", _Q.VOLUME, _f("1e-9"), "ul µL µl"),
    ("L/s", "L/s", "litre per second", _Q.FLOW, _LITRE, "l/s"),
    ("L/min", "L/min", "litre per minute", _Q.FLOW, _LITRE / 60, "l/min lpm LPM"),
    ("L/h", "L/h", "litre per hour", _Q.FLOW, _LITRE / 3600, "l/h"),
    ("m3/h", "m³/h", "cubic metre per hour", _Q.FLOW, _f("1/3600"), "m³/h"),
    ("mL/s", "mL/s", "millilitre per second", _Q.FLOW, _f("1e-6"), "ml/s"),
    ("mL/min", "mL/min", "millilitre per minute", _Q.FLOW, _f("1e-6") / 60, "ml/min"),
    ("mL/h", "mL/h", "millilitre per hour", _Q.FLOW, _f("1e-6") / 3600, "ml/h ml/hr mL/hr"),
    (
        "mL/cmH2O",
        "mL/cmH₂O",
        "millilitre per centimetre of water",
        _Q.COMPLIANCE,
        _f("1e-6") / _CMH2O,
        "ml/cmH2O",
    ),
    ("mL/mbar", "mL/mbar", "millilitre per millibar", _Q.COMPLIANCE, _f("1e-8"), "ml/mbar mL/hPa ml/hPa"),
    ("L/kPa", "L/kPa", "litre per kilopascal", _Q.COMPLIANCE, _f("1e-6"), "l/kPa"),
    ("kg", "kg", "kilogram", _Q.MASS, _f("1"), ""),
    ("g", "g", "gram", _Q.MASS, _f("1e-3"), "gram grams"),
    ("mg", "mg", "milligram", _Q.MASS, _f("1e-6"), ""),
    ("ug", "µg", "microgram", _Q.MASS, _f("1e-9"), "µg mcg"),
    ("kg/m3", "kg/m³", "kilogram per cubic metre", _Q.DENSITY, _f("1"), "kg/m³"),
    ("g/mL", "g/mL", "gram per millilitre", _Q.DENSITY, _f("1e3"), "g/ml g/cm3 g/cm³"),
    ("kN", "kN", "kilonewton", _Q.FORCE, _f("1e3"), ""),
    ("N", "N", "newton", _Q.FORCE, _f("1"), "newton"),
    ("mN", "mN", "millinewton", _Q.FORCE, _f("1e-3"), ""),
    ("Nm", "N·m", "newton metre", _Q.TORQUE, _f("1"), "N·m N.m"),
    ("cNm", "cN·m", "centinewton metre", _Q.TORQUE, _f("1e-2"), "cN·m cN.m"),
    ("m", "m", "metre", _Q.LENGTH, _f("1"), "metre metres"),
    ("cm", "cm", "centimetre", _Q.LENGTH, _f("1e-2"), ""),
    ("mm", "mm", "millimetre", _Q.LENGTH, _f("1e-3"), ""),
    ("um", "µm", "micrometre", _Q.LENGTH, _f("1e-6"), "µm"),
    ("nm", "nm", "nanometre", _Q.LENGTH, _f("1e-9"), ""),
    ("in", "in", "inch", _Q.LENGTH, _f("0.0254"), "inch inches"),
    ("m2", "m²", "square metre", _Q.AREA, _f("1"), "m²"),
    ("cm2", "cm²", "square centimetre", _Q.AREA, _f("1e-4"), "cm²"),
    ("mm2", "mm²", "square millimetre", _Q.AREA, _f("1e-6"), "mm²"),
    ("m/s", "m/s", "metre per second", _Q.SPEED, _f("1"), ""),
    ("cm/s", "cm/s", "centimetre per second", _Q.SPEED, _f("1e-2"), ""),
    ("mm/s", "mm/s", "millimetre per second", _Q.SPEED, _f("1e-3"), ""),
    ("deg", "°", "degree", _Q.ANGLE, _f("1"), "° degree degrees"),
    ("A/m2", "A/m²", "ampere per square metre", _Q.CURRENT_DENSITY, _f("1"), "A/m²"),
    ("A/cm2", "A/cm²", "ampere per square centimetre", _Q.CURRENT_DENSITY, _f("1e4"), "A/cm²"),
    ("mA/cm2", "mA/cm²", "milliampere per square centimetre", _Q.CURRENT_DENSITY, _f("10"), "mA/cm²"),
    (
        "uA/cm2",
        "µA/cm²",
        "microampere per square centimetre",
        _Q.CURRENT_DENSITY,
        _f("1e-2"),
        "µA/cm² µA/cm2",
    ),
    ("A2s", "A²·s", "ampere squared second", _Q.HEATING_FACTOR, _f("1"), "A²s A²·s A2.s A^2s A^2.s"),
    ("W/m2", "W/m²", "watt per square metre", _Q.IRRADIANCE, _f("1"), "W/m²"),
    ("kW/m2", "kW/m²", "kilowatt per square metre", _Q.IRRADIANCE, _f("1e3"), "kW/m²"),
    ("W/cm2", "W/cm²", "watt per square centimetre", _Q.IRRADIANCE, _f("1e4"), "W/cm²"),
    ("mW/cm2", "mW/cm²", "milliwatt per square centimetre", _Q.IRRADIANCE, _f("10"), "mW/cm²"),
    ("uW/cm2", "µW/cm²", "microwatt per square centimetre", _Q.IRRADIANCE, _f("1e-2"), "µW/cm² µW/cm2"),
    ("lx", "lx", "lux", _Q.ILLUMINANCE, _f("1"), "lux"),
    ("klx", "klx", "kilolux", _Q.ILLUMINANCE, _f("1e3"), "klux"),
    ("dB(A)", "dB(A)", "decibel, A-weighted", _Q.SOUND_LEVEL, _f("1"), "dBA"),
    ("%", "%", "per cent", _Q.RATIO, _f("1e-2"), "percent"),
    ("ppm", "ppm", "parts per million", _Q.RATIO, _f("1e-6"), ""),
    ("1", "", "number of", _Q.COUNT, _f("1"), ""),
)

_ZERO_POINT = {"degC": Fraction("273.15"), "degF": Fraction("459.67") * Fraction(5, 9)}

UNITS: tuple[Unit, ...] = tuple(
    Unit(symbol, printed, name, quantity, factor, _ZERO_POINT.get(symbol, Fraction(0)), tuple(aliases.split()))
    for symbol, printed, name, quantity, factor, aliases in _ROWS
)


def _index() -> dict[str, Unit]:
    found: dict[str, Unit] = {}
    for one in UNITS:
        for spelling in (one.symbol, one.si_text or one.symbol, *one.aliases):
            # Two code points look like the micro sign, and two like the ohm sign.
            spellings = [spelling]
            if not spelling.isascii():
                spellings += [text.replace("\u00b5", "\u03bc") for text in spellings]
                spellings += [text.replace("\u03a9", "\u2126") for text in spellings]
            for typed in spellings:
                if found.setdefault(typed, one) is not one:
                    raise AssertionError(f"two units are spelt {typed}")
    return found


_BY_TEXT = _index()


def unit(text: str) -> Unit | None:
    """The unit spelt `text`, or None. Case counts: `mohm` is not `Mohm`."""
    return _BY_TEXT.get(text)


def nearest(text: str) -> str | None:
    """What was probably meant, as text for a message: `uA`, or `mohm or Mohm` where case alone cannot tell.

    None when nothing is close. It is a suggestion for a person; nothing ever converts by it.
    """
    tidy = text.strip().strip("[]()").replace(" ", "").replace("^", "")
    if not tidy or len(tidy) > 40:
        return None
    if tidy in _BY_TEXT:
        return _BY_TEXT[tidy].symbol
    folded = tidy.casefold()
    symbols = sorted({one.symbol for spelling, one in _BY_TEXT.items() if spelling.casefold() == folded})
    if not symbols:
        from difflib import get_close_matches

        close = get_close_matches(tidy, list(_BY_TEXT), n=1, cutoff=0.7)
        symbols = [_BY_TEXT[spelling].symbol for spelling in close]
    return " or ".join(symbols) or None


@lru_cache(maxsize=4096)
def _ratio(from_: str, to: str) -> tuple[int | None, Decimal, Decimal]:
    """(power of ten or None, numerator, denominator) between two symbols.

    Kept by symbol, because the hash of a unit would cost more than the conversion.
    """
    ratio = _BY_TEXT[from_].factor / _BY_TEXT[to].factor
    power: int | None = None
    for sign, whole, other in (
        (1, ratio.numerator, ratio.denominator),
        (-1, ratio.denominator, ratio.numerator),
    ):
        text = str(whole)
        if other == 1 and text.rstrip("0") == "1":
            power = sign * (len(text) - 1)
            break
    return power, Decimal(ratio.numerator), Decimal(ratio.denominator)


def _scaled(value: Decimal, from_: Unit, to: Unit) -> Decimal:
    power, top, bottom = _ratio(from_.symbol, to.symbol)
    if power is not None:
        # A shift of the point keeps the digits the instrument showed: 1.10 mA is 1.10e3 uA.
        return value if power == 0 else value.scaleb(power, _WIDE)
    return _KEPT.divide(_WIDE.multiply(value, top), bottom)


def convert(value: Decimal, from_: Unit, to: Unit) -> Decimal:
    """Convert a value. Exact by rational factor; a quotient without end is rounded to 34 significant digits.

    Raises OtherQuantityError when the units measure different things. Temperatures go by their zero points;
    a difference of temperatures, and the doubt of one, go by `convert_difference`.
    """
    if from_ is to:
        return value
    if from_.quantity is not to.quantity:
        raise OtherQuantityError(from_, to)
    if from_.offset == to.offset:
        return _scaled(value, from_, to)
    absolute = Fraction(value) * from_.factor + from_.offset
    there = (absolute - to.offset) / to.factor
    return _KEPT.divide(Decimal(there.numerator), Decimal(there.denominator))


def convert_difference(value: Decimal, from_: Unit, to: Unit) -> Decimal:
    """Convert a difference or a doubt: degrees carry over to kelvin; no zero point applies."""
    if from_ is to:
        return value
    degrees = (Quantity.TEMPERATURE, Quantity.TEMPERATURE_DIFFERENCE)
    if from_.quantity is not to.quantity and not (from_.quantity in degrees and to.quantity in degrees):
        raise OtherQuantityError(from_, to)
    return _scaled(value, from_, to)


def kelvin(celsius: Decimal) -> Decimal:
    """Kelvin from a Celsius temperature (SI Brochure, 9th edition, section 2.3.1; from memory)."""
    return celsius + Decimal("273.15")
