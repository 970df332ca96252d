"""One gate, or one line of custody, put behind the others of its file: what happened, whether a rule likes it or not.

Refused is only what could not be read again: a word no list knows, a time nobody can place. A time out of order, a role
nobody listed and a thing nobody tagged are written down; the check speaks of them afterwards.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from asfound.desk.csv_append import append_rows
from asfound.desk.evidence import Desk
from asfound.desk.refused import Refused
from asfound.desk.times import read_moment
from asfound.desk.write import Step, read_whole, replace_file
from asfound.desk.yaml_insert import insert_records
from asfound.desk.yaml_text import Plain
from asfound.intake import read_record, read_yaml
from asfound.intake.csv_rows import read_csv
from asfound.intake.rows import CUSTODY, read_custody
from asfound.model.work import Gate, GateKind

MACHINE = "The time is that of the computer's clock when this was written down."
"""Put into the note of a record whose time nobody gave: the clock of a computer is a clock of its own."""


class When(Struct, frozen=True):
    """A time, and whether it is that of the machine's clock."""

    text: str
    machine: bool


class OneRecord(Struct, frozen=True):
    """A file with one new record.

    id    of the record
    name  of its file, below the case folder
    line  on which it begins, from 1; `text` are its lines as they stand in the file
    """

    id: str
    name: str
    line: int
    text: tuple[str, ...]
    old: bytes | None
    new: bytes


def when(given: str | None, now: dt.datetime, what: str = "--at") -> When:
    """The time somebody gave, else `now` (with its offset, to the second). Raises Refused."""
    if given is not None:
        return When(read_moment(given, what).text, False)
    told = now.isoformat(sep=" ", timespec="seconds")
    return When(f"{told[:19]} {told[19:25]}", True)


def plan_gate(
    desk: Desk,
    kind: GateKind,
    items: tuple[str, ...],
    at: When,
    by: str,
    outcome: str = "",
    rests_on: tuple[str, ...] = (),
    note: str = "",
) -> OneRecord:
    """The gates.yml of a case with one gate more, the last. Raises Refused, with every reason."""
    name, path = "gates.yml", desk.path("gates.yml")
    old = read_whole(desk.at / name)
    record: dict[str, Plain] = {"gate": str(kind)}
    if items:
        record["items"] = list(dict.fromkeys(items))
    record |= {"at": at.text, "by": by}
    if outcome.strip():
        record["outcome"] = " ".join(outcome.split())
    if rests_on:
        record["rests_on"] = list(dict.fromkeys(rests_on))
    if told := _note(note, at.machine):
        record["note"] = told
    before = read_yaml(path, old or b"")
    there = before.data.get("gates") if isinstance(before.data, dict) else None
    ref = f"G-{_next(ref for ref in _ids(desk, 'G', there))}"
    if isinstance(before.data, dict) and "gates" in before.data:
        made = insert_records(path, old or b"", {ref: record}, into=("gates",))
        line = made.lines[ref]
    else:
        made = insert_records(path, old or b"", {"gates": {ref: record}})
        line = made.lines["gates"] + 1
    _accepted(path, made.data, ref)
    length = 1 + len(record)
    return OneRecord(ref, name, line, _lines(made.data, line, length), old, made.data)


def _accepted(path: str, data: bytes, ref: str) -> None:
    gate, problems = read_record(Gate, read_yaml(path, data), ("gates", ref), ref)
    if gate is None or problems:
        raise Refused(f"{ref} could not be read in {path}", problems=problems)


def plan_custody(desk: Desk, cells: Mapping[str, str], machine: bool) -> OneRecord:
    """The custody.csv of a case with one line more. `cells` by column, without `line`. Raises Refused.

    machine  whether a time in it is that of the machine's clock; the note then says so
    """
    name, path = "custody.csv", desk.path("custody.csv")
    old = read_whole(desk.at / name)
    table = read_csv(path, old or b"")
    at = table.header.index("line") if "line" in table.header else None
    there = [f"C-{row[at].strip()}" for row in table.rows] if at is not None else []
    number = _next(_ids(desk, "C", there))
    row = {"line": str(number), **cells, "note": _note(cells.get("note", ""), machine)}
    row = {column: text for column, text in row.items() if text}
    absent = [column for column in row if table.readable and column not in table.header]
    if absent:
        raise Refused(
            f"the first line of {path} has no column {' and no column '.join(absent)}; "
            "add it there, and a comma in each line below"
        )
    made = append_rows(path, old or b"", [row], header=list(CUSTODY))
    read = read_custody(read_csv(path, made.data))
    ref = f"C-{number}"
    wrong = [problem for problem in read.problems if problem.subject == ref]
    if ref in read.broken or wrong:
        raise Refused(f"{ref} could not be read in {path}", problems=wrong)
    line = made.lines[0]
    return OneRecord(ref, name, line, _lines(made.data, line, 1 + "".join(row.values()).count("\n")), old, made.data)


def write_one(desk: Desk, made: OneRecord, step: Step = lambda _step: None) -> Path:
    """Put it on the disk; the file. Call it under `alone`. Raises Refused where the file changed meanwhile, OSError."""
    place = desk.at / made.name
    replace_file(place, made.old, made.new, step)
    return place


def _note(note: str, machine: bool) -> str:
    told = " ".join(note.split())
    if not machine:
        return told
    if told and told[-1] not in ".!?":
        told += "."
    return f"{told} {MACHINE}".strip()


def _ids(desk: Desk, letter: str, there: object) -> Iterator[str]:
    """Every id with a letter that the case knows, readable or not, and those that stand in the file."""
    for ref in (*desk.case.records, *desk.case.broken, *(there if isinstance(there, dict | list) else ())):
        if isinstance(ref, str) and ref.startswith(f"{letter}-"):
            yield ref


def _next(refs: Iterator[str]) -> int:
    found: Callable[[str], re.Match[str] | None] = re.compile(r"[A-Z]-(\d{1,9})").fullmatch
    return 1 + max((int(hit[1]) for hit in map(found, refs) if hit), default=0)


def _lines(data: bytes, line: int, count: int) -> tuple[str, ...]:
    return tuple(data.decode("utf-8").splitlines()[line - 1 : line - 1 + count])
