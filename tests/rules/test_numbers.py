"""Rules about values, units and conditions, on the base case and on the packaged protocols."""

from __future__ import annotations

from decimal import Decimal

import pytest

from asfound.problems import Level
from asfound.rules.numbers.slip_of_ten import power_of_ten
from tests.rules.support import Edit, assert_fires, assert_silent

EARTH = "readings/earth.csv"
FLOW = "readings/flow.csv"
TOUCH = "readings/touch.csv"


def packaged(test: str, protocol: str, function: str, limits: str = "", more: str = "") -> list[Edit]:
    """Edits that add one sheet, S-more, of a packaged protocol's test; its rows come as readings/more.csv."""
    sheet = f"""S-more:
  test: {test}
  item: I-1
  instrument: M-1
  function: {function}
  by: examiner
  from: 2026-03-05 13:20 -06:00
  to: 2026-03-05 13:50 -06:00
{more}S-touch:
"""
    sets = "limit_sets: [base-limits" + (f", {limits}]" if limits else "]")
    return [
        ("plan.yml", "protocols: [base-pump]", f"protocols: [base-pump, {protocol}]"),
        ("plan.yml", "limit_sets: [base-limits]", sets),
        ("plan.yml", "tests:\n", f"tests:\n  {test}: {{item: I-1, why: More.}}\n"),
        ("sheets.yml", "S-touch:\n", sheet),
    ]


def earth(limits: str = "iec-62353-2014", current: str = "  constants: {test current: 200 mA}\n") -> list[Edit]:
    return packaged("protective-earth", "electrical-safety", "earth resistance", limits, current)


BOTH_WAYS = "row,path,polarity,value [mohm]\n1,inlet to part,dc forward,81\n2,inlet to part,dc reversed,83\n"
ONE_WAY = "row,path,polarity,value [mohm]\n1,inlet to part,dc forward,81\n2,detachable cord alone,ac,83\n"


def test_earth_test_incomplete() -> None:
    """IEC 62353:2014, 5.3.2: at least 200 mA; direct current in both directions; the highest value counts."""
    assert_silent("earth-test-incomplete", earth(), extra={"readings/more.csv": BOTH_WAYS})
    assert_fires(
        "earth-test-incomplete",
        earth(),
        extra={"readings/more.csv": ONE_WAY},
        at=("readings/more.csv", "1,inlet to part"),
        says="with d.c. in one direction only",
    )
    assert_fires(
        "earth-test-incomplete",
        earth(current=""),
        extra={"readings/more.csv": BOTH_WAYS},
        at=("sheets.yml", "S-more:"),
        says="does not record its test current",
    )
    assert_fires(
        "earth-test-incomplete",
        earth(current="  constants: {test current: 199 mA}\n"),
        extra={"readings/more.csv": BOTH_WAYS},
        at=("readings/more.csv", "1,inlet to part"),
        says="a test current of 199 mA",
    )
    assert_fires(
        "earth-test-incomplete",
        earth(),
        extra={"readings/more.csv": "row,path,value [mohm]\n1,inlet to part,81\n"},
        at=("sheets.yml", "S-more:"),
        says="whether the test current was direct",
    )
    assert_fires(
        "earth-test-incomplete",
        earth(),
        extra={"readings/more.csv": "row,path,polarity,value [mohm],note\n1,inlet to part,ac,81,mean of three\n"},
        at=("readings/more.csv", "mean of three"),
    )
    assert_fires(
        "earth-test-incomplete",
        earth(),
        extra={"readings/more.csv": "row,polarity,value [mohm]\n1,ac,81\n"},
        at=("sheets.yml", "test current: 200 mA"),
        says="does not record path",
    )


def test_the_higher_of_both_directions_is_judged() -> None:
    """IEC 62353:2014, 5.3.2 (confirmed): 0.18 ohm and reversed 0.22 ohm at the inlet count as 0.22, over 0.200 ohm."""
    rows = "row,path,polarity,value [ohm]\n1,inlet to part,dc forward,0.18\n2,inlet to part,dc reversed,0.22\n"
    assert_fires(
        "adverse-reading-uncited",
        earth(),
        extra={"readings/more.csv": rows},
        at=("readings/more.csv", "0.22"),
        says="R-more-2 (fail against iec-62353-2014/protective-earth-inlet)",
    )


def test_the_earth_rule_speaks_of_iec_62353_only() -> None:
    assert_silent("earth-test-incomplete", earth(limits="nfpa-99-2012"), extra={"readings/more.csv": ONE_WAY})


def test_leakage_condition_missing() -> None:
    """800 uA passes by the alternative method and fails by the direct one (IEC 62353:2014; from memory)."""
    constants = "  constants: {class: I, measuring device: network of IEC 60601-1}\n"
    edits = packaged("equipment-leakage", "electrical-safety", "touch current", "iec-62353-2014", constants)
    without = "row,polarity,value [uA]\n1,normal,80\n2,reversed,82\n"
    found = assert_fires(
        "leakage-condition-missing", edits, extra={"readings/more.csv": without}, at=("sheets.yml", "constants: {class")
    )
    assert "method" in found.found
    complete = "row,method,polarity,value [uA]\n1,direct,normal,80\n2,direct,reversed,82\n"
    assert_silent("leakage-condition-missing", edits, extra={"readings/more.csv": complete})
    partly = "row,method,polarity,value [uA]\n1,direct,normal,80\n2,,reversed,82\n"
    assert_fires(
        "leakage-condition-missing",
        edits,
        extra={"readings/more.csv": partly},
        at=("readings/more.csv", "2,,reversed"),
        says="method is blank at R-more-2",
    )


def test_hf_condition_missing() -> None:
    edits = packaged("output-power", "high-frequency-surgical", "output", more="  constants: {load: 300 Ω}\n")
    whole = "row,port,mode,setting [W],activation,value [W]\n1,1,cut,90,hand switch,88\n2,2,cut,90,hand switch,87\n"
    assert_silent("hf-condition-missing", edits, extra={"readings/more.csv": whole})
    assert_fires(
        "hf-condition-missing",
        [
            edit if edit[0] != "sheets.yml" else (*edit[:2], edit[2].replace("  constants: {load: 300 Ω}\n", ""))
            for edit in edits
        ],
        extra={"readings/more.csv": whole},
        at=("sheets.yml", "S-more:"),
        says="load (Load resistance)",
    )


def test_condition_missing() -> None:
    bare = {EARTH: "row,value [mohm]\n1,142\n2,151\n"}
    assert_fires(
        "condition-missing", extra=bare, at=("sheets.yml", "S-earth:"), says="does not record point (Point touched)"
    )
    constant = ("sheets.yml", "  test: pump-earth\n", "  test: pump-earth\n  constants: {point: case screw}\n")
    assert_silent("condition-missing", [constant], extra=bare)


def test_condition_word_unknown() -> None:
    assert_fires(
        "condition-word-unknown",
        [(TOUCH, "1,closed,normal", "1,close,normal")],
        at=(TOUCH, "1,close,normal"),
        says='earth is "close", perhaps meant as "closed"',
    )
    assert_silent("condition-word-unknown", [(TOUCH, "1,closed,normal", "1,Closed,normal")])
    assert_fires(
        "condition-word-unknown",
        [(TOUCH, "row,earth,polarity", "row,earth,polarty")],
        at=(TOUCH, "1,closed,normal"),
        level=Level.WARN,
        says='"polarty" is not one of the test, perhaps meant as "polarity"',
    )
    assert_fires(
        "condition-word-unknown",
        [("plan.yml", "setting: [50 mL/h, 100 mL/h]", "setting: [50 mL/h, 100 W]")],
        at=("plan.yml", "setting: [50 mL/h, 100 W]"),
        says='setting is "100 W" in W',
    )
    assert_fires(
        "condition-word-unknown",
        [("plan.yml", "setting: [50 mL/h, 100 mL/h]", "setting: [50 mL/h, fast]")],
        at=("plan.yml", "setting: [50 mL/h, fast]"),
        says="which is not a number",
    )


def test_zero_without_proof() -> None:
    zero = (TOUCH, "1,closed,normal,8.1", "1,closed,normal,0.0")
    assert_fires("zero-without-proof", [zero], at=(TOUCH, "0.0"), says="R-touch-1 is exactly zero")
    assert_silent("zero-without-proof", [(TOUCH, "1,closed,normal,8.1", "1,closed,normal,<0.1")])
    touch = "  function: touch current\n"
    note = touch + "  note: {}\n"
    assert_silent(
        "zero-without-proof", [zero, ("sheets.yml", touch, note.format("The pump was energised, its lamp lit."))]
    )
    assert_fires(
        "zero-without-proof", [zero, ("sheets.yml", touch, note.format("It was not energised."))], at=(TOUCH, "0.0")
    )


def test_unit_unknown() -> None:
    assert_fires(
        "unit-unknown",
        [(EARTH, "value [mohm]", "value [mOhms]")],
        at=(EARTH, "1,case screw"),
        says="perhaps meant as ohm",
    )
    assert_fires(
        "unit-unknown",
        [(EARTH, "value [mohm]", "value [mA]")],
        at=(EARTH, "1,case screw"),
        says="a unit of electric current",
    )
    assert_fires("unit-unknown", [(EARTH, "value [mohm]", "value")], at=(EARTH, "1,case screw"), says="without a unit")
    assert_silent("unit-unknown", [(EARTH, "value [mohm]", "value [mΩ]")])
    assert_silent("unit-unknown", [(EARTH, "value [mohm]", "value [ohm]")])
    assert_fires(
        "unit-unknown",
        [(".asfound/instruments.yml", "resolution: 0.1 uA", "resolution: 0.1 uAmp")],
        at=(".asfound/instruments.yml", "0.1 uAmp"),
    )
    assert_fires(
        "unit-unknown",
        [
            (
                "sheets.yml",
                "nominal: 120 V, frequency: 60 Hz}\n  checks:\n    - {what: outlet",
                "nominal: 120 V, frequency: 60 Herz}\n  checks:\n    - {what: outlet",
            )
        ],
        at=("sheets.yml", "60 Herz"),
        says='has the unit "Herz"',
    )


def test_slip_of_ten_among_sisters() -> None:
    assert_fires(
        "slip-of-ten",
        [(FLOW, "5,100,112.3", "5,100,1123")],
        at=(FLOW, "1123"),
        level=Level.WARN,
        says="R-flow-5 is 1123 mL/h, 10 times its sister",
    )
    # 1200 is 10.7 times its sisters: no power of ten, so another rule's matter.
    assert_silent("slip-of-ten", [(FLOW, "5,100,112.3", "5,100,1200")])
    checked = (
        "row,setting [mL/h],value [mL/h],note\n4,100,111.9,\n5,100,1123,checked against the worksheet\n6,100,112.0,\n"
    )
    assert_silent("slip-of-ten", extra={FLOW: checked})


def test_slip_of_ten_between_two() -> None:
    """Of two that differ the later is asked about; leakage with the earth open is ordinarily ten times larger."""
    assert_fires("slip-of-ten", [(EARTH, "151", "1420")], at=(EARTH, "1420"), level=Level.WARN, says="R-earth-1")
    rows = ("1,closed,normal,6.1", "2,closed,reversed,6.2", "3,open,normal,61.0", "4,open,reversed,62.0")
    ten = "\n".join(("row,earth,polarity,value [uA]", *rows, ""))
    assert_silent("slip-of-ten", extra={TOUCH: ten})


def test_slip_of_ten_against_the_setting() -> None:
    assert_fires(
        "slip-of-ten",
        extra={FLOW: "row,setting [mL/h],value [mL/h]\n4,100,111.9\n7,200,20.1\n"},
        at=(FLOW, "20.1"),
        level=Level.WARN,
        says="1/10 of its setting (200 mL/h)",
    )
    # Two settings ten apart give flows ten apart: that is what settings are for.
    assert_silent("slip-of-ten", extra={FLOW: "row,setting [mL/h],value [mL/h]\n4,100,100.2\n7,10,10.0\n"})


def test_mixed_units_are_asked_about() -> None:
    mixed = "row,point,value,unit\n1,case screw,0.142,ohm\n2,pole clamp,151,mohm\n"
    assert_fires(
        "slip-of-ten", extra={EARTH: mixed}, at=(EARTH, "151,mohm"), level=Level.WARN, says="in ohm and in mohm"
    )
    assert_silent("slip-of-ten", extra={EARTH: mixed.replace("mohm", "ohm").replace("151", "0.151")})


@pytest.mark.parametrize(
    ("ratio", "power"),
    [
        ("10", 1),
        ("10.3", 1),
        ("10.31", 0),
        ("9.7", 1),
        ("9.69", 0),
        ("0.1", -1),
        ("1000", 3),
        ("0.001", -3),
        ("1", 0),
        ("2", 0),
    ],
)
def test_powers_of_ten(ratio: str, power: int) -> None:
    assert power_of_ten(Decimal(ratio), Decimal("0.03")) == power
