"""A pulse of ten million samples out of a file, by `asfound calc pulse-energy` with its chart, as a whole program.

What is held against the bound is the peak memory of the program (VmHWM where there is one) less that of the very same
command on a file of a hundred rows: what it needs to start, to read such a file and to draw is in both.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from .method import Line, process

ROWS, FEW = 10_000_000, 100
MEBIBYTES = 200
AT_ONCE = 100_000
ROOT = Path(__file__).resolve().parents[2]


def wave(first: int, last: int, rows: int) -> tuple[np.ndarray, np.ndarray]:
    """Times in ms and volts of some samples of a decaying pulse of 12 ms within 20 ms."""
    t = np.arange(first, last) * (20.0 / rows)
    return t, np.where((t >= 2.0) & (t < 14.0), 1600.0 * np.exp((2.0 - t) / 8.0), 0.0)


def write(folder: Path, rows: int) -> list[Path]:
    """The same pulse as CSV and as Parquet."""
    import pyarrow
    from pyarrow.parquet import ParquetWriter

    places = [folder / f"shock-{rows}.csv", folder / f"shock-{rows}.parquet"]
    fields = pyarrow.schema([("time [ms]", pyarrow.float64()), ("voltage [V]", pyarrow.float64())])
    with places[0].open("w", encoding="utf-8") as text, ParquetWriter(places[1], fields) as table:
        text.write("time [ms],voltage [V]\n")
        for first in range(0, rows, AT_ONCE):
            t, v = wave(first, min(first + AT_ONCE, rows), rows)
            text.write("".join(f"{a:.7f},{b:.3f}\n" for a, b in zip(t.tolist(), v.tolist(), strict=True)))
            table.write_table(pyarrow.table([t, v], schema=fields))
    return places


def run(place: Path) -> tuple[float, float]:
    """Energy in J and peak memory in MiB of the program on a file, from a fresh process."""
    words = ["calc", "pulse-energy", "load=50 ohm", "--file", str(place), "--json", "--replace", "--chart",
             str(place.with_suffix(".svg"))]  # fmt: skip
    script = (
        "import sys\nfrom asfound.cli import main\nfrom tests.bench.readings import peak\n"
        f"sys.argv = ['asfound', *{words!r}]\n"
        "try:\n    main()\nexcept SystemExit as done:\n    assert not done.code, done.code\n"
        "print('\\n' + str(peak()))\n"
    )
    said, _, held = process([sys.executable, "-c", script], ROOT).rstrip().rpartition("\n")
    answers = {one["name"]: one["value"] for one in json.loads(said)["answers"]}
    return float(answers["energy into the load"]), float(held)


def measure() -> list[Line]:
    """Both kinds of file."""
    lines = []
    with TemporaryDirectory() as name:
        folder = Path(name)
        for few, many in zip(write(folder, FEW), write(folder, ROWS), strict=True):
            start, held = run(few)[1], run(many)[1]
            kind = many.suffix.removeprefix(".").replace("csv", "CSV").replace("parquet", "Parquet")
            lines.append(
                Line(
                    f"energy and chart of ten million rows of {kind}: memory", f"{MEBIBYTES} MiB",
                    (held - start) / MEBIBYTES, 1.0, f"{held - start:.0f} MiB", f"{MEBIBYTES} MiB",
                    f"above the {start:.0f} MiB of {FEW} rows",
                )
            )  # fmt: skip
    return lines
