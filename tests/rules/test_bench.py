"""Rules about instruments and the bench, on the base case."""

from __future__ import annotations

import hashlib

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

REGISTER = ".asfound/instruments.yml"
EARTH = "  test: pump-earth\n  item: I-1\n  accessories: [I-2]\n  instrument: M-1\n"


AGAIN = """\
S-{name}:
  test: pump-flow
  item: I-1
  accessories: [I-2, I-3]
  instrument: M-2
  function: flow
  by: examiner
  from: 2026-03-07 09:00 -06:00
  to: 2026-03-07 12:00 -06:00
  supply: {{kind: grounded, voltage: 119.8 V, nominal: 120 V, frequency: 60 Hz}}
  checks:
    - {{what: reference measured, at: 2026-03-07 08:50 -06:00, ok: yes}}
  repeats_of: S-flow
  as_found_settings: yes
"""


def analyser_again(name: str, setting: str, value: str) -> tuple[list[Edit], dict[str, str]]:
    """The analyser read once more, on a sheet of its own that repeats the first."""
    end = "  repeats_of: S-flow\n  as_found_settings: yes\n"
    rows = "".join(f"{n},{setting},{value},2026-03-07 1{n}:00 -06:00\n" for n in (0, 1))
    return [("sheets.yml", end, end + AGAIN.format(name=name))], {
        f"readings/{name}.csv": f"row,setting [mL/h],value [mL/h],at\n{rows}"
    }


def balance(*values: str) -> list[Edit]:
    """What the balance read at 100 mL/h, where the analyser read 111.9, 112.3 and 112.0 mL/h."""
    rows = ("1,100,112.2", "2,100,112.1", "3,100,112.2")
    return [
        ("readings/flow-again.csv", row, f"{row.rpartition(',')[0]},{value}")
        for row, value in zip(rows, values, strict=True)
    ]


def test_instruments_disagree() -> None:
    """ISO 13528, En (from memory), by hand.

    Doubt of the analyser at 112.07 mL/h, the mean: 1 % and 0.1 mL/h as a rectangle, (1.121 + 0.1)/sqrt 3 = 0.705; half
    a digit, 0.05/sqrt 3 = 0.029; scatter of a mean of three, 0.208/sqrt 3 = 0.120. Together 0.716 mL/h, U at k = 2.00
    is 1.43 mL/h. Of the balance at 106.1 mL/h: (0.5305 + 0.2)/sqrt 3 = 0.422; 0.029; 0.1/sqrt 3 = 0.058. Together
    0.427 mL/h, U = 0.85 mL/h. En is then (106.1 - 112.07)/sqrt(1.43^2 + 0.85^2) = -5.97/1.67 = -3.58.
    """
    off = balance("106.2", "106.0", "106.1")
    problem = assert_fires(
        "instruments-disagree",
        off,
        at=("readings/flow-again.csv", "1,100,106.2"),
        says="no finding speaks of Y-flow-again-second-instrument: the instruments of S-flow-again and of what it "
        "repeats do not agree, the largest En number 3.",
    )
    size = float(problem.found.rpartition("number ")[2].split()[0])
    assert abs(size - 3.58) < 0.02
    # Whoever speaks of the comparison has spoken of it, by citing it or by printing it.
    rests = ("findings.yml", "rests_on: [R-flow-again-1,", "rests_on: [Y-flow-again-second-instrument, R-flow-again-1,")
    assert_silent("instruments-disagree", [*off, rests])
    prints = ("findings.yml", "With a balance", "By [Y-flow-again-second-instrument] they differ. With a balance")
    assert_silent("instruments-disagree", [*off, prints])
    # 1.1 mL/h apart is within the doubts of both: En = -1.27/1.67.
    assert_silent("instruments-disagree", balance("110.8", "110.7", "110.9"))
    # With another set fitted it may be the set that differs.
    fitted = ("sheets.yml", "  accessories: [I-2, I-3]\n  instrument: M-3", "  accessories: [I-2]\n  instrument: M-3")
    assert_silent("instruments-disagree", [*off, fitted])


def test_two_repeats_that_disagree_with_each_other_alone() -> None:
    """ISO 13528, En (from memory), by hand: 110.2 mL/h twice by the analyser, U 1.39 mL/h, and 112.17 by the balance, U
    0.89 mL/h: 1.97/1.65 = 1.2. The analyser is not compared with itself, and the balance agrees with its first sheet.
    """
    edits, extra = analyser_again("flow-third", "100", "110.2")
    assert_fires(
        "instruments-disagree",
        edits,
        at=("readings/flow-third.csv", "0,100,110.2"),
        says="no finding speaks of Y-flow-third-second-instrument-flow-again: the instruments of S-flow-third and of "
        "S-flow-again do not agree, the largest En number 1.",
        extra=extra,
    )
    prints = (
        "findings.yml",
        "With a balance",
        "By [Y-flow-third-second-instrument-flow-again] they differ. With a balance",
    )
    assert_silent("instruments-disagree", [*edits, prints], extra=extra)
    edits, extra = analyser_again("flow-third", "100", "112.0")
    assert_silent("instruments-disagree", edits, extra=extra)


def test_repeat_not_compared() -> None:
    off = [
        ("readings/flow-again.csv", row, row.replace(",100,", ",70,"))
        for row in ("1,100,112.2", "2,100,112.1", "3,100,112.2")
    ]
    assert_silent("repeat-not-compared", balance("110.8", "110.7", "110.9"))
    assert_fires(
        "repeat-not-compared",
        off,
        at=("readings/flow-again.csv", "1,70,112.2"),
        says="no reading of S-flow-again could be set beside one of S-flow, which it repeats with a second instrument",
        level=Level.NOTE,
    )
    # With another set fitted, or with the same instrument, it asks another question.
    fitted = ("sheets.yml", "  accessories: [I-2, I-3]\n  instrument: M-3", "  accessories: [I-2]\n  instrument: M-3")
    assert_silent("repeat-not-compared", [*off, fitted])
    # Beside another repeat it stands, and that repeat is by the first's own instrument.
    edits, extra = analyser_again("flow-0", "70", "112.2")
    assert_fires("repeat-not-compared", [*off, *edits], at=("readings/flow-again.csv", "1,70,112.2"), level=Level.NOTE,
                 says="beside one of S-flow, which it repeats", extra=extra)  # fmt: skip
    # Where nothing was read there is nothing to set beside.
    none = [
        ("readings/flow-again.csv", row, f"{row.rpartition(',')[0]},not measured: late")
        for row in ("1,100,112.2", "2,100,112.1", "3,100,112.2")
    ]
    assert_silent("repeat-not-compared", none)


def flows(*values: str, note: str = "") -> dict[str, str]:
    """What the analyser read at 100 mL/h, one row a value; the note stands beside the last."""
    rows = [f"{n},100,{value},2026-03-05 15:{n:02d} -06:00," for n, value in enumerate(values, 1)]
    return {"readings/flow.csv": "\n".join(["row,setting [mL/h],value [mL/h],at,note", *rows]) + f"{note}\n"}


def test_reading_stands_apart() -> None:
    """By hand: 120 mL/h lies 19.88 from 100.12, the mean of the other six; 1 % and 0.1 mL/h as a rectangle are
    (1.2 + 0.1)/sqrt 3 = 0.751, with half a digit U = 1.5 mL/h. Of seven values none lies farther than 6/sqrt 7 = 2.268
    standard deviations, and 2.139 is the bound at 1 % (ISO 5725-2:1994, table 5; from memory)."""
    calm = ("100.1", "100.2", "100.0", "100.1", "100.2", "100.1")
    assert_fires(
        "reading-stands-apart",
        at=("readings/flow.csv", "7,100,120.0"),
        level=Level.NOTE,
        says="R-flow-7 stands apart among 7 repeats (Grubbs' test: G = 2.268, beyond 2.139 at 1 %): "
        "19.9\u00a0mL/h off the mean of the others, where the instrument's doubt is 1.5\u00a0mL/h; what it comes "
        "from is needed",
        extra=flows(*calm, "120.0"),
    )
    # To rest on it among others says nothing of it; to name it does, and so does a note beside the row.
    rests = ("findings.yml", "rests_on: [R-flow-4, R-flow-5, R-flow-6]", "rests_on: [R-flow-4, R-flow-5, R-flow-7]")
    assert_fires("reading-stands-apart", [rests], at=("readings/flow.csv", "7,100,120.0"), level=Level.NOTE,
                 extra=flows(*calm, "120.0"))  # fmt: skip
    names = ("findings.yml", "With a balance", "At [R-flow-7] the line was knocked. With a balance")
    assert_silent("reading-stands-apart", [names], extra=flows(*calm, "120.0"))
    assert_silent("reading-stands-apart", extra=flows(*calm, "120.0", note="the line was knocked"))
    # One step of the display, a scatter the instrument's doubt covers, and two of which none can be told.
    assert_silent("reading-stands-apart", extra=flows("100.1", "100.0", "100.0"))
    assert_silent("reading-stands-apart", extra=flows(*calm, "101.0"))
    assert_silent("reading-stands-apart", extra=flows("120.0", "100.0"))
    # The same setting in another form is the same condition; another setting is none.
    rows = flows(*calm, "120.0")["readings/flow.csv"]
    alike = rows.replace("2,100,", "2,0.1 L/h,").replace("4,100,", "4,100.0,")
    assert_fires("reading-stands-apart", at=("readings/flow.csv", "7,100,120.0"), level=Level.NOTE,
                 says="among 7 repeats", extra={"readings/flow.csv": alike})  # fmt: skip
    assert_silent("reading-stands-apart", extra={"readings/flow.csv": rows.replace("7,100,", "7,50,")})


def test_instrument_unknown() -> None:
    assert_fires(
        "instrument-unknown",
        [("sheets.yml", "instrument: M-2", "instrument: M-9")],
        at=("sheets.yml", "instrument: M-9"),
        column=15,
        says="is not in the register",
    )
    assert_fires(
        "instrument-unknown",
        [("sheets.yml", "function: earth resistance", "function: earth resistence")],
        at=("sheets.yml", "function: earth resistence"),
        says='perhaps meant as "earth resistance"',
    )
    certificate = """  calibrations:
    - certificate: "C-2025-207"
      on: 2025-11-10
      due: 2026-11-10
      by: an accredited laboratory
      as_found: in tolerance
"""
    assert_fires(
        "instrument-unknown",
        [(REGISTER, certificate, "")],
        at=("sheets.yml", "instrument: M-2"),
        says="no calibration certificate",
    )
    assert_silent("instrument-unknown", [("sheets.yml", "instrument: M-2", "instrument: M-3")])
    # What is only seen has no accuracy to be calibrated (ISO/IEC 17025:2017, 6.4.6, from memory).
    flow = '"7731"\n  functions:\n    flow:\n      quantity: '
    seen = (REGISTER, f"{flow}volume flow", f"{flow}yes or no")
    assert_silent("instrument-unknown", [(REGISTER, certificate, ""), seen])


def test_a_sheet_that_lies_ready_names_an_instrument_of_the_register_too() -> None:
    """Before the first value is typed nothing need be named; what is named must be there."""
    empty: list[Edit] = [
        ("readings/earth.csv", "screw,142", "screw,"),
        ("readings/earth.csv", "clamp,151", "clamp,"),
        ("sheets.yml", "  function: earth resistance\n", ""),
    ]
    assert_fires(
        "instrument-unknown",
        [*empty, ("sheets.yml", EARTH, EARTH.replace("M-1", "M-9"))],
        at=("sheets.yml", "instrument: M-9"),
        says='names "M-9", which is not in the register',
    )
    assert_silent("instrument-unknown", empty)


def test_function_other_quantity() -> None:
    """ISO/IEC 17025:2017, 6.4.5, from memory: what cannot measure the quantity can reach no accuracy in it."""
    other = (
        REGISTER,
        "    touch current:\n",
        "    leakage:\n      quantity: electric current\n      ranges: []\n    touch current:\n",
    )
    used = ("sheets.yml", "function: earth resistance", "function: leakage")
    one = assert_fires(
        "function-other-quantity",
        [other, used],
        at=("sheets.yml", "function: leakage"),
        column=13,
        says='which measures electric current; what measures resistance, as the test "',
    )
    assert one.mend == 'Of M-1 "earth resistance" measures resistance: name it if it was used; or correct the register.'
    assert_fires(
        "function-other-quantity",
        [(REGISTER, "quantity: volume flow\n      ranges", "quantity: volumeflow\n      ranges")],
        at=("sheets.yml", "instrument: M-2 > function: flow"),
        says='measures "volumeflow", perhaps meant as "volume flow", no quantity known here',
    )
    volts = [(REGISTER, f"{end}: {amount} uA", f"{end}: {amount} mV") for end, amount in (("from", 0), ("to", 2000))]
    assert_fires(
        "function-other-quantity",
        volts,
        at=("sheets.yml", "function: touch current"),
        says='"touch current" of M-1 has the range 0 mV to 2000 mV; ranges, resolution, accuracy and doubt of ',
    )
    accuracy = '          accuracy: {percent: "1", plus: 1 uA, digits: "0"}\n'
    for right, wrong, what in (
        ("resolution: 0.1 uA", "resolution: 0.1 mV", "resolution 0.1 mV"),
        ("plus: 1 uA", "plus: 1 mohm", "accuracy 1 mohm"),
        (accuracy, f"{accuracy}      certificate_doubt: 2 mL/h\n", "doubt 2 mL/h"),
    ):
        assert_fires(
            "function-other-quantity",
            [(REGISTER, right, wrong)],
            at=("sheets.yml", "function: touch current"),
            says=f'"touch current" of M-1 has the {what}, beside the range 0 uA to 2000 uA',
        )
    assert_silent("function-other-quantity", [(REGISTER, "resolution: 0.1 uA", "resolution: 0.0001 mA")])
    assert_silent("function-other-quantity", [(REGISTER, "from: 0 uA", "from: 0 mA"), (REGISTER, "2000 uA", "2 mA")])
    # Where the sheet lies ready it can still be mended before anybody measures.
    empty: list[Edit] = [("readings/earth.csv", "screw,142", "screw,"), ("readings/earth.csv", "clamp,151", "clamp,")]
    assert_fires(
        "function-other-quantity",
        [*empty, other, used],
        at=("sheets.yml", "function: leakage"),
        says="the sheet S-earth uses",
    )


def test_instrument_out_of_date() -> None:
    """ISO/IEC 17025:2017, 6.4.13 e. The sheet of 5 March 2026 against due dates about it."""
    late = (REGISTER, "due: 2026-11-10", "due: 2026-03-04")
    assert_fires(
        "instrument-out-of-date",
        [late],
        at=("sheets.yml", "instrument: M-2"),
        says="M-2 was due for calibration on 2026-03-04",
    )
    assert_fires(
        "instrument-out-of-date",
        [(REGISTER, "on: 2025-11-10", "on: 2026-03-06")],
        at=("sheets.yml", "instrument: M-2"),
        says="first calibrated on 2026-03-06",
    )
    assert_silent("instrument-out-of-date", [(REGISTER, "due: 2026-11-10", "due: 2026-03-05")])
    assert_silent("instrument-out-of-date", [(REGISTER, "on: 2025-11-10", "on: 2026-03-05")])


def test_a_later_check_makes_readings_indicative() -> None:
    late = (REGISTER, "due: 2026-11-10", "due: 2026-03-04")
    check = "  later_checks:\n    - {{on: {day}, what: against a standard, in_tolerance: {answer}}}\nM-3:"
    good = (REGISTER, "M-3:", check.format(day="2026-03-12", answer="yes"))
    assert_fires(
        "instrument-out-of-date",
        [late, good],
        at=("sheets.yml", "instrument: M-2"),
        level=Level.WARN,
        says="indicative",
    )
    bad = (REGISTER, "M-3:", check.format(day="2026-03-12", answer="no"))
    assert_fires("instrument-out-of-date", [late, bad], at=("sheets.yml", "instrument: M-2"), says="out of tolerance")
    # A check made before the sheet says nothing of the time after it.
    early = (REGISTER, "M-3:", check.format(day="2026-03-04", answer="yes"))
    assert_fires("instrument-out-of-date", [late, early], at=("sheets.yml", "instrument: M-2"))
    # One of the day itself does; and of two the first decides, whichever stands first in the file.
    same = (REGISTER, "M-3:", check.format(day="2026-03-05", answer="yes"))
    assert_fires("instrument-out-of-date", [late, same], at=("sheets.yml", "instrument: M-2"), level=Level.WARN)
    two = check.format(day="2026-03-20", answer="yes").replace(
        "M-3:", "    - {on: 2026-03-12, what: again, in_tolerance: no}\nM-3:"
    )
    assert_fires("instrument-out-of-date", [late, (REGISTER, "M-3:", two)], at=("sheets.yml", "instrument: M-2"))


NEXT = """    - certificate: "C-2026-300"
      on: 2026-03-11
      due: 2027-03-11
      by: an accredited laboratory
      as_found: adjusted
  later_checks:
    - {{on: {day}, what: against a standard, in_tolerance: {answer}}}
M-3:"""
"""A calibration of M-2 after both sheets, and a check."""


def test_a_check_after_a_new_calibration_says_nothing_of_the_time_before() -> None:
    late = (REGISTER, "due: 2026-11-10", "due: 2026-03-04")
    vouched = (REGISTER, "M-3:", NEXT.format(day="2026-03-12", answer="yes"))
    assert_fires("instrument-out-of-date", [late, vouched], at=("sheets.yml", "instrument: M-2"))
    as_found = (REGISTER, "M-3:", NEXT.format(day="2026-03-11", answer="yes"))
    assert_fires("instrument-out-of-date", [late, as_found], at=("sheets.yml", "instrument: M-2"), level=Level.WARN)
    assert_silent("instrument-check-failed", [(REGISTER, "M-3:", NEXT.format(day="2026-03-12", answer="no"))])
    assert_fires(
        "instrument-check-failed",
        [(REGISTER, "M-3:", NEXT.format(day="2026-03-11", answer="no"))],
        at=("sheets.yml", "instrument: M-2"),
        level=Level.WARN,
        says="found out of tolerance on 2026-03-11",
    )
    assert_silent("instrument-check-failed", [(REGISTER, "M-3:", NEXT.format(day="2026-03-04", answer="no"))])


def test_instrument_check_failed() -> None:
    failed = (
        "sheets.yml",
        "leads nulled, at: 2026-03-05 12:55 -06:00, ok: yes",
        "leads nulled, at: 2026-03-05 12:55 -06:00, ok: no",
    )
    assert_fires("instrument-check-failed", [failed], at=("sheets.yml", "leads nulled"), says='"leads nulled" failed')
    void = "row,point,value [mohm],void\n1,case screw,142,leads not nulled\n2,pole clamp,151,leads not nulled\n"
    assert_silent("instrument-check-failed", [failed], extra={"readings/earth.csv": void})
    later = "  later_checks:\n    - {on: 2026-04-01, what: yearly, in_tolerance: no}\nM-3:"
    assert_fires(
        "instrument-check-failed",
        [(REGISTER, "M-3:", later)],
        at=("sheets.yml", "instrument: M-2"),
        level=Level.WARN,
        says="found out of tolerance on 2026-04-01",
    )


def test_bench_unchecked() -> None:
    checks = "  checks:\n    - {what: leads nulled, at: 2026-03-05 12:55 -06:00, ok: yes}\n"
    assert_fires(
        "bench-unchecked",
        [("sheets.yml", checks, "")],
        at=("sheets.yml", "S-earth:"),
        level=Level.WARN,
        says="leads nulled",
    )
    assert_silent("bench-unchecked", [("sheets.yml", "what: leads nulled", "what: nulled the test lead")])


def test_outside_range() -> None:
    assert_fires(
        "outside-range",
        [("readings/flow.csv", "112.0", "512.0")],
        at=("readings/flow.csv", "512.0"),
        says="0 mL/h to 500 mL/h",
    )
    assert_silent("outside-range", [("readings/flow.csv", "112.0", "500.0")])
    # 0.6 L/h is 600 mL/h: the range is asked in the reading's own unit.
    assert_fires(
        "outside-range",
        extra={"readings/flow.csv": "row,setting [mL/h],value [L/h]\n1,50,0.0504\n4,100,0.6\n"},
        at=("readings/flow.csv", "0.6"),
    )


def test_low_in_a_range_of_unknown_accuracy() -> None:
    """A tenth of 500 mL/h is 50 mL/h."""
    unknown = (REGISTER, '{percent: "1", plus: 0.1 mL/h, digits: "0"}', '{percent: "0", digits: "0"}')
    low = ("readings/flow.csv", "50.4", "50.0")
    assert_fires(
        "outside-range",
        [unknown, low],
        at=("readings/flow.csv", "50.0"),
        level=Level.WARN,
        says="R-flow-1 lies in the lowest 10 %",
    )
    assert_silent("outside-range", [low])
    assert_silent("outside-range", [unknown, ("readings/flow.csv", "50.4", "50.1")])


def test_resolution_too_coarse() -> None:
    """Steps against the distance from reading to limit, by hand: 61.2 uA stands 38.8 uA below 100 uA."""
    assert_fires(
        "resolution-too-coarse",
        [(REGISTER, "resolution: 0.1 uA", "resolution: 3.9 uA")],
        at=("readings/touch.csv", "61.2"),
        level=Level.WARN,
        says="in steps of 3.9 uA and stands 38.8 uA from the limit base-limits/touch",
    )
    assert_silent("resolution-too-coarse", [(REGISTER, "resolution: 0.1 uA", "resolution: 3.8 uA")])


def test_a_plain_verdict_on_a_display_that_cannot_show_the_difference_is_refused() -> None:
    coarse = (REGISTER, "resolution: 1 mohm", "resolution: 155 mohm")
    one = ("readings/earth.csv", "1,case screw,142\n", "")
    simple = ("plan.yml", "decision_rule: guard band", "decision_rule: simple acceptance")
    assert_fires("resolution-too-coarse", [coarse, one, simple], at=("readings/earth.csv", "151"), level=Level.REJECT)
    finer = (REGISTER, "resolution: 1 mohm", "resolution: 140 mohm")
    assert_fires("resolution-too-coarse", [finer, one, simple], at=("readings/earth.csv", "151"), level=Level.WARN)


def test_doubt_missing() -> None:
    unknown = ("sheets.yml", "function: touch current", "function: touch")
    near = ("readings/touch.csv", "61.2", "80.0")
    assert_fires("doubt-missing", [unknown, near], at=("readings/touch.csv", "80.0"), says="base-limits/touch")
    assert_silent("doubt-missing", [unknown, ("readings/touch.csv", "61.2", "79.9")])
    assert_silent("doubt-missing", [near])


def test_few_repeats() -> None:
    rows = (
        "readings/flow.csv",
        "5,100,112.3,2026-03-05 15:50 -06:00\n6,100,112.0,2026-03-05 16:10 -06:00\n",
        "",
    )
    other = "row,setting [mL/h],value [mL/h]\n1,99,112.2\n2,99,112.1\n3,99,112.2\n"
    assert_fires(
        "few-repeats",
        [rows],
        extra={"readings/flow-again.csv": other},
        at=("readings/flow.csv", "4,100"),
        level=Level.WARN,
        says="rests on R-flow-4, read fewer than 3 times",
    )
    # The second sheet repeats the first at the same setting, typed in another unit.
    litres = "row,setting [L/h],value [mL/h]\n1,0.1,112.2\n2,0.1,112.1\n3,0.1,112.2\n"
    assert_silent("few-repeats", [rows], extra={"readings/flow-again.csv": litres})


ALARM: list[Edit] = [
    (
        ".asfound/protocols/base-pump.yml",
        "  pump-flow:\n    title: Flow\n",
        '  pump-alarm:\n    title: Alarm\n    quantity: yes or no\n    unit: "1"\n    answer: yes or no\n'
        "    purpose: Heard.\n    energised: yes\n    connects: nothing\n    alters: none\n    reaches: [flow]\n"
        "  pump-flow:\n    title: Flow\n",
    ),
    (
        ".asfound/instruments.yml",
        "    touch current:\n",
        "    ear:\n      quantity: yes or no\n      ranges: []\n    touch current:\n",
    ),
    ("plan.yml", "  pump-flow:\n", "  pump-alarm:\n    item: I-1\n    why: It was silent.\n  pump-flow:\n"),
    (
        "sheets.yml",
        "S-flow:\n",
        "S-alarm:\n  test: pump-alarm\n  item: I-1\n  instrument: M-1\n  function: ear\n  by: examiner\n"
        "  from: 2026-03-05 14:05 -06:00\n  to: 2026-03-05 14:15 -06:00\nS-flow:\n",
    ),
    (
        "findings.yml",
        "  rests_on: [R-flow-4, R-flow-5, R-flow-6]",
        "  rests_on: [R-flow-4, R-flow-5, R-flow-6, R-alarm-1]",
    ),
]
"""A yes or no on which the conclusion rests: whether an alarm was heard."""


def test_a_count_of_trials_is_as_many_repeats() -> None:
    assert_fires(
        "few-repeats",
        ALARM,
        extra={"readings/alarm.csv": "row,value\n1,2 of 2\n"},
        at=("readings/alarm.csv", "1,2 of 2"),
        level=Level.WARN,
        says="rests on R-alarm-1, read fewer than 3 times",
    )
    assert_silent("few-repeats", ALARM, extra={"readings/alarm.csv": "row,value\n1,2 of 3\n"})


def test_what_stands_in_a_record_is_no_trial() -> None:
    """Once is enough for a yes or no that a record holds; not for what it was made to do, nor for a figure in it."""
    once = {"readings/alarm.csv": "row,value\n1,no\n"}
    topics: Edit = (".asfound/protocols/base-pump.yml", "topics:\n", "topics:\n  device-record: {title: Its record}\n")
    at = ("readings/alarm.csv", "1,no")
    assert_fires("few-repeats", [*ALARM, topics], extra=once, at=at, level=Level.WARN, says="rests on R-alarm-1")
    head, *rest = ALARM
    record = (*head[:2], head[2].replace("reaches: [flow]", "reaches: [flow, device-record]"))
    assert_silent("few-repeats", [record, *rest, topics], extra=once)
    joined = (*record[:2], record[2].replace("connects: nothing", "connects: simulator"))
    assert_fires("few-repeats", [joined, *rest, topics], extra=once, at=at, level=Level.WARN, says="rests on R-alarm-1")
    figure = (
        *record[:2],
        record[2].replace("quantity: yes or no", "quantity: count").replace("    answer: yes or no\n", ""),
    )
    counted = {"readings/alarm.csv": "row,value\n1,2\n"}
    ear = (*rest[0][:2], rest[0][2].replace("quantity: yes or no", "quantity: count"))
    assert_fires(
        "few-repeats", [figure, ear, *rest[1:], topics], extra=counted, at=("readings/alarm.csv", "1,2"),
        level=Level.WARN, says="rests on R-alarm-1",
    )  # fmt: skip


def test_repeats_that_scatter() -> None:
    """By hand: (115.9 - 111.9) / 2 = 2.0 mL/h against 2 x sqrt((1.219/sqrt 3)^2 + (0.05/sqrt 3)^2) = 1.41 mL/h."""
    found = assert_fires(
        "few-repeats",
        [("readings/flow.csv", "112.3", "115.9")],
        at=("readings/flow.csv", "4,100"),
        level=Level.WARN,
        says="spread by 2 mL/h to either side",
    )
    assert "doubt of 1.4 mL/h" in found.found
    assert_silent("few-repeats", [("readings/flow.csv", "112.3", "114.5")])


APART: list[Edit] = [
    ("findings.yml", "rests_on: [R-flow-again-1, R-flow-again-2, R-flow-again-3]", "rests_on: [V-1]"),
    ("findings.yml", "[=R-flow-again-1], [=R-flow-again-2] and [=R-flow-again-3]", "the same"),
]


def test_surprise_not_repeated() -> None:
    assert_fires(
        "surprise-not-repeated",
        delete=["readings/flow-again.csv"],
        at=("readings/flow.csv", "4,100"),
        level=Level.WARN,
        says="R-flow-4, R-flow-5 and R-flow-6",
    )
    same = ("sheets.yml", "instrument: M-3", "instrument: M-2")
    # The same instrument with the same accessories is no second opinion: both sheets stand alone then.
    second = """  accessories: [I-2, I-3]
  instrument: M-3"""
    assert_silent("surprise-not-repeated", [("sheets.yml", second, "  accessories: [I-2, I-4]\n  instrument: M-2")])
    # Nor is it one where they are listed in another order.
    turned = ("sheets.yml", second, "  accessories: [I-3, I-2]\n  instrument: M-2")
    alone = assert_fires("surprise-not-repeated", [turned, APART[0], APART[1]], at=("readings/flow.csv", "4,100"),
                         level=Level.WARN)  # fmt: skip
    assert "R-flow-4" in alone.found
    assert_fires(
        "surprise-not-repeated",
        [same, *APART],
        at=("readings/flow.csv", "4,100"),
        level=Level.WARN,
    )  # fmt: skip


KEPT = 'calibrations:\n    - certificate: "C-2025-207"\n'
CERTIFICATE_FILE = b"<an invented certificate/>\n"
KEPT_DIGEST = hashlib.sha256(CERTIFICATE_FILE).hexdigest()


def kept(digest: str = KEPT_DIGEST) -> Edit:
    """The certificate of M-2, with which the flow was read, is kept as a file."""
    lines = f"      file: certificates/C-2025-207.xml\n      sha256: {digest}\n"
    return (".asfound/instruments.yml", KEPT, f"{KEPT}{lines}")


def test_a_certificate_that_was_edited_is_no_longer_the_one_that_was_registered() -> None:
    assert_fires(
        "certificate-altered", [kept("0" * 64)], at=(".asfound/instruments.yml", f"sha256: {'0' * 64}"),
        extra={".asfound/certificates/C-2025-207.xml": CERTIFICATE_FILE},
    )  # fmt: skip
    assert_fires("certificate-altered", [kept()], at=(".asfound/instruments.yml", "file: certificates/C-2025-207.xml"))
    assert_silent("certificate-altered", [kept()], extra={".asfound/certificates/C-2025-207.xml": CERTIFICATE_FILE})


def test_certificate_without_doubt() -> None:
    """Degrees of freedom, or a k, of a doubt that stands nowhere; one that nobody read with is not asked."""
    quantity = "quantity: resistance\n"
    doubt, dof, k = (f"      certificate_{name}\n" for name in ("doubt: 3 mohm", "dof: 4", "k: 2.87"))
    alone: Edit = (REGISTER, quantity, f"{quantity}{dof}")
    assert_fires(
        "certificate-without-doubt",
        [alone],
        at=(REGISTER, "certificate_dof: 4"),
        level=Level.WARN,
        says='M-1 states degrees of freedom of the certificate for "earth resistance", and no doubt of it',
    )
    both: Edit = (REGISTER, quantity, f"{quantity}{k}{dof}")
    says = "M-1 states degrees of freedom and a coverage factor of the certificate"
    assert_fires("certificate-without-doubt", [both], at=(REGISTER, "certificate_dof: 4"), level=Level.WARN, says=says)
    one: Edit = (REGISTER, quantity, f"{quantity}{k}")
    assert_fires("certificate-without-doubt", [one], at=(REGISTER, "certificate_k: 2.87"), level=Level.WARN)
    two = k.replace("2.87", "2")
    assert_silent("certificate-without-doubt", [(REGISTER, quantity, f"{quantity}{two}")])
    assert_silent("certificate-without-doubt", [(REGISTER, quantity, f"{quantity}{doubt}{k}{dof}")])
    assert_silent("certificate-without-doubt", [(REGISTER, quantity, f"{quantity}{doubt}")])
    idle = (
        "    spare:\n      quantity: time\n      certificate_dof: 4\n      ranges:\n"
        '        - {from: 0 s, to: 9 s, resolution: 1 s, accuracy: {percent: "1"}}\n'
    )
    assert_silent(
        "certificate-without-doubt", [(REGISTER, "    earth resistance:\n", f"{idle}    earth resistance:\n")]
    )
