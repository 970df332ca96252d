"""Slips are asked about as values are typed, in words that tell nothing of a limit; verdicts wait until the close."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal

import pytest

from asfound.measure.units import unit
from asfound.model.base import Moment
from asfound.model.number import Fault, read_value
from asfound.model.work import Reading
from asfound.sheet.asking import questions

from .conftest import Form

TOLERANCE = Decimal("0.03")
_OUTCOMES = re.compile(r"\b(?:pass(?:es|ed)?|fail(?:s|ed)?|not assessable|no requirement|limit|within|outside)\b", re.I)


def _reading(row: int, value: str, unit: str = "W", note: str = "", void: str = "", **conditions: str) -> Reading:
    read = read_value(value)
    assert not isinstance(read, Fault)
    at = Moment.read(f"2026-03-20 09:{row:02} -05:00")
    return Reading(f"R-x-{row}", "S-x", str(row), row + 1, read, unit, conditions, at, note, void)


@pytest.mark.parametrize(
    ("rows", "asked"),
    [
        # Ten, a hundred, a thousand times its setting or its sister is a slip first: common practice, no source.
        ([_reading(1, "8.84", setting="90")], {1: "about 1/10 of the setting in this row, 90 W"}),
        ([_reading(1, "88400", setting="90")], {1: "about 1000 times the setting"}),
        ([_reading(1, "88.4", setting="90")], {}),
        ([_reading(1, "45", setting="90")], {}),
        ([_reading(1, "0.0884", "kW", setting="90")], {}),
        ([_reading(1, "88.4", port="1"), _reading(2, "881", port="2")], {2: "about 10 times what row 1 holds, 88.4 W"}),
        ([_reading(1, "88.4", port="1"), _reading(2, "881", port="2", note="checked, read again")], {}),
        ([_reading(1, "88.4", port="1"), _reading(2, "881", port="2", void="lead off")], {}),
        # Another setting is no sister, and neither is a fault condition: those differ tenfold by nature.
        ([_reading(1, "88.4", setting="90 W"), _reading(2, "8.84", setting="9 W")], {}),
        ([_reading(1, "0.8", "µA", earth="closed"), _reading(2, "8.0", "µA", earth="open")], {}),
        ([_reading(1, "no output", setting="90"), _reading(2, "<9", setting="90"), _reading(3, "0", setting="90")], {}),
    ],
)
def test_a_slip_of_ten_is_asked_about(rows: list[Reading], asked: dict[int, str]) -> None:
    found = questions(rows, {"setting": "W"}, {}, TOLERANCE)
    assert {one.row for one in found.values()} == {f"R-x-{row}" for row in asked}
    for row, words in asked.items():
        assert words in found[f"R-x-{row}"].text


def test_a_unit_is_asked_about_where_the_size_is_far_off() -> None:
    amp = unit("uA")
    assert amp is not None
    row = _reading(1, "120", "mA")
    (one,) = questions([row], {}, {"R-x-1": (Decimal(500), amp)}, TOLERANCE).values()
    assert "Is mA its unit?" in one.text and not _OUTCOMES.search(one.text)
    # Twice or fifty times the limit may be a fault, and is nobody's business before the sheet is closed.
    for value in ("501", "1000", "25000"):
        assert not questions([_reading(1, value, "uA")], {}, {"R-x-1": (Decimal(500), amp)}, TOLERANCE)


@pytest.mark.parametrize("value", ["88.4", "118.1", "150", "40", "0", "no output"])
def test_no_page_of_a_sheet_under_way_tells_how_a_value_did(form: Form, value: str) -> None:
    """Whatever is typed, well inside or far outside its limit: no word of a verdict, or of a limit."""
    form.value("1", value)
    said = form.get("/sheet/S-output").text + form.get("/sheet/S-output/rows").text
    inside = re.sub(r"A pass is not an exoneration|Meeting a limit.*?</p>|Close it when.*?</p>", "", said)
    body = re.sub(r"<[^>]+>", " ", inside[inside.index("<main") :])
    assert not _OUTCOMES.search(body), _OUTCOMES.search(body)


def test_an_answered_question_is_not_asked_again_and_the_check_hears_of_it(form: Form) -> None:
    answer = form.value("1", "8.84")
    assert "Was it read so?" in answer.json["rows"]["1"]["told"]
    answer = form.post("/sheet/S-output/checked", row="1", by="examiner")
    assert "Was it read so?" not in answer.json["rows"]["1"]["told"]
    assert form.line("1").endswith('"checked, read again 2026-03-20 09:00:00 -05:00 by examiner"') or form.line(
        "1"
    ).endswith("checked, read again 2026-03-20 09:00:00 -05:00 by examiner")


def test_verdicts_stand_on_a_closed_sheet_and_what_changes_then_says_so(form: Form) -> None:
    form.value("1", "88.4")
    form.value("2", "118.1")
    left = form.get("/sheet/S-output/now").json["open"]
    assert form.post("/sheet/S-output/close", left=left - 1, by="examiner").json["left"] == left
    assert form.post("/sheet/S-output/close", left=left, by="examiner").status_code == 200
    rows = form.get("/sheet/S-output/now").json["rows"]
    assert "<b" in rows["1"]["told"] and ">pass</b>" in rows["1"]["told"]
    assert ">fail</b>" in rows["2"]["told"] or ">conditional fail</b>" in rows["2"]["told"]
    page = form.get("/sheet/S-output").text
    assert "The check says of this sheet" in page and "R-output-2" in page
    assert not any(key.startswith("new:") for key in rows)
    # Typing on is over; a slip may still be mended, and says when.
    assert form.value("3", "88").json["why"] is True
    form.clock.tick(60)
    assert form.value("2", "88.1", "118.1", why="typed wrong").status_code == 200
    assert "struck 118.1, 2026-03-20 09:01:00 -05:00, examiner: typed wrong, after the sheet was closed" in form.line(
        "2"
    )
    assert form.post("/sheet/S-output/again", row="1").status_code == 422
    assert form.post("/sheet/S-output/another", conditions={"port": "1"}).status_code == 422


def test_an_empty_sheet_is_not_closed_and_a_clock_that_ran_back_is_told(form: Form) -> None:
    left = form.get("/sheet/S-output/now").json["open"]
    assert form.post("/sheet/S-output/close", left=left, by="examiner").status_code == 422
    form.value("1", "88.4")
    form.clock.tick(-7200)
    answer = form.post("/sheet/S-output/close", left=left - 1, by="examiner")
    assert answer.status_code == 422 and "clock" in answer.json["said"]


def test_gates_that_are_not_open_are_said_and_hinder_nobody(make: Callable[..., Form]) -> None:
    form = make(gates=False)
    form.begin()
    page = form.get("/sheet/S-output").text
    assert "I-1, I-2, I-3, I-8 and I-9 are not inspected yet" in page
    assert "I-1 is not on record as safe to connect. This test connects an analyser" in page
    # The tool records what happened.
    assert form.value("1", "88.4").status_code == 200
    form.begin("S-touch", "M-2 touch current")
    assert "safe to connect" not in form.get("/sheet/S-touch").text.partition("afs-bench")[0]


def test_gates_that_are_open_are_not_spoken_of(form: Form) -> None:
    assert "not inspected yet" not in form.get("/sheet/S-output").text
    assert "not on record as safe" not in form.get("/sheet/S-output").text


def test_the_old_sheets_of_the_demonstration_are_closed_ones(form: Form) -> None:
    """A sheet that somebody wrote with its times, as all were written before there was a form."""
    text = (form.home / "sheets.yml").read_text(encoding="utf-8")
    (form.home / "sheets.yml").write_text(
        text.replace("S-touch:", "  to: 2026-03-20 15:20 -05:00\nS-touch:"), encoding="utf-8"
    )
    assert form.get("/sheet/S-output/now").json["closed"] == "2026-03-20 15:20 -05:00"
