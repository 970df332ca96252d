"""Voltages without load, and readings on another supply than that of the event."""

from __future__ import annotations

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent

VOLTS: tuple[Edit, ...] = (
    ("case.yml", "  kind: too much\n", "  kind: shock\n"),
    (
        ".asfound/protocols/base-pump.yml",
        "  pump-flow:\n    title: Flow\n",
        "  pump-volts:\n    title: Voltage of the case\n    quantity: voltage\n    unit: V\n    purpose: To see it.\n"
        "    energised: yes\n    connects: safety tester\n    alters: none\n    reaches: [touch-current]\n"
        "    conditions:\n      load: {title: Load, unit: kohm, required: no}\n"
        "  pump-flow:\n    title: Flow\n",
    ),
    (
        ".asfound/instruments.yml",
        "    touch current:\n",
        "    volts:\n      quantity: voltage\n      ranges:\n        - {from: 0 V, to: 300 V, resolution: 0.1 V, "
        'accuracy: {percent: "1"}}\n    touch current:\n',
    ),
    ("plan.yml", "  pump-flow:\n", "  pump-volts:\n    item: I-1\n    why: The case was touched.\n  pump-flow:\n"),
    ("findings.yml", "  rests_on: [R-flow-4, R-flow-5, R-flow-6]\n", "  rests_on: [R-flow-4, R-flow-5, R-volts-1]\n"),
)
READ = "row,value [V],at\n1,60.0,2026-03-05 14:10 -06:00\n"


def sheet(supply: str, constants: str = "") -> Edit:
    """The sheet of the voltage, on a supply."""
    return (
        "sheets.yml",
        "S-flow:\n",
        "S-volts:\n  test: pump-volts\n  item: I-1\n  instrument: M-1\n  function: volts\n  by: examiner\n"
        "  from: 2026-03-05 14:05 -06:00\n  to: 2026-03-05 14:15 -06:00\n"
        f"  supply: {{kind: {supply}, voltage: 120.4 V}}\n{constants}S-flow:\n",
    )


def test_a_voltage_without_load_is_no_evidence_of_a_shock() -> None:
    problem = assert_fires(
        "voltage-without-load",
        (*VOLTS, sheet("isolated")),
        at=("findings.yml", "rests_on: [R-flow-4, R-flow-5, R-volts-1]"),
        says="F-1 stands as evidence on R-volts-1, read without load",
        extra={"readings/volts.csv": READ},
    )
    assert "I-1" in problem.found
    # A current through the network, on the same supply, stands beside it.
    assert_silent("voltage-without-load", (*VOLTS, sheet("grounded")), extra={"readings/volts.csv": READ})
    # The voltage was read across a load of the order of a body.
    assert_silent(
        "voltage-without-load",
        (*VOLTS, sheet("isolated", "  constants:\n    load: 1 kohm\n")),
        extra={"readings/volts.csv": READ},
    )
    # Nobody was shocked: a voltage is then what it is.
    assert_silent("voltage-without-load", (*VOLTS[1:], sheet("isolated")), extra={"readings/volts.csv": READ})


ISOLATED: Edit = ("sheets.yml", "kind: grounded, voltage: 119.8 V", "kind: isolated, voltage: 119.8 V")


def test_evidence_from_another_supply_says_so() -> None:
    assert_fires(
        "supply-differs",
        (ISOLATED,),
        at=("findings.yml", "text: With a balance and a stopwatch"),
        level=Level.WARN,
        says="R-flow-again-1, R-flow-again-2 and R-flow-again-3 were read on another supply",
    )
    said: Edit = ("findings.yml", "With a balance and a stopwatch it", "On an isolated supply, with a balance, it")
    assert_silent("supply-differs", (ISOLATED, said))
    # The room says nothing of its supply: there is nothing to hold the sheet against.
    assert_silent("supply-differs", (ISOLATED, ("room.yml", "value: earthed, polarity correct", "value: whole")))


def test_another_voltage_is_another_supply() -> None:
    known: Edit = ("room.yml", "value: earthed, polarity correct", 'value: "earthed, 121 V"')
    other: Edit = ("sheets.yml", "voltage: 119.8 V, nominal: 120 V", "voltage: 229.8 V, nominal: 230 V")
    assert_fires(
        "supply-differs",
        (known, other),
        at=("findings.yml", "text: With a balance and a stopwatch"),
        level=Level.WARN,
        says="one of 230 V",
    )
    assert_silent("supply-differs", (known,))
