"""What a hundred thousand readings cost: measured against the plain work that any reader has to do."""

from __future__ import annotations

import csv
import datetime as dt
import gc
import re
import time
import tracemalloc
from collections.abc import Callable

from asfound.intake import read_csv, read_readings

ROWS = 100_000
TIMES = 4.0
MEBIBYTES_A_ROW = 200 / ROWS


def table(rows: int) -> bytes:
    """Rows as an investigation has them: few combinations of conditions, many values."""
    modes = ("cut", "blend", "coag")
    lines = ["row,port,mode,setting [W],value [W],note\n"]
    lines += [
        f"{n},{n % 2 + 1},{modes[n % 3]},{(n % 12) * 10},{(n * 7919) % 100000 / 1000:.3f},\n"
        for n in range(1, rows + 1)
    ]
    return "".join(lines).encode()


def by_hand(data: bytes) -> int:
    """The checks written by hand over csv.reader: header, width, number, range, word, order. Rows passed."""
    number = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?").fullmatch
    reader = csv.reader(data.decode("utf-8").splitlines(keepends=True), strict=True)
    assert next(reader) == ["row", "port", "mode", "setting [W]", "value [W]", "note"]
    last = 0
    passed = 0
    for row in reader:
        if len(row) != 6 or not number(row[3]) or not number(row[4]):
            continue
        if not 0 <= float(row[4]) <= 400 or row[2] not in ("cut", "blend", "coag"):
            continue
        if int(row[0]) <= last:
            continue
        last = int(row[0])
        passed += 1
    return passed


def ours(data: bytes) -> int:
    read = read_readings(read_csv("readings/output.csv", data), "output")
    assert read.sheet is not None and not read.problems
    return len(read.sheet.rows)


def cost(work: Callable[[bytes], int], data: bytes) -> float:
    best = float("inf")
    for _ in range(5):
        gc.collect()
        begin = time.process_time()
        assert work(data) == ROWS
        best = min(best, time.process_time() - begin)
    return best


def test_a_hundred_thousand_rows_cost_at_most_four_times_the_plain_work() -> None:
    data = table(ROWS)
    plain, whole = cost(by_hand, data), cost(ours, data)
    assert whole <= TIMES * plain, f"{whole:.3f} s against {plain:.3f} s: {whole / plain:.2f} times"


def test_a_hundred_thousand_rows_fit_into_200_mebibytes() -> None:
    # A fifth of the rows, held to a fifth of the bound: tracing makes the work twenty times slower.
    rows = ROWS // 5
    data = table(rows)
    tracemalloc.start()
    try:
        assert ours(data) == rows
        peak = tracemalloc.get_traced_memory()[1] / 1_048_576
    finally:
        tracemalloc.stop()
    assert peak <= MEBIBYTES_A_ROW * rows, f"{peak:.0f} MiB for {rows} rows"


def test_the_short_road_builds_what_the_constructor_builds() -> None:
    from asfound.model.work import Reading

    text = "row,mode,setting [W],value,unit,at,note,void,repeat_of\n2,cut,90,92.4,W,2026-03-10 13:05 -05:00,n,v,1\n"
    read = read_readings(read_csv("readings/output.csv", text.encode()), "output")
    assert read.sheet is not None
    (got,) = read.sheet.rows
    assert got.at is not None and got.at.at == dt.datetime.fromisoformat("2026-03-10T13:05-05:00")
    same = Reading(
        "R-output-2",
        "S-output",
        "2",
        2,
        got.value,
        "W",
        {"mode": "cut", "setting": "90"},
        got.at,
        "n",
        "v",
        "R-output-1",
    )
    assert got == same and hash(got.value) == hash(same.value)
