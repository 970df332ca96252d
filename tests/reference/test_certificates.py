"""The reader of calibration certificates against examples of the makers of the schema, and against another reader.

Source: the examples of schema 3.3.0 in `certificates/` (see its README; confirmed, they are read here as they came).
The other reader is the standard library's ElementTree with paths written for these files: it shares the parser of XML
with ours, and nothing of what is looked for, turned or chosen. Other packages that read certificates ask a network
for the schema.
"""

from __future__ import annotations

import datetime as dt
import warnings
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

from asfound.intake.dcc import NoCertificate, read_dcc
from asfound.intake.dcc_units import dsi_unit

HERE = Path(__file__).parent / "certificates"
SPACES = {"dcc": "https://ptb.de/dcc", "si": "https://ptb.de/si"}
TABLE = "dcc:measurementResults//dcc:result/dcc:data/dcc:list"


def data(name: str) -> bytes:
    return (HERE / f"{name}.xml").read_bytes()


def text(name: str, path: str) -> str:
    found = ElementTree.fromstring(data(name)).find(path, SPACES)
    assert found is not None and found.text, path
    return " ".join(found.text.split())


def numbers(name: str, quantity: str, path: str) -> list[Decimal]:
    return [Decimal(one) for one in text(name, f"{TABLE}/dcc:quantity[@refType='{quantity}']/{path}").split()]


@pytest.mark.parametrize("name", ["valid", "valid_formula", "valid_signature", "invalid_schematron"])
def test_number_days_laboratory_and_serial_are_those_of_another_reader(name: str) -> None:
    read = read_dcc(data(name))
    core = "dcc:administrativeData/dcc:coreData"
    assert read.number == text(name, f"{core}/dcc:uniqueIdentifier")
    assert read.first.isoformat() == text(name, f"{core}/dcc:beginPerformanceDate")
    assert read.last.isoformat() == text(name, f"{core}/dcc:endPerformanceDate")
    assert read.laboratory == text(name, "dcc:administrativeData/dcc:calibrationLaboratory//dcc:content")
    (thing,) = read.things
    item = "dcc:administrativeData/dcc:items/dcc:item"
    assert thing.serial == text(name, f"{item}//dcc:identification[dcc:issuer='manufacturer']/dcc:value")
    assert read.version == "3.3.0" and not read.adjusted
    assert read.signed is (name == "valid_signature")


@pytest.mark.parametrize("name", ["valid", "valid_signature", "invalid_schematron"])
def test_a_thermometer_is_compared_at_its_references_and_not_over_its_errors(name: str) -> None:
    """Its errors lie between -0.084 K and 0.107 K; it was compared between 33 and 320 °C."""
    (one,) = read_dcc(data(name)).compared
    celsius = numbers(name, "basic_referenceValue", "si:hybrid/si:realListXMLList[2]/si:valueXMLList")
    kelvin = numbers(name, "basic_referenceValue", "si:hybrid/si:realListXMLList[1]/si:valueXMLList")
    assert one.unit.symbol == "degC" and (one.low, one.high) == (min(celsius), max(celsius))
    assert [cold + Decimal("273.15") for cold in celsius] == kelvin
    unc = "si:realListXMLList/si:expandedUncXMLList"
    assert [one.doubt] == numbers(name, "basic_measurementError", f"{unc}/si:uncertaintyXMLList")
    assert [one.k] == numbers(name, "basic_measurementError", f"{unc}/si:coverageFactorXMLList")
    assert one.doubt_unit.symbol == "K"


def test_a_resistance_thermometer_is_covered_in_ohms_and_its_coefficients_are_said_to_be_left() -> None:
    name = "valid_formula"
    read = read_dcc(data(name))
    (one,) = read.compared
    ohms = numbers(name, "basic_measuredValue", "si:realListXMLList/si:valueXMLList")
    doubts = numbers(name, "basic_measuredValue", "si:realListXMLList/si:expandedUncXMLList/si:uncertaintyXMLList")
    assert (one.unit.symbol, one.low, one.high, one.doubt) == ("ohm", min(ohms), max(ohms), max(doubts))
    # Its reference is a temperature, and that it is not the range is said.
    assert ["Indicated measured value probe" in remark.found for remark in read.remarks] == [True]
    assert any("Coefficients" in left.found for left in read.unread)
    lines = data(name).decode().splitlines()
    for left in read.unread:
        assert lines[left.line - 1].lstrip("\t ").startswith(("<dcc:", "<si:"))


def test_conformity_is_read_where_it_stands_once_for_a_list_and_where_it_is_a_statement_of_the_whole() -> None:
    assert read_dcc(data("valid")).conformity == ("pass", "pass")
    assert read_dcc(data("valid_formula")).conformity == ("pass",)
    stated = "dcc:administrativeData//dcc:conformity"
    assert text("valid", stated) == text("valid", "dcc:measurementResults//dcc:conformityXMLList") == "pass"


def test_the_day_for_its_next_calibration_is_told() -> None:
    told = text("valid", "dcc:administrativeData//dcc:statement[@refType='basic_recalibration']/dcc:date")
    assert read_dcc(data("valid")).again == dt.date.fromisoformat(told)


def test_a_byte_order_mark_changes_nothing() -> None:
    assert read_dcc(b"\xef\xbb\xbf" + data("valid")) == read_dcc(data("valid"))


def test_what_the_schema_refuses_is_refused_here_where_it_is_needed() -> None:
    with pytest.raises(NoCertificate) as told:
        read_dcc(data("invalid_schema"))
    (one,) = told.value.faults
    lines = data("invalid_schema").decode().splitlines()
    assert "uniqueIdentifier" in one.found and "<dcc:uniqueIdentifier></dcc:uniqueIdentifier>" in lines[one.line - 1]


# --- units

PREFIXES = ("", r"\giga", r"\mega", r"\kilo", r"\hecto", r"\deci", r"\centi", r"\milli", r"\micro", r"\nano", r"\pico")
NAMES = (
    "ampere", "volt", "ohm", "siemens", "farad", "henry", "coulomb", "watt", "joule", "second", "minute", "hour", "day",
    "hertz", "kelvin", "pascal", "bar", "mmHg", "metre", "litre", "gram", "kilogram", "newton", "lux", "percent", "ppm",
    "one",
)  # fmt: skip
TOGETHER = (
    r"\milli\litre\per\hour", r"\litre\per\minute", r"\litre\per\second", r"\metre\tothe{3}\per\hour",
    r"\watt\per\metre\tothe{2}", r"\milli\watt\centi\metre\tothe{-2}", r"\ampere\per\metre\tothe{2}",
    r"\milli\ampere\centi\metre\tothe{-2}", r"\metre\per\second", r"\milli\metre\per\second",
    r"\gram\milli\litre\tothe{-1}", r"\kilogram\metre\tothe{-3}", r"\milli\litre\hour\tothe{-1}",
)  # fmt: skip


def test_units_of_the_exchange_format_are_as_large_as_another_reader_of_it_takes_them() -> None:
    """`dsiUnits` 3.1, a package by the makers of the format: of each two of one kind, the ratio.

    It takes `W/cm²` written with a division for 1e8 W/m², and written with a negative power for 1e4 W/m²: the second
    is right, and only that spelling is asked of it.
    """
    dsi = pytest.importorskip("dsi_unit")
    known: dict[str, list[tuple[str, Fraction, float]]] = {}
    for text in (*(f"{prefix}\\{name}" for prefix in PREFIXES for name in NAMES), *TOGETHER):
        with warnings.catch_warnings():
            # Of `\per`, which newer certificates write as a negative power; both are read here.
            warnings.simplefilter("ignore")
            mine, theirs = dsi_unit(text), dsi.DsiUnit(text)
        if mine is not None and theirs.valid:
            scale = float(theirs.to_base_unit_tree().scale_factor)
            known.setdefault(str(mine.quantity), []).append((text, mine.factor, scale))
    assert sum(map(len, known.values())) > 70
    for name in (*TOGETHER, *(f"\\{name}" for name in NAMES)):
        assert any(name == text for told in known.values() for text, _, _ in told), name
    for told in known.values():
        first = told[0]
        for text, factor, scale in told:
            assert float(factor / first[1]) == pytest.approx(scale / first[2], rel=1e-8), text


@pytest.mark.parametrize("text", [r"\mmhg", r"\Volt", r"\litres", r"\candela", r"\radian\per\second"])
def test_a_unit_that_is_not_of_the_format_or_not_of_ours_is_none(text: str) -> None:
    assert dsi_unit(text) is None


def test_a_prefix_is_raised_with_its_unit_in_both_spellings() -> None:
    """SI Brochure, 9th edition, 3.1: prefix and unit are one symbol, which is raised as a whole (from memory)."""
    both = dsi_unit(r"\watt\per\centi\metre\tothe{2}"), dsi_unit(r"\watt\centi\metre\tothe{-2}")
    assert both[0] == both[1] and both[0] is not None and both[0].factor == 10_000
