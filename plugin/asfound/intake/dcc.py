"""A digital calibration certificate, read: which thing, by whom, when, over which values and with which doubt.

The form is the open XML schema of digital calibration certificates, version 3 (namespace https://ptb.de/dcc, values in
https://ptb.de/si). Elements and states of adjustment were held against the schema 3.2.0 and examples of its good
practice that public repositories keep (confirmed), the reader as a whole against examples of 3.3.0 by the makers of the
schema (`tests/reference/certificates`); what a certificate replaces is from a program that writes it (secondary). No
signature is verified here, and nothing is fetched.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from msgspec import Struct, structs

from asfound.intake.dcc_results import Compared, compared_of, content, refs, types
from asfound.intake.dcc_states import states_of
from asfound.intake.dcc_xml import Element, NoXml, XmlFault, read_xml

DCC = "https://ptb.de/dcc"
_VERSION = re.compile(r"3\.\d+(\.\d+)?([-.\w]*)?")
_DATE = re.compile(r"\s*(\d{4}-\d{2}-\d{2})(Z|[+-]\d{2}:\d{2})?\s*")


class NoCertificate(Exception):
    """The file is no certificate that can be read; `faults` say where and why, all of them."""

    def __init__(self, faults: tuple[XmlFault, ...]) -> None:
        super().__init__("; ".join(one.found for one in faults))
        self.faults = faults


class Thing(Struct, frozen=True):
    """What was calibrated. `identifications` are all values it is known by; `serial` empty where none is called so.

    ref  the id by which results of the certificate refer to it; empty where it has none
    """

    what: str
    maker: str
    model: str
    serial: str
    identifications: tuple[str, ...]
    ref: str = ""


class Certificate(Struct, frozen=True):
    """What was read.

    conformity  the statements of it, in the words of the schema (`pass`, `fail`, `conditionalPass` …), before any
                adjustment where the certificate parts the two
    conformity_of  of each of them the things it is of, by their ids in the file; none where it does not say
    adjusted    whether it tells of a state after an adjustment
    signed      whether a signature stands in it (nobody verified it)
    unread      what is in it and could not be taken, each with its place
    remarks     what was taken with a guess, each with its place
    again       the day by which it is to be calibrated again, where the certificate names one
    replaces    numbers of certificates in whose place it stands, each with the word for it (`amended`, `substituted`)
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
    remarks: tuple[XmlFault, ...] = ()
    again: dt.date | None = None
    replaces: tuple[tuple[str, str], ...] = ()
    conformity_of: tuple[tuple[str, ...], ...] = ()


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
        self.remarks: list[XmlFault] = []

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
        statements = list(admin.all("statements", "statement"))
        states = states_of(results, statements, self._left)
        known = {one.ref for one in things if one.ref}
        compared = tuple(
            found
            for measurement, result in states.results
            for found in compared_of(result, refs(result) or refs(measurement), self._left, self._remark)
        )
        compared = tuple(structs.replace(one, of=tuple(ref for ref in one.of if ref in known)) for one in compared)
        if first is not None and last is not None and first > last:
            at = core.first("beginPerformanceDate") or core
            self.faults.append(XmlFault(at.line, at.column, f"the calibration begins on {first} and ends on {last}",
                                        "a first day that is not after the last is needed",
                                        "Ask the laboratory which of the two is meant."))  # fmt: skip
        again = self._again(statements)
        if number is None or first is None or last is None or laboratory is None or self.faults:
            return None
        signed = any(one.name == "Signature" for one in self.root.children)
        version = self.root.attributes["schemaVersion"]
        return Certificate(number, first, last, issued, laboratory, things, compared,
                           tuple(word for word, _ in states.conformity), states.adjusted, version, signed,
                           tuple(self.unread), tuple(self.remarks), again, tuple(_replaced(core)),
                           tuple(_nearest(named, known) for _, named in states.conformity))  # fmt: skip

    def _left(self, at: Element, why: str) -> None:
        self.unread.append(XmlFault(at.line, at.column, why, "it was left out"))

    def _remark(self, at: Element, why: str) -> None:
        self.remarks.append(XmlFault(at.line, at.column, why, "look whether it is meant so"))

    def _again(self, statements: list[Element]) -> dt.date | None:
        """The day by which it is to be calibrated again, on the word of whoever set it; the earliest."""
        dates = [
            found
            for one in statements
            if any(word.endswith("recalibration") for word in types(one))
            and one.first("date") is not None
            and (found := self._date(one, "date")) is not None
        ]
        return min(dates, default=None)

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
        text = content(found)
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
            if not serial and (
                any("serialnumber" in word for word in types(one)) or "serial" in called or "serien" in called
            ):
                serial = text
        model = item.first("model")
        return Thing(content(item.first("name")), content(item.first("manufacturer", "name")),
                     " ".join(model.text.split()) if model else "", serial, tuple(known),
                     item.attributes.get("id", ""))  # fmt: skip


def _nearest(named: tuple[tuple[str, ...], ...], things: set[str]) -> tuple[str, ...]:
    """The things that the nearest reference to any is to; a reference may also be to a method or to equipment."""
    return next((found for one in named if (found := tuple(ref for ref in one if ref in things))), ())


def _replaced(core: Element) -> Iterator[tuple[str, str]]:
    """In whose place a certificate stands: numbers, each with the word for it."""
    for one in core.all("reportAmendedSubstituted"):
        how, number = one.first("typeOfChange"), one.first("replacedUniqueIdentifier")
        if number is not None and (text := " ".join(number.text.split())):
            yield text, " ".join(how.text.split()) if how else "replaced"
