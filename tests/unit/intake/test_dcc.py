"""Digital calibration certificates: what is taken, what is said to be left, and what means harm."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.intake.dcc import NoCertificate, read_dcc
from asfound.intake.dcc_units import dsi_unit
from asfound.measure import UNITS, Quantity
from tests.support.certificate import CERTIFICATE, certificate

EXPANDED = "<si:coverageFactorXMLList>2</si:coverageFactorXMLList>"


def faults(data: bytes) -> list[tuple[int, int, str]]:
    with pytest.raises(NoCertificate) as told:
        read_dcc(data)
    return [(one.line, one.column, one.found) for one in told.value.faults]


def line_of(text: str) -> int:
    return CERTIFICATE[: CERTIFICATE.index(text)].count("\n") + 1


def test_number_dates_laboratory_and_thing_are_taken() -> None:
    read = read_dcc(certificate())
    assert (read.number, read.first, read.last) == ("LC-26-011", dt.date(2026, 2, 2), dt.date(2026, 2, 3))
    assert read.laboratory == "an accredited laboratory (invented)" and read.version == "3.3.0"
    (thing,) = read.things
    # English where there is some; the serial number is the one that is called so, not the laboratory's own.
    assert (thing.what, thing.maker, thing.model, thing.serial) == (
        "Flow analyser", "an invented maker", "FA 2", "A-2210"
    )  # fmt: skip
    assert thing.identifications == ("LAB-7", "A-2210")
    assert read.conformity == ("pass",) and not read.signed and not read.adjusted


def test_ranges_are_those_of_the_reference_and_doubts_the_largest_with_their_factor() -> None:
    flow, voltage = read_dcc(certificate()).compared
    assert (flow.name, flow.unit.symbol, flow.unit.quantity) == ("Flow", "mL/h", Quantity.FLOW)
    # 10.00 to 300.0, not 10.02 to 299.1 as measured.
    assert [str(one) for one in (flow.low, flow.high, flow.doubt, flow.k)] == ["10.00", "300.0", "0.60", "2"]
    assert (voltage.unit.symbol, voltage.low, voltage.high) == ("V", Decimal("1.000"), Decimal("1.000"))
    assert (voltage.doubt, voltage.k) == (Decimal("2.1e-3"), Decimal("2.05"))


def test_conditions_of_the_room_are_no_range_and_a_unit_nobody_knows_is_named_with_its_line() -> None:
    read = read_dcc(certificate())
    assert [one.name for one in read.compared] == ["Flow", "Output for a recorder"]
    unknown = [one for one in read.unread if "candela" in one.found]
    assert len(unknown) == 1 and unknown[0].line == line_of("<si:value>80")


def test_a_standard_uncertainty_is_one_with_the_factor_one() -> None:
    data = certificate(
        ("<si:expandedUnc>\n", "<si:measurementUncertaintyUnivariate><si:standardMU>\n"),
        ("<si:uncertainty>2.1e-3</si:uncertainty><si:coverageFactor>2.05</si:coverageFactor>",
         "<si:valueStandardMU>0.001</si:valueStandardMU>"),
        ("<si:coverageProbability>0.95</si:coverageProbability>\n                </si:expandedUnc>",
         "</si:standardMU></si:measurementUncertaintyUnivariate>"),
    )  # fmt: skip
    voltage = read_dcc(data).compared[1]
    assert (voltage.doubt, voltage.k) == (Decimal("0.001"), Decimal(1))


def test_an_uncertainty_without_its_factor_is_left_out_and_said() -> None:
    read = read_dcc(certificate((EXPANDED, "")))
    assert [one.name for one in read.compared] == ["Output for a recorder"]
    assert any("without its coverage factor" in one.found for one in read.unread)


def test_a_factor_a_value_goes_with_its_own_doubt() -> None:
    flow = read_dcc(certificate((EXPANDED, EXPANDED.replace("2<", "2 2 3<")))).compared[0]
    # 0.60 at 3 is 0.20 at 1, and 0.20 at 2 only 0.10.
    assert (flow.doubt, flow.k) == (Decimal("0.60"), Decimal(3))


def test_of_a_state_before_and_one_after_an_adjustment_both_have_their_place() -> None:
    data = certificate(
        ('<dcc:result>\n          <dcc:name><dcc:content lang="en">Flow<',
         '<dcc:result refType="basic_afterAdjustment">\n          <dcc:name><dcc:content lang="en">Flow<'),
        ('<dcc:result>\n          <dcc:name><dcc:content lang="en">Output',
         '<dcc:result refType="basic_beforeAdjustment">\n          <dcc:name><dcc:content lang="en">Output'),
        ("<dcc:conformity>pass", "<dcc:conformity>fail"),
    )  # fmt: skip
    read = read_dcc(data)
    assert read.adjusted and [one.name for one in read.compared] == ["Flow"] and read.conformity == ("fail",)


# --- what is no certificate


def test_a_file_cut_short_is_told_with_line_and_column() -> None:
    data = certificate()
    cut = data[: data.index(b"</dcc:coreData>")]
    ((line, column, found),) = faults(cut)
    assert "no well-formed XML" in found
    assert line == cut.count(b"\n") + 1 and column >= 1


BOMB = (
    '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>\n'
)
OUTSIDE = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>\n'
ELSEWHERE = '<!DOCTYPE x SYSTEM "https://example.invalid/dcc.dtd">\n'


@pytest.mark.parametrize("declared", [BOMB, OUTSIDE, ELSEWHERE, "<!DOCTYPE x>\n"])
def test_a_document_type_is_refused_where_it_begins(declared: str) -> None:
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    data = certificate((head, head + declared), ("LC-26-011", "&c;" if "ENTITY c" in declared else "LC"))
    ((line, column, found),) = faults(data)
    assert (line, found) == (2, "a document type is declared") and column >= 1


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (('"https://ptb.de/dcc"', '"https://example.invalid/dcc"'), "of https://example.invalid/dcc"),
        (('schemaVersion="3.3.0"', 'schemaVersion="2.4.0"'), "version “2.4.0”"),
        (('schemaVersion="3.3.0"', 'schemaVersion="4.0.0"'), "version “4.0.0”"),
        ((' schemaVersion="3.3.0"', ""), "no schemaVersion"),
        (("<dcc:uniqueIdentifier>LC-26-011</dcc:uniqueIdentifier>", ""), "holds no uniqueIdentifier"),
        ((">LC-26-011<", "> <"), "holds no text in uniqueIdentifier"),
        (("2026-02-03Z", "3.2.2026"), "endPerformanceDate holds “3.2.2026”"),
        (("2026-02-03Z", "2026-02-31"), "endPerformanceDate holds “2026-02-31”"),
        (("an accredited laboratory (invented)", ""), "holds no calibrationLaboratory/contact/name"),
    ],
)
def test_what_is_missing_or_of_another_kind_is_told_with_its_place(change: tuple[str, str], found: str) -> None:
    told = faults(certificate(change))
    assert len(told) == 1 and found in told[0][2]
    assert told[0][0] > 1 and told[0][1] >= 1


def test_all_that_is_wrong_is_told_in_one_run() -> None:
    told = faults(
        certificate((">LC-26-011<", "><"), ("2026-02-02", "soon"), ("an accredited laboratory (invented)", ""))
    )
    assert len(told) == 3
    assert told[1][0] == line_of("2026-02-02")


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"<a/>", b"\xff\xfe", "<a>ä</a>".encode("latin-1"), b"<" * 5000])
def test_other_files_are_refused_in_words(data: bytes) -> None:
    assert all(line >= 1 and column >= 1 and found for line, column, found in faults(data))


def test_depth_and_number_of_elements_are_bounded() -> None:
    assert "inside one another" in faults(b"<a>" * 5000)[0][2]
    assert "more than 200000 elements" in faults(b"<a>" + b"<b/>" * 200_001 + b"</a>")[0][2]


def test_another_encoding_that_is_declared_is_read() -> None:
    text = CERTIFICATE.replace('encoding="UTF-8"', 'encoding="UTF-16"')
    assert read_dcc(text.encode("utf-16")).number == "LC-26-011"


@settings(max_examples=150, deadline=None)
@given(at=st.integers(0, len(CERTIFICATE.encode()) - 1), new=st.binary(max_size=4), gone=st.integers(0, 40))
def test_no_damage_ends_in_anything_but_words(at: int, new: bytes, gone: int) -> None:
    data = CERTIFICATE.encode()
    try:
        read_dcc(data[:at] + new + data[at + gone :])
    except NoCertificate as told:
        assert told.faults


# --- units


@pytest.mark.parametrize(
    ("text", "symbol"),
    [
        (r"\volt", "V"), (r"\milli\ampere", "mA"), (r"\micro\ampere", "uA"), (r"\kilo\ohm", "kohm"), (r"\ohm", "ohm"),
        (r"\milli\litre\per\hour", "mL/h"), (r"\litre\per\minute", "L/min"), (r"\kilo\pascal", "kPa"),
        (r"\milli\litre\hour\tothe{-1}", "mL/h"), (r"\joule", "J"), (r"\hertz", "Hz"), (r"\kilogram", "kg"),
        (r"\percent", "%"), (r"\second", "s"),
    ],
)  # fmt: skip
def test_units_of_the_exchange_format_are_units_here(text: str, symbol: str) -> None:
    """Digital System of Units, names of prefixes and units (from memory)."""
    found = dsi_unit(text)
    assert found is not None and found.symbol == symbol


def test_degrees_celsius_are_a_temperature() -> None:
    found = dsi_unit(r"\degreecelsius")
    assert found is not None and found.quantity is Quantity.TEMPERATURE


@pytest.mark.parametrize(
    "text", ["", "mV", r"\candela", r"\volt mV", r"\tothe{2}", r"\milli", r"\per", "\\", r"\volt{", "V"]
)
def test_what_is_no_such_unit_is_none(text: str) -> None:
    assert dsi_unit(text) is None


@given(st.text(alphabet="\\abcdeilmnoprtuvh{}-23 ", max_size=30))
def test_no_text_breaks_the_reading_of_units(text: str) -> None:
    found = dsi_unit(text)
    assert found is None or found in UNITS
