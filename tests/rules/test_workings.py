"""Rules about calculations, on the base case with a calculations.yml: named, fed, grounded, within the model."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import assert_fires, assert_silent

Z = "calculations.yml"
WEIGHED = """\
Z-1:
  calculation: gravimetric-flow
  asks: How much flowed by the balance?
  inputs:
    mass: {value: 9.96 g, doubt: 0.02 g, why: read from the balance}
    time: {value: 2 h, from: [T-1]}
    temperature: {value: 22 °C, why: of the water}
    rate: {value: 5 mL/h, why: as it was set}
"""
SLOPE = """\
Z-2:
  calculation: siphon
  asks: What does the flow come to?
  inputs:
    height: {value: 75 cm, from: [A-1]}
  rows:
    sheet: S-flow
    columns: {height: setting, flow: value}
"""
DENSITY = """\
Z-3:
  calculation: current-density
  asks: How dense was the current?
  inputs:
    current: R-touch-3
    area: {value: 0.8 cm², doubt: 0.1 cm², why: from the print}
"""


def extra(text: str) -> dict[str, str | bytes]:
    return {Z: text}


def test_calculation_unknown() -> None:
    assert_fires(
        "calculation-unknown",
        extra=extra(WEIGHED.replace("gravimetric-flow", "gravimetric-flaw")),
        at=(Z, "gravimetric-flaw"),
        says="“gravimetric-flow” is perhaps meant",
    )
    assert_silent("calculation-unknown", extra=extra(WEIGHED + DENSITY))


def test_calculation_input_unfit() -> None:
    for old, new, at, says in (
        ("value: 9.96 g", "value: 9.96 mL", "value: 9.96 mL", "mass"),
        ("value: 9.96 g", "value: 9.96", "value: 9.96", "mass bears no unit"),
        ("doubt: 0.02 g", "doubt: 0.02 s", "doubt: 0.02 s", "a doubt in g is needed"),
        ("    temperature:", "    tempature:", "tempature", "“temperature” is perhaps meant"),
        ("    time: {value: 2 h, from: [T-1]}\n", "", "inputs:", "not given “time”"),
        ("{value: 2 h, from: [T-1]}", "R-flow-1", "R-flow-1", "R-flow-1 is in mL/h; a figure in h is needed for time"),
    ):
        assert_fires(
            "calculation-input-unfit", extra=extra(WEIGHED.replace(old, new)), at=(Z, at), says=says
        )  # fmt: skip
    # Another unit of the same quantity is converted, and a reading is taken with its own doubt.
    assert_silent("calculation-input-unfit", extra=extra(WEIGHED.replace("9.96 g", "9960 mg") + DENSITY))


def test_calculation_rows_unfit() -> None:
    for old, new, at, says in (
        ("sheet: S-flow", "sheet: S-earth", "columns:", "setting is not recorded"),
        ("flow: value", "flaw: value", "columns:", "siphon has no column “flaw”"),
        ("    columns:", "    where: {setting: 70 mL/h}\n    columns:", "where:", "no reading of S-flow"),
        ("  rows:\n    sheet: S-flow\n    columns: {height: setting, flow: value}\n", "", "Z-2:", "needs rows with"),
    ):
        assert_fires("calculation-rows-unfit", extra=extra(SLOPE.replace(old, new)), at=(Z, at), says=says)
    assert_fires(
        "calculation-rows-unfit",
        extra=extra(DENSITY + "  rows: {sheet: S-flow}\n"),
        at=(Z, "rows:"),
        says="current-density takes no rows",
    )
    assert_fires(
        "calculation-rows-unfit",
        extra=extra(SLOPE.replace("columns: {height: setting,", "columns: {height: value,")),
        at=(Z, "columns:"),
        says="it is in mL/h; a reading in cm is needed",
    )
    assert_silent("calculation-rows-unfit", extra=extra(WEIGHED + DENSITY))


def test_calculation_ungrounded() -> None:
    assert_fires(
        "calculation-ungrounded",
        extra=extra(WEIGHED.replace(", from: [T-1]", "")),
        at=(Z, "time:"),
        says="time is stated as 2 h, and nothing says where it comes from",
    )
    assert_silent("calculation-ungrounded", extra=extra(WEIGHED))


def test_calculation_beyond_model() -> None:
    assert_fires(
        "calculation-beyond-model",
        extra=extra(DENSITY + "  reaches: [user-error]\n"),
        at=(Z, "reaches:"),
        says="it is said to reach user-error",
    )
    assert_silent("calculation-beyond-model", extra=extra(DENSITY))


def test_calculation_circular() -> None:
    round_ = WEIGHED.replace("{value: 2 h, from: [T-1]}", "Y-3-mean-current-density") + DENSITY.replace(
        "R-touch-3", "Y-1-flow"
    )
    assert_fires(
        "calculation-circular",
        extra=extra(round_),
        at=(Z, "Z-1: > inputs:"),
        says="Z-1 and Z-3 wait for their own answers",
    )
    assert_silent("calculation-circular", extra=extra(WEIGHED + DENSITY))


def test_calculation_failed() -> None:
    assert_fires(
        "calculation-failed", extra=extra(WEIGHED.replace("value: 2 h", "value: 0 h")), at=(Z, "Z-1:"), says="Z-1"
    )
    assert_silent("calculation-failed", extra=extra(WEIGHED))


def test_an_id_that_stands_nowhere_is_told_once() -> None:
    text = extra(DENSITY.replace("R-touch-3", "R-touch-9"))
    assert_fires("citation-leads-nowhere", extra=text, at=(Z, "R-touch-9"), says="R-touch-9", level=Level.REJECT)
    assert_silent("calculation-input-unfit", extra=text)
