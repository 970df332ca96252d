"""Rules about the as-found state."""

from __future__ import annotations

import pytest

from asfound.problems import Level
from tests.rules.support import assert_fires, assert_silent

SETTINGS = """settings:
  A-1:
    item: I-1
    control: rate
    value: "100"
    unit: mL/h
    how_read: from the display
    evidence: [E-2]
  A-2:
    item: I-1
    control: volume to be infused
    value: 1000 mL
    how_read: from the display
    evidence: [E-2]
"""


def test_a_thing_with_settings_needs_them_as_found() -> None:
    edit = ("scene.yml", SETTINGS, "settings: {}\n")
    assert_fires("as-found-settings-missing", [edit], at=("scene.yml", "settings: {}"), says="I-1")


def test_without_a_scene_there_is_one_problem() -> None:
    assert_fires("as-found-settings-missing", delete=["scene.yml"], at=("scene.yml", None), says="I-1")


def test_settings_that_could_not_be_had_warn() -> None:
    edit = ("scene.yml", SETTINGS, "settings_not_obtainable: the ward used the pump again at once\n")
    at = ("scene.yml", "settings_not_obtainable")
    assert_fires("as-found-settings-missing", [edit], at=at, level=Level.WARN, says="used the pump again")


def test_a_record_without_a_time_is_refused() -> None:
    edit = ("scene.yml", "recorded_at: 2026-03-02 11:20 -06:00\n", "")
    assert_fires("as-found-settings-missing", [edit], at=("scene.yml", "recorded_by"), says="when")


def test_one_setting_of_the_thing_is_enough_for_this_rule() -> None:
    edit = ("scene.yml", SETTINGS, SETTINGS.partition("  A-2:")[0])
    assert_silent("as-found-settings-missing", [edit])


def test_a_record_after_the_first_power_change_is_too_late() -> None:
    edit = ("scene.yml", "recorded_at: 2026-03-02 11:20 -06:00", "recorded_at: 2026-03-02 11:45 -06:00")
    assert_fires("as-found-too-late", [edit], at=("scene.yml", "recorded_at"), column=14, says="first power change")


def test_a_record_after_the_collection_is_too_late() -> None:
    edits = [
        ("scene.yml", "recorded_at: 2026-03-02 11:20 -06:00", "recorded_at: 2026-03-02 12:10 -06:00"),
        ("scene.yml", "first_power_change_at: 2026-03-02 11:40 -06:00\n", ""),
        ("scene.yml", "first_move_at: 2026-03-02 12:00 -06:00\n", ""),
    ]
    problem = assert_fires("as-found-too-late", edits, at=("scene.yml", "recorded_at"), says="the collection (C-2)")
    assert [str(span.path) for span in problem.related] == ["cases/base/custody.csv"]


def test_it_stays_a_reject_in_an_open_case() -> None:
    edits = [
        ("scene.yml", "recorded_at: 2026-03-02 11:20 -06:00", "recorded_at: 2026-03-02 11:45 -06:00"),
        ("case.yml", "stage: in review", "stage: open"),
    ]
    assert_fires("as-found-too-late", edits, at=("scene.yml", "recorded_at"))


def test_a_record_at_the_very_minute_is_in_time() -> None:
    edit = ("scene.yml", "recorded_at: 2026-03-02 11:20 -06:00", "recorded_at: 2026-03-02 12:40 -05:00")
    assert_silent("as-found-too-late", [edit])


@pytest.mark.parametrize("word", ["normal", "Default", "as usual", "standard setting", "OK", "usual for this ward"])
def test_a_judgement_is_no_setting(word: str) -> None:
    edit = ("scene.yml", "value: 1000 mL", f"value: {word}")
    assert_fires("setting-without-meaning", [edit], at=("scene.yml", f"value: {word}"), column=12)


@pytest.mark.parametrize("number", ['"1000"', '"50-150"', '"37,5"', '">90"'])
def test_a_number_without_a_unit_is_no_setting(number: str) -> None:
    edit = ("scene.yml", "value: 1000 mL", f"value: {number}")
    assert_fires("setting-without-meaning", [edit], at=("scene.yml", f"value: {number}"), says="without a unit")


@pytest.mark.parametrize(
    "value",
    [
        "90 W",
        "blend 2",
        "normal saline, 0.9 %",
        "off",
        "display reads NORMAL MODE",
        '"12:40"\n    unit: h:min',
        '"3"\n    unit: step',
        "{not_recorded: the display was dark}",
    ],
)
def test_what_a_control_showed_is_a_setting(value: str) -> None:
    assert_silent("setting-without-meaning", [("scene.yml", "value: 1000 mL", f"value: {value}")])
