"""The first and the last act of a sheet: with what and by whom it is read, and that it is closed."""

from __future__ import annotations

from collections.abc import Mapping

from asfound import desk, intake
from asfound.desk import Refused
from asfound.model.bench import Instrument
from asfound.model.grid import GridColumn
from asfound.model.limits import Test
from asfound.model.work import PreparedSheet
from asfound.sheet.view import sheet_view
from asfound.sheet.writing import NotWritten, Writer

_FILE = "sheets.yml"


def functions(instruments: Mapping[str, Instrument], test: Test | None) -> list[tuple[str, str, str]]:
    """Instruments with each of their functions, those for the test's quantity first: id, function, what it is."""
    found: list[tuple[bool, int, tuple[str, str, str]]] = []
    for ref, one in instruments.items():
        for name, function in one.functions.items():
            other = test is not None and function.quantity != test.quantity
            found.append((other, len(found), (ref, name, f"{one.what}, {name}")))
    return [told for _, _, told in sorted(found)]


def lay_ready(writer: Writer, planned: str) -> str:
    """Lay a sheet ready for a planned test that has none; its id. One that has one already gives that one."""
    with writer.alone() as lying:
        plan = lying.case.plan
        if plan is None or planned not in plan.tests:
            raise NotWritten("The plan has no such test.")
        for name, sheet in lying.sheets.items():
            if sheet.test == planned:
                return name
        name = f"S-{planned.replace('--', '-')}"
        if lying.case.exists(name) or name in lying.sheets:
            raise NotWritten(f"{name} is the sheet of another test already.")
        _insert(writer, {name: {"test": planned, "item": plan.tests[planned].item}}, ())
        return name


def begin(
    writer: Writer, name: str, instrument: str, function: str, by: str, constants: Mapping[str, str] = {}
) -> None:
    """Write with which instrument and by whom a sheet is read, and from when. What is there already is left alone.

    `constants` are conditions that are the same in every row and that no row says.
    """
    with writer.alone() as lying:
        sheet = lying.sheets[name]
        writer.role(lying, by)
        tools = lying.facts.instruments
        ref = sheet.instrument or instrument
        if ref not in tools:
            raise NotWritten("Choose an instrument of the register .asfound/instruments.yml.", instrument=True)
        used = sheet.function or function
        if used not in tools[ref].functions:
            raise NotWritten(f"{ref} has no function called “{used}”.", instrument=True)
        given = {"instrument": ref, "function": used, "by": by, "from": writer.bench.moment().text}
        there = {
            "instrument": sheet.instrument, "function": sheet.function, "by": sheet.by, "from": sheet.from_,
        }  # fmt: skip
        fields: dict[str, object] = {field: text for field, text in given.items() if there[field] is None}
        asked = {one.name: one for one in sheet_view(lying, name).unsaid}
        same = {one: constant_of(asked[one], text) for one, text in constants.items() if one in asked and text}
        if same:
            fields["constants"] = same
        if fields:
            _insert(writer, fields, (name,))


def constant_of(column: GridColumn, text: str) -> str:
    """A condition as it is typed, with the unit of its column behind a bare figure."""
    if column.values and text not in column.values:
        raise NotWritten(f"“{text}” is no word for {column.title.lower()}; there is {', '.join(column.values)}.")
    return f"{text} {column.unit}" if column.unit and " " not in text else text


def close(writer: Writer, name: str, left: int, by: str) -> None:
    """Close a sheet: from then on its verdicts are shown, and what is changed says that it was changed afterwards.

    `left` is how many empty rows the person was told of; where there are others by now, nothing is closed.
    """
    with writer.alone() as lying:
        sheet = lying.sheets[name]
        writer.role(lying, by)
        if sheet.to is not None:
            return
        view = sheet_view(lying, name)
        if view.lacking or not view.filled:
            raise NotWritten("Nothing was read on this sheet yet, so there is nothing to close.")
        if view.open_rows != left:
            rows = "1 row is" if view.open_rows == 1 else f"{view.open_rows} rows are"
            raise NotWritten(f"By now {rows} empty. Look at them, then close.", 409, left=view.open_rows)
        at = writer.bench.moment()
        first = sheet.from_
        if first is not None and at.at < first.at:
            raise NotWritten(
                f"This computer's clock shows {at.text}; the sheet began at {first.text}. Set the clock right first."
            )
        _insert(writer, {"to": at.text}, (name,))


def _insert(writer: Writer, records: Mapping[str, object], into: tuple[str, ...]) -> None:
    place = writer.bench.folder / _FILE
    old = desk.read_whole(place)
    made = desk.insert_records(_FILE, old or b"", records, into)  # type: ignore[arg-type]
    document = intake.read_yaml(_FILE, made.data)
    for name in into or tuple(records):
        sheet, problems = intake.read_record(PreparedSheet, document, (name,), name)
        if sheet is None or problems:
            raise Refused(f"{name} would not be accepted in {_FILE}", problems=problems)
    desk.replace_file(place, old, made.data, writer.step)
