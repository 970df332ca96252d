"""A weak twin of each narrative: the same case with a few faults, each made by one small edit.

Every edit finds its text once in the good case; a twin is made anew in each test and stands nowhere on disk. `rows` are
the requirement rows whose rules must speak of the twin and do not speak so of the good case; the names of the rules are
looked up in the catalogue.
"""

from __future__ import annotations

from dataclasses import dataclass

Edit = tuple[str, str, str]
"""File, text that stands there once, text of the twin."""


@dataclass(frozen=True)
class Weak:
    """name: of the narrative. trap: the reasoning it shows. faults: requirement row → the edits that break it."""

    name: str
    trap: str
    faults: dict[str, tuple[Edit, ...]]


def _without(file: str, text: str) -> Edit:
    return (file, text, "")


def _comparisons(*lines: tuple[str, str]) -> str:
    """The comparisons of a clock, as they stand in clocks.yml."""
    reference = "network time on the examiner's telephone"
    made = (f'    - {{at: {at}, reference: "{reference}", offset: {offset}, doubt: 5 s}}\n' for at, offset in lines)
    return "  comparisons:\n" + "".join(made)


_CLOCK_2 = _comparisons(("2026-03-19 14:16 -05:00", "-11 min 00 s"), ("2026-03-22 14:05 -05:00", "-11 min 02 s"))
_CLOCK_3 = _comparisons(("2026-03-26 14:16 -05:00", "-6 min 20 s"), ("2026-03-29 11:00 -05:00", "-6 min 20 s"))

WEAK = (
    Weak(
        "d1",
        "The generator gives what it is set to, so it was used wrongly; the unused pad stands in for the used one.",
        {
            # The time in the bin has no account that anybody signed.
            "R10": (
                (
                    "custody.csv",
                    "gel moist in part,circulating-assistant,circulating-assistant,E-6",
                    "gel moist in part,,,E-6",
                ),
            ),
            "R18": (("findings.yml", "V-30, E-15, E-16, E-17, E-48]", "V-30, E-15, E-16, E-17, E-48, E-18]"),),
            "R78": (("conclusion.yml", "  level: probable\n", "  level: established\n"),),
            "R83": (
                (
                    "conclusion.yml",
                    "    Why the pad stood off, when it came loose,",
                    "    It was a user error. Why the pad stood off, when it came loose,",
                ),
            ),
            "R85": (
                (
                    "findings.yml",
                    ", with the output on for [=Y-heat-on] within [=Y-heat-span]. "
                    "Taken with the current of [F-9], the heating factor of that\n"
                    "    cluster is [=Y-log-heating-factor], [=Y-heat-multiple] times what "
                    "pads of usual make are designed for; that of every other cluster is smaller and below it. It is\n"
                    "    no less by any other pause that was tried, from ten seconds to five minutes.",
                    ".",
                ),
                ("findings.yml", "rests_on: [Y-log-heating-factor, Y-heat-largest, E-26]", "rests_on: [E-26]"),
            ),
        },
    ),
    Weak(
        "d2",
        "The rate is right with the flange seated, and the log agrees, so it was keyed wrongly.",
        {
            "R45": (
                (
                    "sheets.yml",
                    "  to: 2026-03-20 12:30 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-03-20 12:30 -05:00\n",
                ),
                (
                    "sheets.yml",
                    "  to: 2026-03-20 16:00 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-03-20 16:00 -05:00\n",
                ),
                (
                    "sheets.yml",
                    "  to: 2026-03-22 14:00 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-03-22 14:00 -05:00\n",
                ),
            ),
            # The passed test of the rate, held against a syringe that the drive did not hold.
            "R77": (
                (
                    "explanations.yml",
                    "  supports: [F-1, F-5, F-6, F-11, Y-balance-beyond-gravity]\n",
                    "  supports: [F-1, F-5, F-6, F-11, Y-balance-beyond-gravity]\n  contradicts: [F-3]\n"
                    "  answer: The rate is right.\n",
                ),
            ),
            "R51": (("readings/flow.csv", "2,5.0,5.081,", "2,5.0,50.81,"),),
            "R89": (_without("clocks.yml", _CLOCK_2),),
        },
    ),
    Weak(
        "d3",
        "With the bench adapter the unit works to its specification, and the staff were slow.",
        {
            "R45": (
                (
                    "sheets.yml",
                    "  to: 2026-03-27 10:30 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-03-27 10:30 -05:00\n",
                ),
            ),
            "R82": (
                ("conclusion.yml", "undetermined:\n  tried:", "no_problem_found: yes\nundetermined:\n  tried:"),
                (
                    "sheets.yml",
                    "  to: 2026-03-27 10:30 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-03-27 10:30 -05:00\n",
                ),
            ),
            "R89": (_without("clocks.yml", _CLOCK_3),),
            "R91": (
                ("conclusion.yml", "limits_of_work: The cable", 'limits_of_work: "[T-1] came before [T-2]. The cable'),
                (
                    "conclusion.yml",
                    "The results relate only to the items examined, as received.\nalternatives",
                    'The results relate only to the items examined, as received."\nalternatives',
                ),
            ),
            # The cable was cut by the examiner alone.
            "R37": (
                (
                    "gates.yml",
                    "gates:\n",
                    "steps:\n  B-1:\n    items: [I-4]\n    what: the jacket cut open\n    tier: destroys\n"
                    "    at: 2026-03-29 11:30 -05:00\n    by: examiner\n    why: to see the conductor\ngates:\n",
                ),
            ),
        },
    ),
    Weak(
        "d4",
        "The outlet is within its limit, so the warmer has nothing to do with it.",
        {
            "R7": (("scene.yml", "  L-2: {from: I-2, to:", "  L-2: {from: temperature probe, to:"),),
            "R9": (
                (
                    "explanations.yml",
                    "      tested_by: [spot-temperature]\n      shown_by: [F-3]\n",
                    "      tested_by: [spot-temperature]\n      shown_false_by: [F-1]\n      detects: 0.5 K\n",
                ),
                (
                    "explanations.yml",
                    "  status: supported\n",
                    "  status: ruled out\n",
                ),
            ),
            "R77": (
                (
                    "explanations.yml",
                    "  supports: [F-3, F-4, F-5]\n",
                    "  supports: [F-3, F-4, F-5]\n  contradicts: [F-1]\n",
                ),
            ),
            "R85": (
                _without("explanations.yml", "  arithmetic: [F-5, Y-dose-times]\n"),
                ("findings.yml", "rests_on: [Z-dose, Z-slow, Z-fast, W-1]", "rests_on: [W-1]"),
            ),
        },
    ),
    Weak(
        "d5",
        "With the workshop's probe the incubator is right, so the probe fell off or the child had a fever.",
        {
            "R7": (("scene.yml", "  L-2: {from: I-2, to:", "  L-2: {from: humidifier, to:"),),
            "R45": (
                (
                    "sheets.yml",
                    "  to: 2026-04-10 10:30 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-04-10 10:30 -05:00\n",
                ),
            ),
            "R75": (
                (
                    "explanations.yml",
                    "  contradicts: [F-7]\n  status: weakened\n",
                    "  status: ruled out\n",
                ),
            ),
            "R81": (
                (
                    "conclusion.yml",
                    "  text: How liquid came to the pin is not known.",
                    "  text: The nurse was negligent.",
                ),
            ),
        },
    ),
    Weak(
        "d6",
        "The monitor passes its leakage test, so the lesions are pressure.",
        {
            "R51": (("readings/rf.csv", "2,arm,good,92,", "2,arm,good,0.092,"),),
            "R74": (
                ("explanations.yml", "  line: patient or procedure effect\n", "  line: accessory or consumable\n"),
                ("explanations.yml", "  line: not a device-made injury\n", "  line: accessory or consumable\n"),
            ),
            "R77": (
                (
                    "explanations.yml",
                    "  supports: [F-1, F-2, F-3, F-10]\n",
                    "  supports: [F-1, F-2, F-3, F-10]\n  contradicts: [F-4]\n  answer: The monitor passes.\n",
                ),
            ),
            "R95": (("conclusion.yml", "carried [=R-rf-1] at high", "carried 29 mA [R-rf-1] at high"),),
        },
    ),
    Weak(
        "d7",
        "The volume is a tenth too low, so the ventilator is at fault; for the rest it was used wrongly.",
        {
            "R53": (_without("sheets.yml", "    gas condition: ATPD\n"),),
            "R68": (
                (
                    "findings.yml",
                    "  text: The analyser read [=R-volume-1],",
                    "  text: The volume failed its limit [R-alarm-1]. The analyser read [=R-volume-1],",
                ),
            ),
            "R83": (
                (
                    "conclusion.yml",
                    "    The limits offered at the start, how",
                    "    It was a user error. The limits offered at the start, how",
                ),
                _without("conclusion.yml", "  training: not examined; asked of the hospital\n"),
            ),
            "R87": (("conclusion.yml", "  level: possible\n", "  level: undetermined\n"),),
        },
    ),
    Weak(
        "d8",
        "The workshop's test with the ground intact is passed and the monitor was quiet, so all was well; or 60 V.",
        {
            "R33": (
                ("scene.yml", "to: U-1, by: socket 6}", 'to: "the other end of the room"}'),
                ("room.yml", "U-1: {what: Socket 6, kind: socket,", "U-1: {what: Number 6, kind: climate,"),
                ("room.yml", "items: [I-1, I-4]}", "items: [I-4]}"),
                ("room.yml", "items: [I-1, I-2]}", "items: [I-3]}"),
            ),
            "R55": (_without("sheets.yml", "    measuring device: network of 1 kΩ as in IEC 60601-1\n"),),
            # The voltage of a floating case as evidence, and nothing read through a load.
            "R56": (
                (
                    "explanations.yml",
                    "      tested_by: [body-current]\n      shown_by: [F-5]\n",
                    "      shown_by: [F-7]\n",
                ),
                (
                    "explanations.yml",
                    "  supports: [F-3, F-4, F-5, F-6, F-9]\n",
                    "  supports: [F-3, F-4, F-6, F-7, F-9]\n",
                ),
                (
                    "readings/body.csv",
                    "1,open,1.20,2026-05-01 11:10 -05:00\n2,open,1.20,2026-05-01 11:20 -05:00\n3,open,1.21,",
                    "1,open,not measured: no time,2026-05-01 11:10 -05:00\n2,open,not measured: no time,"
                    "2026-05-01 11:20 -05:00\n3,open,not measured: no time,",
                ),
                # Devices and sockets were changed over with the second warmer alone.
                (
                    "sheets.yml",
                    "S-swap:\n  test: swap\n  item: I-1\n",
                    "S-swap:\n  test: swap\n  item: I-6\n",
                ),
                (
                    "readings/body.csv",
                    "4,made,<0.01,2026-05-01 11:40 -05:00\n5,made,<0.01,2026-05-01 11:45 -05:00\n6,made,<0.01,",
                    "4,made,not measured: no time,2026-05-01 11:40 -05:00\n5,made,not measured: no time,"
                    "2026-05-01 11:45 -05:00\n6,made,not measured: no time,",
                ),
            ),
            # The pass of a grounded workshop, held against a current on an isolated supply.
            "R64": (
                ("findings.yml", "  text: On the grounded supply of the workshop the touch", "  text: The touch"),
                (
                    "explanations.yml",
                    "  arithmetic: [F-10]\n",
                    "  arithmetic: [F-10]\n  contradicts: [F-8]\n  answer: It is passed with the ground closed.\n",
                ),
            ),
            "R71": (
                (
                    "findings.yml",
                    " With the ground open it was [=R-bench-3] and [=R-bench-4].",
                    "",
                ),
                ("findings.yml", "[R-bench-1, R-bench-2, R-bench-3, R-bench-4]", "[R-bench-1, R-bench-2]"),
            ),
        },
    ),
    Weak(
        "d9",
        "It could not be made to happen again, so nothing is wrong; or there was fluid, so it was the fluid.",
        {
            "R75": (
                (
                    "explanations.yml",
                    "  contradicts: [F-6]\n  status: ruled out\n",
                    "  status: ruled out\n",
                ),
                (
                    "explanations.yml",
                    "      shown_false_by: [F-6]\n      detects: a panel, or a connector without its cap\n",
                    "",
                ),
            ),
            "R79": (
                (
                    "conclusion.yml",
                    "  level: undetermined\n  rests_on: [F-1, F-4, F-5, F-8]\n",
                    "  level: possible\n  rests_on: [F-1, F-4, F-5, F-8]\n  explanations: [X-1]\n",
                ),
            ),
            "R82": (
                (
                    "conclusion.yml",
                    "would_settle: The plug opened",
                    "no_problem_found: yes\nwould_settle: The plug opened",
                ),
                (
                    "sheets.yml",
                    "  to: 2026-05-08 13:10 -05:00\n  as_found_settings: yes\n",
                    "  to: 2026-05-08 13:10 -05:00\n",
                ),
            ),
            "R87": (
                _without(
                    "conclusion.yml",
                    "  missing: [a look inside the plug, trials in damp air, anybody who saw it]\n",
                ),
            ),
            # The plug was unmated by the examiner alone.
            "R37": (
                (
                    "gates.yml",
                    "gates:\n",
                    "steps:\n  B-1:\n    items: [I-2]\n    what: the plug unmated\n    tier: changes\n"
                    "    at: 2026-05-08 14:00 -05:00\n    by: examiner\n    why: to see the residue\n"
                    "    cycles: 1\ngates:\n",
                ),
            ),
        },
    ),
)
