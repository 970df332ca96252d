"""What is typed stands in the file at once, whole, and what stood there is never lost."""

from __future__ import annotations

import csv
import io
import threading
from collections.abc import Callable

import pytest
import yaml

from asfound import desk
from asfound.intake import read_csv, read_readings
from asfound.model.grid import GridColumn
from asfound.model.number import ValueKind
from asfound.sheet.beginning import constant_of
from asfound.sheet.writing import NotWritten

from .conftest import Form


def test_a_value_is_in_its_cell_and_no_other_byte_moved(form: Form) -> None:
    old = form.file()
    answer = form.value("4", "88.90")
    assert answer.status_code == 200 and answer.json["row"] == "4" and answer.json["rows"]["4"]["value"] == "88.90"
    assert form.line("4") == '4,1,cut,90,hand switch,88.90,2026-03-20 09:00:00 -05:00,"laid ready, as planned"'
    assert form.file() == old.replace(
        "4,1,cut,90,hand switch,,,", "4,1,cut,90,hand switch,88.90,2026-03-20 09:00:00 -05:00,"
    )
    assert (
        form.file().startswith("\ufeffrow,") and "\r\n" in form.file() and "\n" not in form.file().replace("\r\n", "")
    )


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("no output", ValueKind.NO_OUTPUT),
        ("over range", ValueKind.OVER_RANGE),
        ("<0.5", ValueKind.BELOW),
        ("alarm yes", ValueKind.YES),
        ("3 of 10", ValueKind.COUNT),
        ("not obtainable: switch sealed, by order", ValueKind.NOT_OBTAINABLE),
        ("1.10", ValueKind.NUMBER),
        ("-4e-3", ValueKind.NUMBER),
    ],
)
def test_what_is_no_number_is_a_value_too(form: Form, text: str, kind: ValueKind) -> None:
    assert form.value("5", text).status_code == 200
    rows = read_readings(read_csv("output.csv", form.file().encode()), "output")
    assert not rows.problems and rows.sheet is not None
    (row,) = [row for row in rows.sheet.rows if row.row == "5"]
    assert row.value.text == text and row.value.kind is kind


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("88,4", "comma"),
        ("88.4 W", "W"),
        ("OL", "over range"),
        ("=1+1", "="),
        ("+cmd|' /C calc'!A0", ""),
        ("@SUM(A1)", ""),
        ("1e400", "exponent"),
        ("٣", ""),
        ("8\u202e4", ""),
        ("<script>alert(1)</script>", ""),
        ("1\n2", ""),
        ("pass", ""),
        ("-", ""),
    ],
)
def test_what_is_no_value_is_not_written_and_the_words_say_how_to_mend_it(form: Form, text: str, said: str) -> None:
    old = form.file()
    answer = form.value("1", text)
    assert answer.status_code == 422 and said.lower() in f"{answer.json['said']} {answer.json.get('mend')}".lower()
    assert form.file() == old


def test_a_value_that_is_changed_is_struck_and_stays_with_time_role_and_reason(form: Form) -> None:
    form.value("1", "8.84")
    form.clock.tick(90)
    answer = form.value("1", "88.4", "8.84")
    assert answer.status_code == 422 and answer.json["why"] is True and ",8.84," in form.line("1")
    assert form.value("1", "88.4", "8.84", why="typed wrong").status_code == 200
    assert form.line("1") == (
        "1,1,high-current coagulation,90,foot switch,88.4,2026-03-20 09:00:00 -05:00,"
        '"struck 8.84, 2026-03-20 09:01:30 -05:00, examiner: typed wrong"'
    )
    form.clock.tick()
    assert form.value("1", "", "88.4", why="wrong row").status_code == 200
    note = next(csv.reader(io.StringIO(form.line("1"))))[-1]
    assert note.startswith("struck 8.84, 2026-03-20 09:01:30 -05:00, examiner: typed wrong; struck 88.4, ")


def test_a_file_without_a_note_gets_one_with_the_first_struck_value(form: Form) -> None:
    form.begin("S-touch", "M-2 touch current")
    form.value("1", "800", sheet="S-touch")
    assert form.value("1", "0.8", "800", sheet="S-touch", why="wrong unit").status_code == 200
    assert form.file("touch") == (
        "row,earth,polarity,power,value [µA],at,note\n"
        '1,closed,normal,on,0.8,2026-03-20 09:00:00 -05:00,"struck 800, 2026-03-20 09:00:00 -05:00, examiner: wrong unit"\n'  # noqa: E501
        "2,open,normal,on,,,\n"
    )


def test_a_condition_that_no_row_says_is_asked_for_before_the_first_value(form: Form) -> None:
    """Else the form lets a sheet be closed that the check then refuses (leakage-condition-missing)."""
    assert "data-constant" not in form.get("/sheet/S-touch").text
    sheets = form.home / "sheets.yml"
    said = "  constants:\n    measuring device: network of 1 kΩ as in IEC 60601-1\n    point: screw at the rear\n"
    assert sheets.read_text("utf-8").count(said) == 1
    sheets.write_text(sheets.read_text("utf-8").replace(said, ""), "utf-8")
    page = form.get("/sheet/S-touch").text
    assert page.count("data-constant") == 1 and 'data-constant="measuring device"' in page
    same = {"measuring device": "network of 1 kΩ", "earth": "open", "point": ""}
    begun = form.post("/sheet/S-touch/begin", instrument="M-2 touch current", by="examiner", constants=same)
    assert begun.status_code == 200, begun.json
    # What the rows say themselves is not said for all of them.
    assert yaml.safe_load(sheets.read_text("utf-8"))["S-touch"]["constants"] == {"measuring device": "network of 1 kΩ"}
    assert "data-constant" not in form.get("/sheet/S-touch").text
    assert form.post("/sheet/S-output/begin", instrument="M-1 power", by="examiner", constants=["x"]).status_code == 200


def test_a_condition_for_all_rows_is_one_of_its_words_or_has_its_unit() -> None:
    words = GridColumn("method", "Method", "", ("alternative", "direct"), False, True)
    assert constant_of(words, "direct") == "direct"
    with pytest.raises(NotWritten, match="no word for method; there is alternative, direct"):
        constant_of(words, "by hand")
    figure = GridColumn("setting", "Rate set", "mL/h", (), False, True)
    assert constant_of(figure, "25") == "25 mL/h" and constant_of(figure, "25 mL/h") == "25 mL/h"


def test_the_time_is_when_it_was_typed_not_when_it_arrived(form: Form) -> None:
    form.clock.tick(600)
    assert form.value("1", "88.4", ago=480).status_code == 200
    assert "2026-03-20 09:02:00 -05:00" in form.line("1")
    for ago in (-5, "yesterday", 1e12, None, float("inf")):
        assert form.value("2", "88", ago=ago).status_code in (400, 422)


def test_of_two_tabs_the_second_is_told_and_nothing_is_written_over(form: Form) -> None:
    form.value("1", "88.4")
    answer = form.value("1", "84.8", "")
    assert answer.status_code == 409 and answer.json["there"] == "88.4" and "84.8" in answer.json["said"]
    assert ",88.4," in form.line("1")
    # The same value, sent again since its answer was lost, is written already.
    before = form.file()
    assert form.value("1", "88.4", "").status_code == 200 and form.file() == before


def test_two_at_once_write_both(make: Callable[..., Form]) -> None:
    form = make(wait=5.0)
    form.begin()
    codes: list[int] = []
    apps = [form.client.application.test_client() for _ in range(6)]
    cookie = form.client.get_cookie("asfound-sheet", domain="127.0.0.1").value
    for one in apps:
        one.set_cookie("asfound-sheet", cookie, domain="127.0.0.1")

    def write(number: int) -> None:
        from .conftest import HOST, OWN

        body = {"row": str(number + 1), "value": f"{80 + number}", "expected": "", "by": "examiner"}
        answer = apps[number].post("/sheet/S-output/value", json=body, headers=OWN, base_url=f"http://{HOST}")
        codes.append(answer.status_code)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert codes == [200] * 6
    for number in range(6):
        assert f",{80 + number},2026" in form.line(str(number + 1))


def test_while_another_run_writes_it_is_asked_to_come_again(form: Form) -> None:
    with desk.alone(form.home):
        answer = form.value("1", "88.4")
        assert answer.status_code == 423 and "Another run" in answer.json["said"]
    assert form.value("1", "88.4").status_code == 200


def test_a_spreadsheet_that_saved_meanwhile_is_not_written_over(make: Callable[..., Form]) -> None:
    held: list[Form] = []

    def saved(step: str) -> None:
        if step == "compare" and held:
            place = held[0].home / "readings" / "output.csv"
            place.write_bytes(place.read_bytes().replace(b"4,1,cut,90,hand switch,,,", b"4,1,cut,90,hand switch,77,,"))

    form = make(step=saved)
    form.begin()
    held.append(form)
    answer = form.value("1", "88.4")
    assert answer.status_code == 423 and "somebody else" in answer.json["said"]
    held.clear()
    assert form.value("1", "88.4").status_code == 200
    assert ",77," in form.line("4") and ",88.4," in form.line("1")


@pytest.mark.parametrize("at", ["begin", "write", "sync", "compare", "rename", "settle"])
def test_a_kill_at_any_step_leaves_the_old_file_or_the_new_one(make: Callable[..., Form], at: str) -> None:
    class Killed(BaseException):
        pass

    armed: list[bool] = []

    def step(name: str) -> None:
        if armed and name == at:
            raise Killed

    form = make(step=step)
    form.begin()
    old = form.file()
    armed.append(True)
    with pytest.raises(Killed):
        form.value("1", "88.4")
    armed.clear()
    now = form.file()
    assert now == old or now == old.replace("foot switch,,", "foot switch,88.4,2026-03-20 09:00:00 -05:00", 1)
    # The page sends it again, and it stands there once.
    assert form.value("1", "88.4").status_code == 200
    assert form.line("1").count("88.4") == 1 and len(form.file().splitlines()) == 7


def test_a_row_that_only_the_plan_holds_is_written_with_its_first_value(form: Form) -> None:
    keys = [key for key in form.get("/sheet/S-output/now").json["rows"] if key.startswith("new:")]
    assert len(keys) == 27
    answer = form.value(keys[0], "44.1")
    assert answer.status_code == 200 and answer.json["row"] == "7"
    assert form.file().count("\r\n7,") == 1 and ",44.1,2026-03-20 09:00:00 -05:00," in form.line("7")
    # Its answer was lost: the same once more adds no second row, another value asks.
    assert form.value(keys[0], "44.1").json["row"] == "7"
    assert form.value(keys[0], "41.4").status_code == 409
    assert form.file().count("44.1") == 1 and "41.4" not in form.file()
    assert form.value("new:0123456789abcdef", "1").status_code == 409


def test_a_sheet_without_a_file_is_begun_with_its_first_row(form: Form) -> None:
    form.begin("S-alarm", "M-1 output shown")
    (key,) = form.get("/sheet/S-alarm/now").json["rows"]
    assert form.value(key, "yes", sheet="S-alarm").status_code == 200
    rows = read_readings(read_csv("alarm.csv", form.file("alarm").encode()), "alarm")
    assert rows.sheet is not None and not rows.problems
    assert [row.value.text for row in rows.sheet.rows] == ["yes"] and rows.sheet.rows[0].unit == "1"


def test_a_reading_is_taken_again_in_a_row_of_its_own(form: Form) -> None:
    form.value("5", "88.1")
    answer = form.post("/sheet/S-output/again", row="5")
    assert answer.status_code == 200 and answer.json["row"] == "7"
    assert form.line("7") == "7,2,cut,90,hand switch,,," and ",88.1," in form.line("5")
    answer = form.post("/sheet/S-output/another", conditions={"port": "2", "mode": "cut", "setting": "45"})
    assert answer.status_code == 200 and form.line("8") == "8,2,cut,45,,,,"
    for wrong in ({"setting [W]": "4"}, {"value": "4"}, {"row": "1"}, {"nothing": "x"}):
        assert form.post("/sheet/S-output/another", conditions=wrong).status_code == 422
    for wrong in ([], {"port": 1}, None):
        assert form.post("/sheet/S-output/another", conditions=wrong).status_code == 422


def test_a_reading_that_does_not_count_stays_in_sight(form: Form) -> None:
    form.value("5", "88.1")
    assert form.post("/sheet/S-output/strike", row="5", why=" ", by="examiner").status_code == 422
    assert form.post("/sheet/S-output/strike", row="5", why="lead fell off", by="examiner").status_code == 200
    assert form.line("5") == (
        '5,2,cut,90,hand switch,88.1,2026-03-20 09:00:00 -05:00,,"lead fell off (2026-03-20 09:00:00 -05:00, examiner)"'
    )
    assert form.value("5", "88.2", "88.1", why="typed wrong").status_code == 422


def test_a_formula_gets_into_no_note(form: Form) -> None:
    for text in ("=HYPERLINK(1)", "@x", "+cmd|'x'!A1"):
        old = form.file()
        answer = form.post("/sheet/S-output/remark", row="1", text=text, by="examiner")
        assert answer.status_code == 422 and "formula" in answer.json["said"] and form.file() == old
    assert form.post("/sheet/S-output/remark", row="1", text='tone "low", <b>', by="examiner").status_code == 200
    assert "&lt;b&gt;" in form.get("/sheet/S-output").text and "<b>tone" not in form.get("/sheet/S-output").text


def test_nobody_writes_before_it_is_said_who_and_with_what(make: Callable[..., Form]) -> None:
    form = make()
    assert form.value("1", "88.4").json.get("begin") is True
    form.begin()
    assert form.value("1", "88.4", by="somebody").json.get("role") is True
    assert form.value("1", "88.4", by="").status_code == 422
    assert form.post("/sheet/S-touch/begin", instrument="M-99 x", by="examiner").status_code == 422
    assert form.post("/sheet/S-touch/begin", instrument="M-2 no such", by="examiner").status_code == 422
    assert form.post("/sheet/S-touch/begin", instrument="M-2 touch current", by="ghost").status_code == 422


def test_beginning_and_closing_leave_every_other_byte_of_sheets_yml(make: Callable[..., Form]) -> None:
    form = make()
    place = form.home / "sheets.yml"
    place.write_bytes(b"\xef\xbb\xbf" + place.read_bytes().replace(b"\n", b"\r\n"))
    old = place.read_bytes().decode()
    form.begin()
    form.value("1", "88.4")
    form.clock.tick(3600)
    assert form.post("/sheet/S-output/close", left=0, by="examiner").status_code == 409
    left = form.get("/sheet/S-output/now").json["open"]
    assert form.post("/sheet/S-output/close", left=left, by="examiner").status_code == 200
    added = (
        "  instrument: M-1\r\n  function: power\r\n  by: examiner\r\n  from: 2026-03-20 09:00:00 -05:00\r\n"
        "  to: 2026-03-20 10:00:00 -05:00\r\n"
    )
    assert added in place.read_bytes().decode() and place.read_bytes().decode().replace(added, "") == old
    # Once more changes nothing.
    before = place.read_bytes()
    assert form.post("/sheet/S-output/close", left=0, by="examiner").status_code == 200
    assert place.read_bytes() == before


def test_a_sheet_is_laid_ready_once(form: Form) -> None:
    assert form.post("/ready", test="output-power--swap").json["sheet"] == "S-output-power-swap"
    assert form.post("/ready", test="output-power--swap").json["sheet"] == "S-output-power-swap"
    assert (form.home / "sheets.yml").read_text(encoding="utf-8").count("S-output-power-swap:") == 1
    assert form.post("/ready", test="no-such-test").status_code == 422
