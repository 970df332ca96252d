"""A readings file of a hundred thousand rows: read and checked, and then judged, against csv.reader with hand checks.

The sheet has six columns. By hand means the plain loop that a careful script would be: header, width, the form of the
numbers, range, the word of the mode, and a time that never runs backwards. It keeps nothing. Ours keeps every reading
as a record with its line, and a verdict for each where verdicts are measured.

One limit judges the sheet: within 20 % of the setting, guard band, with the doubt of the instrument's range and of the
repeats under equal conditions.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from .method import Line, inside, process, spoken

ROWS, TIMES = 100_000, 5
READ_BOUND, JUDGED_BOUND, PEER_BOUND, MEBIBYTES = 4.0, 8.0, 1.0, 200
HEADER = ["row", "mode", "setting [W]", "value [W]", "at", "note"]
MODES = ("cut", "blend", "coag")


def table(rows: int) -> bytes:
    """Three modes, twelve settings, one reading a second, each within a fifth of its setting or just outside."""
    start = dt.datetime(2026, 3, 10, 9, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    lines = [",".join(HEADER)]
    for n in range(1, rows + 1):
        setting = 10 * (1 + n // 7 % 12)
        # A share of the setting for each mode and setting, and 2 % of scatter about it.
        value = setting * (0.79 + (n % 3 + n // 7 % 12) * 0.025 + (n * 7919 % 20) / 1000)
        at = (start + dt.timedelta(seconds=n)).isoformat(" ")
        lines.append(f"{n},{MODES[n % 3]},{setting},{value:.1f},{at},{'second lead' if n % 50 == 0 else ''}")
    return ("\n".join(lines) + "\n").encode()


def by_hand(data: bytes) -> int:
    """Rows that pass the hand checks."""
    number = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?").fullmatch
    reader = csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True)
    if next(reader) != HEADER:
        raise ValueError("line 1: the header is another")
    last = dt.datetime.min.replace(tzinfo=dt.UTC)
    passed = 0
    wrong: list[str] = []
    for row in reader:
        if len(row) != 6:
            wrong.append(f"line {reader.line_num}: width")
        elif not number(row[2]) or not number(row[3]):
            wrong.append(f"line {reader.line_num}: number")
        elif not 0 <= float(row[3]) <= 400 or not 0 <= float(row[2]) <= 400:
            wrong.append(f"line {reader.line_num}: range")
        elif row[1] not in MODES:
            wrong.append(f"line {reader.line_num}: mode")
        else:
            at = dt.datetime.fromisoformat(row[4])
            if at < last:
                wrong.append(f"line {reader.line_num}: time")
            else:
                last = at
                passed += 1
    if wrong:
        raise ValueError("\n".join(wrong))
    return passed


def read(data: bytes) -> Any:
    """Ours: the sheet of readings. Raises ValueError where a row is refused."""
    from asfound.intake import read_csv, read_readings

    got = read_readings(read_csv("readings/output.csv", data), "output")
    if got.sheet is None or got.problems:
        raise ValueError("\n".join(problem.headline() for problem in got.problems))
    return got.sheet


def bench() -> tuple[Any, Any, Any, Any]:
    """A plan, a sheet, its test and its instrument, as records."""
    from asfound.model.bench import Instrument
    from asfound.model.limits import Test
    from asfound.model.work import Plan, Sheet

    moments = {"from": "2026-03-10 09:00 -05:00", "to": "2026-03-11 19:00 -05:00"}
    sheet = {
        "test": "output-power",
        "item": "I-1",
        "instrument": "M-1",
        "function": "power",
        "by": "examiner",
        **moments,
    }
    plan = {
        "written_at": "2026-03-10 08:00 -05:00", "written_by": "examiner", "protocols": ["bench"],
        "limit_sets": ["bench"], "decision_rule": "guard band",
        "tests": {"output-power": {"item": "I-1", "why": "to see"}},
    }  # fmt: skip
    test = {
        "title": "Output power", "quantity": "power", "unit": "W", "purpose": "to see", "energised": "yes",
        "connects": "analyser", "alters": "none", "reaches": ["output"],
        "conditions": {"mode": {"title": "mode"}, "setting": {"title": "setting", "unit": "W"}},
    }  # fmt: skip
    span = {"from": "0 W", "to": "400 W", "resolution": "0.1 W", "accuracy": {"percent": "2", "plus": "0.5 W"}}
    power = {"quantity": "power", "ranges": [span], "certificate_doubt": "0.9 W"}
    instrument = {"what": "Analyser", "serial": "1", "functions": {"power": power}}
    return (
        Plan.model_validate(plan), Sheet.model_validate(sheet), Test.model_validate(test),
        Instrument.model_validate(instrument),
    )  # fmt: skip


def limits() -> Any:
    """The one limit, in a set."""
    from asfound.model.limits import LimitSet

    bound = {"kind": "percent", "percent": "20", "of": "setting"}
    limit = {
        "title": "Output within 20 % of the setting", "test": "output-power", "quantity": "power", "sense": "within",
        "around": "setting", "bound": bound, "kind": "common practice", "status": "common practice, no source",
    }  # fmt: skip
    document = {"document": "an invented document", "edition": "1", "jurisdiction": "none"}
    return LimitSet.model_validate({"set": "bench", "title": "Bench", **document, "limits": {"output": limit}})


def judged(data: bytes) -> tuple[Any, tuple[Any, ...]]:
    """Ours: the sheet of readings, and a verdict for each, all kept."""
    rows = read(data)
    return rows, judge(rows)


def judge(rows: Any) -> tuple[Any, ...]:
    """A verdict for each row of a sheet of readings."""
    from asfound.model.case import Case
    from asfound.model.event import CaseHead
    from asfound.model.limits import Book
    from asfound.verdicts import compute

    event = {
        "kind": "other", "told_at": "2026-03-09 12:00 -05:00", "time_source": "none", "where": "a bench",
        "account": "A measurement of speed.",
    }  # fmt: skip
    head = {"case": "bench", "title": "Bench", "stage": "open", "harmed": "none", "event": event}
    plan, sheet, test, instrument = bench()
    case = Case("bench", CaseHead.model_validate(head), plan=plan, sheets={"S-output": sheet})
    case.readings["S-output"] = rows
    made = compute(case, Book(sets={"bench": limits()}, protocols={}), {"output-power": test}, {"M-1": instrument})
    return made.verdicts


SCHEMA: dict[str, Any] = {
    "fields": [
        {"name": "row", "type": "string", "constraints": {"required": True, "unique": True, "pattern": "[a-z0-9-]+"}},
        {"name": "mode", "type": "string", "constraints": {"required": True, "enum": list(MODES)}},
        {"name": "setting [W]", "type": "number", "constraints": {"required": True, "minimum": 0, "maximum": 400}},
        {"name": "value [W]", "type": "number", "constraints": {"required": True, "minimum": 0, "maximum": 400}},
        {"name": "at", "type": "datetime", "format": "%Y-%m-%d %H:%M:%S%z", "constraints": {"required": True}},
        {"name": "note", "type": "string"},
    ]
}
"""What frictionless is asked: the same checks as by hand, but for the order of times, which it cannot be asked."""


def peer(folder: Path, name: str) -> int:
    """Rows that frictionless passes. Raises ValueError where it refuses one."""
    import frictionless

    resource = frictionless.Resource(name, basepath=str(folder), schema=frictionless.Schema.from_descriptor(SCHEMA))
    report = resource.validate()
    if not report.valid:
        raise ValueError(str(report.flatten(["rowNumber", "fieldName", "note"])[:5]))
    return int(report.tasks[0].stats["rows"])


def peak() -> float:
    """Largest memory this process ever held, in MiB."""
    status = Path("/proc/self/status")
    if status.is_file():
        # What getrusage reports on Linux may be the size of the process that started this one.
        for line in status.read_text("ascii").splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) / 1024
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1 << 20) if sys.platform == "darwin" else most / 1024


def alone(path: str) -> str:
    """Read and judge a file in a process of its own: how much came of it and how much memory it took, as JSON."""
    sheet = read(Path(path).read_bytes())
    verdicts = judge(sheet)
    return json.dumps({"readings": len(sheet.rows), "verdicts": len(verdicts), "peak": peak()})


def memory(folder: Path, name: str) -> dict[str, Any]:
    """What `alone` says of a file, from a fresh process."""
    script = f"from tests.bench.readings import alone; print(alone({str(folder / name)!r}))"
    said = process([sys.executable, "-c", script], Path(__file__).resolve().parents[2])
    found: dict[str, Any] = json.loads(said)
    return found


def measure() -> list[Line]:
    """Reading, judging, the peer, and the memory."""
    data = table(ROWS)
    hand, reading, judging = inside([lambda: by_hand(data), lambda: read(data), lambda: judged(data)], TIMES)
    name = "output.csv"
    with TemporaryDirectory() as place:
        folder = Path(place)
        (folder / name).write_bytes(data)
        held = memory(folder, name)
        own, other = inside([lambda: judged((folder / name).read_bytes()), lambda: peer(folder, name)], 3)
    rows = f"{ROWS} rows"
    loop = "csv.reader, hand checks"
    judge = f"{rows} read, checked, judged"
    size = f"{held['peak']:.0f} MiB"
    return [
        Line(f"{rows} read and checked", loop, reading / hand, READ_BOUND, spoken(reading), spoken(hand)),
        Line(judge, loop, judging / hand, JUDGED_BOUND, spoken(judging), spoken(hand), "one limit, within 20 %"),
        Line(judge, "frictionless validate", own / other, PEER_BOUND, spoken(own), spoken(other)),
        Line(f"{judge}: peak memory", f"{MEBIBYTES} MiB", held["peak"] / MEBIBYTES, 1.0, size, f"{MEBIBYTES} MiB"),
    ]
