"""Rules about the room, about repeats and about the times between readings, on the base case."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import Edit, assert_fires, assert_silent, run_with

PROTOCOL = ".asfound/protocols/base-pump.yml"
FLOW, TOUCH, EARTH = "readings/flow.csv", "readings/touch.csv", "readings/earth.csv"
ASKS: Edit = (PROTOCOL, "    functional: yes\n", "    functional: yes\n    climate: [temperature, pressure]\n")
OF_FLOW = "  to: 2026-03-05 16:30 -06:00\n"
OF_AGAIN = "  to: 2026-03-06 12:00 -06:00\n"
WHOLE = "  climate: {temperature: 21.4 °C, humidity: 40 %, pressure: 100.9 kPa}\n"


def climate(of: str, line: str) -> Edit:
    return ("sheets.yml", of, of + line)


def test_the_climate_a_test_depends_on_is_asked_for() -> None:
    """ISO/IEC 17025:2017, 7.8.3.1 a (from memory)."""
    other = climate(OF_AGAIN, WHOLE)
    assert_fires(
        "climate-missing",
        [ASKS, other],
        at=("sheets.yml", "S-flow:"),
        level=Level.WARN,
        says="does not say the temperature and pressure of the room",
    )
    part = "  climate: {temperature: 21.4 °C}\n"
    assert_fires(
        "climate-missing",
        [ASKS, other, climate(OF_FLOW, part)],
        at=("sheets.yml", "climate: {temperature: 21.4 °C}"),
        level=Level.WARN,
        says="does not say the pressure of the room",
    )
    assert_silent("climate-missing", [ASKS, other, climate(OF_FLOW, WHOLE)])
    # A test that depends on nothing of the room asks for nothing: the protocol as it is.
    assert_silent("climate-missing", [(PROTOCOL, "    functional: yes\n", "    functional: yes\n    climate: []\n")])


# --- repeats

SAME: list[Edit] = [
    (FLOW, "2,50,50.6", "2,50,50.4"),
    (FLOW, "3,50,50.5", "3,50,50.4"),
    (FLOW, "5,100,112.3", "5,100,111.9"),
    (FLOW, "6,100,112.0", "6,100,111.9"),
    ("readings/flow-again.csv", "2,100,112.1", "2,100,112.2"),
    (
        EARTH,
        "1,case screw,142\n2,pole clamp,151\n",
        "1,case screw,142\n2,pole clamp,151\n3,case screw,142\n4,pole clamp,151\n",
    ),
]
"""Five groups of repeats in two tests, each the same to the last digit."""


def test_repeats_that_never_scatter_are_asked_about() -> None:
    """Common practice, no source."""
    assert_fires(
        "repeats-identical",
        SAME,
        at=(EARTH, "3,case screw"),
        level=Level.WARN,
        says="all 5 groups of repeats in this case are the same to the last digit, such as R-earth-1 and R-earth-3",
    )


@pytest.mark.parametrize("but", range(len(SAME)))
def test_one_group_that_scatters_or_is_missing_is_enough(but: int) -> None:
    assert_silent("repeats-identical", [one for number, one in enumerate(SAME) if number != but])


def test_a_word_on_one_of_five_groups_leaves_four() -> None:
    told = [*SAME[:5], (EARTH, "row,point,value [mohm]\n1,case screw,142\n2,pole clamp,151\n", NOTED)]
    assert_silent("repeats-identical", told)
    assert [one.rule for one in run_with([*SAME[:5], (EARTH, *UNTOLD)])].count("repeats-identical") == 1


NOTED = (
    "row,point,value [mohm],note\n1,case screw,142,leads nulled anew each time\n2,pole clamp,151,\n"
    "3,case screw,142,\n4,pole clamp,151,\n"
)
UNTOLD = (
    "row,point,value [mohm]\n1,case screw,142\n2,pole clamp,151\n",
    NOTED.replace("leads nulled anew each time", ""),
)


def test_two_digits_hide_a_scatter() -> None:
    few = [(name, old.replace("142", "14").replace("151", "15"), new.replace("142", "14").replace("151", "15"))
           for name, old, new in SAME[5:]]  # fmt: skip
    short: list[Edit] = [(EARTH, "screw,142", "screw,14"), (EARTH, "clamp,151", "clamp,15")]
    assert_silent("repeats-identical", [*SAME[:5], *short, *few])


# --- times


def times(first: str, second: str) -> list[Edit]:
    """Touch current with times; the first two rows."""
    rows = (
        "row,earth,polarity,value [uA]\n1,closed,normal,8.1\n2,closed,reversed,8.4\n"
        "3,open,normal,61.2\n4,open,reversed,60.3"
    )
    timed = (
        f"row,earth,polarity,value [uA],at\n1,closed,normal,8.1,{first}\n2,closed,reversed,8.4,{second}\n"
        "3,open,normal,61.2,\n4,open,reversed,60.3,"
    )
    return [(TOUCH, rows, timed)]


def test_two_conditions_at_one_second_are_asked_about() -> None:
    """Common practice, no source."""
    at = "2026-03-05 13:21:07 -06:00"
    assert_fires(
        "readings-too-close",
        times(at, at),
        at=(TOUCH, "2,closed"),
        level=Level.WARN,
        says="R-touch-2 and R-touch-1 are of other conditions and have one time",
    )
    assert_silent("readings-too-close", times(at, "2026-03-05 13:21:09 -06:00"))
    # Nobody wrote the seconds down.
    assert_silent("readings-too-close", times("2026-03-05 13:21 -06:00", "2026-03-05 13:21 -06:00"))


def test_one_hand_reads_one_thing_at_a_time() -> None:
    """The second sheet is moved to another item and another instrument, at the moment of the first."""
    other: list[Edit] = [
        ("sheets.yml", "  item: I-1\n  accessories: [I-2]\n  instrument: M-1\n  function: touch", ELSEWHERE),
        *times("2026-03-05 14:40 -06:00", "2026-03-05 13:30 -06:00"),
    ]
    found = [one for one in run_with(other) if one.rule == "readings-too-close"]
    assert len(found) == 1 and "R-flow-1 and R-touch-1 were read by the same hand at the same moment" in found[0].found
    by_two = ("sheets.yml", ELSEWHERE + " current\n  by: examiner", ELSEWHERE + " current\n  by: second-reader")
    assert not [one for one in run_with([*other, by_two]) if one.rule == "readings-too-close"]
    # On one and the same thing, side by side, two instruments can be read.
    assert_silent("readings-too-close", times("2026-03-05 14:40 -06:00", "2026-03-05 13:30 -06:00"))


ELSEWHERE = "  item: I-4\n  instrument: M-1\n  function: touch"


def test_what_has_to_settle_is_read_when_it_has() -> None:
    def settles(text: str) -> Edit:
        return (PROTOCOL, "    functional: yes\n", f"    functional: yes\n    settles: {text}\n")

    assert_fires(
        "readings-too-close",
        [settles("0.5 h")],
        at=(FLOW, "1,50,50.4"),
        level=Level.WARN,
        says="R-flow-1 was read 10 min into the sheet S-flow; by the protocol 30 min are needed".replace(
            " m", "\u00a0m"
        ),
    )
    assert_silent("readings-too-close", [settles("600 s")])
