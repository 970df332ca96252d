"""Tables, doubts and states of calibration certificates that the examples of others do not show.

Forms are those of the schemas named in `asfound.intake.dcc_results` and `dcc_states`; the values are invented.
"""

from __future__ import annotations

import datetime as dt

import pytest

from asfound.intake.dcc import Certificate, NoCertificate, read_dcc
from tests.support.certificate import certificate

FLOW = "10.02 100.3 299.1"
REFERENCE = """              <dcc:quantity refType="basic_referenceValue">
                <si:realListXMLList>
                  <si:valueXMLList>10.00 100.0 300.0</si:valueXMLList>
                  <si:unitXMLList>\\milli\\litre\\per\\hour</si:unitXMLList>
                </si:realListXMLList>
              </dcc:quantity>
"""
MEASURED = 'refType="basic_measuredValue"'
RESULTS = "      <dcc:results>\n"
ROOM = "</dcc:influenceConditions>"


def read(*changes: tuple[str, str]) -> Certificate:
    return read_dcc(certificate(*changes))


def left(found: Certificate) -> str:
    return " | ".join(one.found for one in found.unread)


def first(found: Certificate) -> list[str]:
    one = found.compared[0]
    return [one.name, str(one.low), str(one.high), one.unit.symbol, str(one.doubt), str(one.k)]


def series(kind: str, values: str, unit: str, inside: str = "", form: str = "realListXMLList") -> str:
    return (
        f"<dcc:quantity{kind}><si:{form}><si:valueXMLList>{values}</si:valueXMLList><si:unitXMLList>{unit}"
        f"</si:unitXMLList>{inside}</si:{form}></dcc:quantity>"
    )


def test_errors_alone_are_no_range_over_which_a_thing_was_compared() -> None:
    found = read((REFERENCE, ""), (MEASURED, 'refType="basic_correction"'))
    assert "“Flow” has no values that are called reference, nominal, calibration or measured ones" in left(found)
    assert [one.name for one in found.compared] == ["Output for a recorder"]


def test_where_no_quantity_is_called_anything_the_guess_is_told() -> None:
    found = read((REFERENCE, ""), (f" {MEASURED}", ""))
    assert first(found) == ["Flow", "10.02", "299.1", "mL/h", "0.60", "2"]
    assert ["calls none of its quantities a reference" in one.found for one in found.remarks] == [True]


def test_one_of_several_types_of_reference_is_enough() -> None:
    found = read(('refType="basic_referenceValue">\n                <si:realListXMLList>',
                  'refType="basic_referenceValue own_flow">\n                <si:realListXMLList>'))  # fmt: skip
    assert first(found)[1:3] == ["10.00", "300.0"] and not found.remarks


def test_two_tables_of_one_result_are_two() -> None:
    second = (
        '</dcc:list><dcc:list><dcc:name><dcc:content lang="en">pressure</dcc:content></dcc:name>'
        + series(' refType="basic_nominalValue"', "10 20", r"\kilo\pascal", "<si:expandedUncXMLList>"
                 "<si:uncertaintyXMLList>0.1</si:uncertaintyXMLList><si:coverageFactorXMLList>2</si:coverageFactorXMLList>"
                 "</si:expandedUncXMLList>")
        + "</dcc:list>"
    )  # fmt: skip
    found = read(("            </dcc:list>\n", second))
    assert [(one.name, one.unit.symbol) for one in found.compared][:2] == [("Flow", "mL/h"), ("Flow: pressure", "kPa")]


def test_limits_beside_a_quantity_are_no_values_of_a_table() -> None:
    beside = (
        "<dcc:measurementMetaData><dcc:metaData><dcc:conformityXMLList>pass fail pass</dcc:conformityXMLList><dcc:data>"
        + series(' refType="basic_referenceValue"', "1 900", r"\milli\litre\per\hour")
        + "</dcc:data></dcc:metaData></dcc:measurementMetaData>"
    )
    found = read((REFERENCE, REFERENCE.replace("</dcc:quantity>", f"{beside}</dcc:quantity>")))
    assert first(found)[1:3] == ["10.00", "300.0"]
    assert found.conformity == ("pass", "fail", "pass", "pass")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("0.05 0.20 0.60", "0.05 0.20", "2 uncertainties and 1 coverage factors stand beside 3 values"),
        ("<si:coverageFactorXMLList>2<", "<si:coverageFactorXMLList>2 2<", "and 2 coverage factors stand beside 3"),
        ("0.05 0.20 0.60", "0.05 -0.20 0.60", "an uncertainty is negative"),
        ("<si:coverageFactorXMLList>2<", "<si:coverageFactorXMLList>0.5<", "its coverage factor smaller than 1"),
        ("0.05 0.20 0.60", "0", "an uncertainty of nought"),
        ("0.05 0.20 0.60", "0.05 NaN 0.60", "“NaN” is no number"),
    ],
)  # fmt: skip
def test_an_uncertainty_that_cannot_be_meant_is_left_out_and_said(old: str, new: str, said: str) -> None:
    found = read((old, new))
    assert said in left(found) and [one.name for one in found.compared] == ["Output for a recorder"]


def test_numbers_are_taken_as_programs_write_them() -> None:
    found = read(("10.00 100.0 300.0", ".5 100. 3.e2"), ("0.05 0.20 0.60", "+.05 2.0E-1 .6"))
    assert [float(one) for one in (found.compared[0].low, found.compared[0].high)] == [0.5, 300.0]
    assert str(found.compared[0].doubt) == "0.6"


def test_several_units_in_one_list_are_named() -> None:
    unit = r"<si:valueXMLList>10.00 100.0 300.0</si:valueXMLList>" + "\n" + " " * 18 + r"<si:unitXMLList>"
    found = read((unit, unit + r"\litre\per\hour "))
    assert r"one list holds several units (\litre\per\hour, \milli\litre\per\hour)" in left(found)


def test_a_coverage_interval_gives_its_standard_uncertainty() -> None:
    found = read(
        ("<si:uncertainty>2.1e-3</si:uncertainty><si:coverageFactor>2.05</si:coverageFactor>",
         "<si:standardUnc>0.004</si:standardUnc><si:intervalMin>0.99</si:intervalMin><si:intervalMax>1.02</si:intervalMax>"),
        ("<si:expandedUnc>", "<si:coverageInterval>"), ("</si:expandedUnc>", "</si:coverageInterval>"),
    )  # fmt: skip
    assert [str(found.compared[1].doubt), str(found.compared[1].k)] == ["0.004", "1"]
    assert "a coverage interval is not read" in left(found)


def test_a_list_of_single_values_is_read_with_the_doubt_of_each_and_of_all() -> None:
    one = "<si:real><si:value>{}</si:value>{}</si:real>"
    each = (
        "<si:expandedUnc><si:uncertainty>0.9</si:uncertainty><si:coverageFactor>2</si:coverageFactor></si:expandedUnc>"
    )
    listed = (
        r'<dcc:quantity refType="basic_referenceValue"><si:realList><si:listUnit>\milli\litre\per\hour</si:listUnit>'
        f"{one.format('9', '')}{one.format('310', each)}</si:realList></dcc:quantity>"
    )
    assert first(read((REFERENCE, listed))) == ["Flow", "9", "310", "mL/h", "0.9", "2"]


@pytest.mark.parametrize(
    ("form", "said"),
    [("<si:complex/>", "a complex value is not read"), ("<si:constant/>", "a constant is not read"),
     ("<si:list/>", "a list of lists is not read")],
)  # fmt: skip
def test_forms_that_are_not_read_are_named(form: str, said: str) -> None:
    assert said in left(read((REFERENCE, f"{REFERENCE}<dcc:quantity>{form}</dcc:quantity>")))


def test_temperatures_in_kelvin_alone_stand_in_degrees_celsius_and_it_is_said() -> None:
    unit, doubt = r"\milli\litre\per\hour", "0.05 0.20 0.60"
    text = certificate().decode().replace(unit, r"\kelvin").replace("10.00 100.0 300.0", "273.15 300 310.15")
    found = read_dcc(text.encode())
    assert first(found) == ["Flow", "0.00", "37.00", "degC", "0.60", "2"] and doubt in text
    assert any("less 273.15" in one.found for one in found.remarks)


def test_an_uncertainty_that_is_relative_only_is_named_so() -> None:
    text = certificate().decode()
    a, b = (
        text.index("<si:measurementUncertaintyUnivariateXMLList>"),
        text.index("                </si:realListXMLList>\n              </dcc:quantity>\n            </dcc:list>"),
    )
    text = text[:a] + text[b:].replace(
        "</si:realListXMLList>",
        "</si:realListXMLList><dcc:relativeUncertainty><dcc:relativeUncertaintyXmlList><si:valueXMLList>0.002"
        "</si:valueXMLList></dcc:relativeUncertaintyXmlList></dcc:relativeUncertainty>", 1
    )  # fmt: skip
    assert "“Flow” states its uncertainty relative to its values only" in left(read_dcc(text.encode()))


# --- before and after an adjustment


def condition(status: str, inside: str = "", conformity: str = "") -> str:
    meta = "dcc:measurementMetaData"
    told = f"<{meta}><dcc:metaData><dcc:conformity>{conformity}</dcc:conformity></dcc:metaData></{meta}>"
    quantity = f"<dcc:quantity>{inside}{told if conformity else ''}</dcc:quantity>" if inside else "<dcc:text/>"
    held = f"<dcc:status>{status}</dcc:status><dcc:data>{quantity}</dcc:data>"
    return f"<dcc:influenceCondition>{held}</dcc:influenceCondition>"


VALUE = r"<si:real><si:value>1</si:value><si:unit>\volt</si:unit></si:real>"


@pytest.mark.parametrize("status", ["beforeAdjustment", "beforeRepair"])
def test_values_before_an_adjustment_tell_how_it_was_found_and_never_what_is_covered(status: str) -> None:
    """Good practice of the schema: they stand in a condition, those after it in the results."""
    found = read((ROOM, condition(status, VALUE, "fail") + ROOM))
    assert found.adjusted and found.conformity == ("fail",)
    assert [one.name for one in found.compared] == ["Flow", "Output for a recorder"]


def test_an_adjustment_without_a_word_about_before_leaves_as_found_open() -> None:
    found = read((ROOM, condition("afterAdjustment") + ROOM))
    assert found.adjusted and found.conformity == () and len(found.compared) == 2


def test_results_of_a_measurement_before_an_adjustment_are_not_covered() -> None:
    found = read((ROOM, condition("beforeAdjustment") + ROOM))
    assert found.compared == () and found.conformity == ("pass",)
    assert "all values are of a state before an adjustment" in left(found)


def test_a_conformity_of_the_whole_is_of_no_state_once_it_was_adjusted() -> None:
    stated = "<dcc:statements><dcc:statement><dcc:conformity>pass</dcc:conformity></dcc:statement></dcc:statements>"
    end = "  </dcc:administrativeData>"
    assert read((end, stated + end)).conformity == ("pass", "pass")
    found = read((end, stated + end), (ROOM, condition("afterAdjustment") + ROOM))
    assert found.conformity == () and "does not say before or after" in left(found)


# --- what else it tells


def test_days_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(NoCertificate) as told:
        read(("2026-02-02", "2026-03-02"))
    assert "begins on 2026-03-02 and ends on 2026-02-03" in told.value.faults[0].found


def test_a_certificate_in_the_place_of_another_and_the_day_of_the_next_are_told() -> None:
    core = "    </dcc:coreData>"
    number = "<dcc:replacedUniqueIdentifier>LC-26-010</dcc:replacedUniqueIdentifier>"
    held = f"<dcc:typeOfChange>amended</dcc:typeOfChange>{number}"
    replaced = f"<dcc:reportAmendedSubstituted>{held}</dcc:reportAmendedSubstituted>"
    again = ('<dcc:statements><dcc:statement refType="basic_recalibration"><dcc:date>2026-12-01</dcc:date>'
             "</dcc:statement></dcc:statements>")  # fmt: skip
    end = "  </dcc:administrativeData>"
    found = read((core, replaced + core), (end, again + end))
    assert found.replaces == (("LC-26-010", "amended"),) and found.again == dt.date(2026, 12, 1)
