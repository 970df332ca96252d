"""A digital calibration certificate, read: which thing, by whom, when, over which values and with which doubt.

The form is the open XML schema of digital calibration certificates, version 3 (namespace https://ptb.de/dcc, values in
https://ptb.de/si). Names of elements were held against documentation of the schema that is kept in public repositories
(core data, confirmed; uncertainties of D-SI 2, confirmed; the rest, and the types of reference of its good practice,
from memory). No signature is verified here, and nothing is fetched.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from asfound.intake.dcc_units import dsi_unit
from asfound.intake.dcc_xml import Element, NoXml, XmlFault, read_xml
from asfound.measure import Unit
from asfound.model.number import Fault, read_decimal

DCC = "https://ptb.de/dcc"
_VERSION = re.compile(r"3\.\d+(\.\d+)?([-.\w]*)?")
_DATE = re.compile(r"\s*(\d{4}-\d{2}-\d{2})(Z|[+-]\d{2}:\d{2})?\s*")
_REFERENCE = ("referencevalue", "nominalvalue", "calibrationvalue", "measuredvalue")
"""Which quantity of a result says where it was compared, the best first; types of reference end so."""


class NoCertificate(Exception):
    """The file is no certificate that can be read; `faults` say where and why, all of them."""

    def __init__(self, faults: tuple[XmlFault, ...]) -> None:
        super().__init__("; ".join(one.found for one in faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Thing:
    """What was calibrated. `identifications` are all values it is known by; `serial` empty where none is called so."""

    what: str
    maker: str
    model: str
    serial: str
    identifications: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """One result: between which values the thing was compared, and the largest expanded doubt there, at `k`."""

    name: str
    unit: Unit
    low: Decimal
    high: Decimal
    doubt: Decimal
    doubt_unit: Unit
    k: Decimal


@dataclass(frozen=True, slots=True)
class Certificate:
    """What was read.

    conformity  the statements of it, in the words of the schema (`pass`, `fail`, `conditionalPass` …), before any
                adjustment where the certificate parts the two
    adjusted    whether it tells of a state after an adjustment
    signed      whether a signature stands in it (nobody verified it)
    unread      what is in it and could not be taken, each with its place
    """

    number: str
    first: dt.date
    last: dt.date
    issued: dt.date | None
    laboratory: str
    things: tuple[Thing, ...]
    compared: tuple[Compared, ...]
    conformity: tuple[str, ...]
    adjusted: bool
    version: str
    signed: bool
    unread: tuple[XmlFault, ...]


def read_dcc(data: bytes) -> Certificate:
    """Read a certificate. Raises NoCertificate with every reason."""
    try:
        root = read_xml(data)
    except NoXml as error:
        raise NoCertificate((error.fault,)) from None
    faults = list(_root(root))
    if faults:
        raise NoCertificate(tuple(faults))
    reading = _Reading(root)
    made = reading.read()
    if reading.faults or made is None:
        raise NoCertificate(tuple(reading.faults))
    return made


def _root(root: Element) -> Iterator[XmlFault]:
    if (root.space, root.name) != (DCC, "digitalCalibrationCertificate"):
        where = f" of {root.space}" if root.space else " without a namespace"
        yield XmlFault(root.line, root.column, f"the file begins with “{root.name}”{where}",
                       f"digitalCalibrationCertificate of {DCC} is needed",
                       "Name the certificate itself; a letter or an invoice in XML is another thing.")  # fmt: skip
        return
    version = root.attributes.get("schemaVersion", "")
    if not _VERSION.fullmatch(version):
        said = f"the certificate is of version “{version}” of the schema" if version else "no schemaVersion is stated"
        yield XmlFault(root.line, root.column, said, "version 3 is needed",
                       "Ask the laboratory for it in version 3, or enter the certificate by hand.")  # fmt: skip


class _Reading:
    """One certificate being read; what is wrong, and what is left, is collected on the way."""

    def __init__(self, root: Element) -> None:
        self.root = root
        self.faults: list[XmlFault] = []
        self.unread: list[XmlFault] = []

    def read(self) -> Certificate | None:
        admin = self.root.first("administrativeData")
        core = admin.first("coreData") if admin else None
        if admin is None or core is None:
            self._missing(admin or self.root, "coreData" if admin else "administrativeData")
            return None
        number = self._needed(core, "uniqueIdentifier")
        first, last = self._date(core, "beginPerformanceDate"), self._date(core, "endPerformanceDate")
        issued = self._date(core, "issueDate") if core.first("issueDate") else None
        laboratory = self._named(admin, "calibrationLaboratory", "contact", "name")
        things = tuple(self._thing(one) for one in admin.all("items", "item"))
        if not things:
            self._missing(admin, "items/item")
        results = list(self.root.all("measurementResults", "measurementResult"))
        if not results:
            self._missing(self.root, "measurementResults/measurementResult")
        parts = [one for result in results for one in result.all("results", "result")]
        after = [one for one in parts if "afteradjustment" in _type(one)]
        before = [one for one in parts if "beforeadjustment" in _type(one)]
        # As the instrument left the laboratory is how it measured since.
        compared = tuple(
            found for one in parts if not (after and one in before) if (found := self._compared(one)) is not None
        )
        conformity = [
            one.text.strip() for part in (before or results) for one in part.walk() if one.name == "conformity"
        ]
        if number is None or first is None or last is None or laboratory is None or self.faults:
            return None
        signed = any(one.name == "Signature" for one in self.root.children)
        version = self.root.attributes["schemaVersion"]
        return Certificate(number, first, last, issued, laboratory, things, compared, tuple(conformity), bool(after),
                           version, signed, tuple(self.unread))  # fmt: skip

    # --- words and dates

    def _missing(self, at: Element, name: str) -> None:
        self.faults.append(XmlFault(at.line, at.column, f"“{at.name}” holds no {name}", f"{name} is needed",
                                    "The schema asks for it; ask the laboratory for a complete file."))  # fmt: skip

    def _needed(self, at: Element, name: str) -> str | None:
        found = at.first(name)
        text = " ".join(found.text.split()) if found else ""
        if not text:
            self._missing(found or at, f"text in {name}" if found else name)
            return None
        return text

    def _named(self, at: Element, *path: str) -> str | None:
        found = at.first(*path)
        text = _content(found)
        if not text:
            self._missing(at, "/".join(path))
            return None
        return text

    def _date(self, at: Element, name: str) -> dt.date | None:
        text = self._needed(at, name)
        found = at.first(name)
        if text is None or found is None:
            return None
        hit = _DATE.fullmatch(text)
        try:
            if hit is None:
                raise ValueError
            return dt.date.fromisoformat(hit[1])
        except ValueError:
            self.faults.append(XmlFault(found.line, found.column, f"{name} holds “{text[:40]}”",
                                        "a date such as 2026-02-03 is needed"))  # fmt: skip
            return None

    # --- the thing

    def _thing(self, item: Element) -> Thing:
        known: list[str] = []
        serial = ""
        for one in item.all("identifications", "identification"):
            value = one.first("value")
            text = " ".join(value.text.split()) if value else ""
            if not text:
                continue
            known.append(text)
            called = " ".join(found.text for found in one.all("name", "content")).casefold()
            if not serial and ("serialnumber" in _type(one) or "serial" in called or "serien" in called):
                serial = text
        model = item.first("model")
        return Thing(_content(item.first("name")), _content(item.first("manufacturer", "name")),
                     " ".join(model.text.split()) if model else "", serial, tuple(known))  # fmt: skip

    # --- results

    def _compared(self, result: Element) -> Compared | None:
        name = _content(result.first("name")) or "a result without a name"
        series = [found for one in result.walk() if one.name == "quantity" if (found := self._series(one)) is not None]
        if not series:
            self._left(result, f"“{name}” holds no numbers with a unit that is known here")
            return None
        places = sorted(series, key=lambda one: one.place)
        base = places[0]
        doubts = [
            (Decimal(doubt) * factor, k, one)
            for one in series
            if (factor := _turned(one.unit, base.unit)) is not None
            for doubt, k in one.doubts
        ]
        if not doubts:
            self._left(result, f"“{name}” states no expanded uncertainty with its factor in the unit of its values")
            return None
        # The largest by what it says of the values; of equal ones the one with the smaller factor says more.
        _, k, widest = max(doubts, key=lambda one: (one[0] / one[1], one[0]))
        doubt = max(value for value, factor in widest.doubts if factor == k)
        return Compared(name, base.unit, min(base.values), max(base.values), doubt, widest.unit, k)

    def _series(self, quantity: Element) -> _Series | None:
        one = next(
            (child for child in quantity.children if child.name in ("real", "realListXMLList", "realList")), None
        )
        if one is None:
            return None
        if one.name == "realList":
            self._left(one, "a list of single values (realList) is not read")
            return None
        many = one.name == "realListXMLList"
        end = "XMLList" if many else ""
        units = (found.text if (found := one.first(f"unit{end}")) else "").split()
        known = [dsi_unit(text) for text in dict.fromkeys(units)]
        if len(known) != 1 or known[0] is None:
            self._left(one, f"the unit “{' '.join(dict.fromkeys(units))[:60]}” is none of those known here")
            return None
        values = self._numbers(one.first(f"value{end}"))
        if not values:
            return None
        rank = next((n for n, word in enumerate(_REFERENCE) if _type(quantity).endswith(word)), len(_REFERENCE))
        return _Series(known[0], tuple(values), tuple(self._doubts(one, end)), rank)

    def _doubts(self, one: Element, end: str) -> Iterator[tuple[Decimal, Decimal]]:
        """Each expanded uncertainty with its coverage factor; a standard uncertainty is one with the factor 1."""
        inside = [one, *one.all(f"measurementUncertaintyUnivariate{end}")]
        for holder in inside:
            for kind, value, factor in (
                (f"expandedUnc{end}", f"uncertainty{end}", f"coverageFactor{end}"),
                (f"expandedMU{end}", f"valueExpandedMU{end}", f"coverageFactor{end}"),
                (f"standardMU{end}", f"valueStandardMU{end}", ""),
            ):
                for found in holder.all(kind):
                    stated = self._numbers(found.first(value))
                    factors = self._numbers(found.first(factor)) if factor else [Decimal(1)]
                    if not factors:
                        self._left(found, "an uncertainty stands without its coverage factor")
                        continue
                    each = factors if len(factors) == len(stated) else factors[:1] * len(stated)
                    yield from ((abs(doubt), k) for doubt, k in zip(stated, each, strict=True) if k > 0)
            for kind in (f"coverageInterval{end}", f"coverageIntervalMU{end}"):
                for found in holder.all(kind):
                    self._left(found, "a coverage interval is not read as a doubt on either side")

    def _numbers(self, at: Element | None) -> list[Decimal]:
        found: list[Decimal] = []
        for text in at.text.split() if at else ():
            read = read_decimal(text)
            if isinstance(read, Fault):
                assert at is not None
                self._left(at, f"“{text[:40]}” is no number: {read.found}")
                return []
            found.append(read)
        return found

    def _left(self, at: Element, why: str) -> None:
        self.unread.append(XmlFault(at.line, at.column, why, "it was left out"))


@dataclass(frozen=True, slots=True)
class _Series:
    unit: Unit
    values: tuple[Decimal, ...]
    doubts: tuple[tuple[Decimal, Decimal], ...]
    place: int


def _turned(from_: Unit, to: Unit) -> Decimal | None:
    """How many of `to` one of `from_` is, as a difference; None where they measure two things."""
    kinds = {str(from_.quantity), str(to.quantity)}
    if from_.quantity is not to.quantity and kinds != {"temperature", "temperature difference"}:
        return None
    ratio = from_.factor / to.factor
    return Decimal(ratio.numerator) / Decimal(ratio.denominator)


def _type(one: Element) -> str:
    return one.attributes.get("refType", "").replace("_", "").casefold()


def _content(at: Element | None) -> str:
    """The words of an element in English where it has them, else in its first language."""
    if at is None:
        return ""
    told = [(one.attributes.get("lang", ""), " ".join(one.text.split())) for one in at.all("content")]
    told = [one for one in told if one[1]]
    return next((text for lang, text in told if lang == "en"), told[0][1] if told else "")
