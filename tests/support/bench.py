"""A case at the bench: planned, sheets laid ready, nothing read yet. All of it is invented."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

ROOT = Path(__file__).parents[2]
START = dt.datetime(2026, 3, 20, 9, 0, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))

SHEETS = """\
# One sheet a test; what is constant on it.
S-output:
  test: output-power
  item: I-1
  accessories: [I-2, I-3, I-8, I-9]
  constants:
    load: 400 Ω
    circuit: monopolar
    leads: 1 m, apart
  as_found_settings: yes
S-touch:
  test: touch-current
  item: I-1
  accessories: [I-8]
  supply: {kind: grounded, voltage: 120.9 V, nominal: 120 V, frequency: 60 Hz}
  constants:
    measuring device: network of 1 kΩ as in IEC 60601-1
    point: screw at the rear
S-alarm:
  test: contact-monitor-alarm
  item: I-1
"""
OUTPUT = "\ufeff" + "\r\n".join(
    (
        "row,port,mode,setting [W],activation,value [W],at,note",
        "1,1,high-current coagulation,90,foot switch,,,",
        "2,1,high-current coagulation,90,foot switch,,,",
        "3,1,high-current coagulation,90,foot switch,,,",
        '4,1,cut,90,hand switch,,,"laid ready, as planned"',
        "5,2,cut,90,hand switch,,,",
        "6,2,cut,20,hand switch,,,",
        "",
    )
)
TOUCH = "row,earth,polarity,power,value [µA],at\n1,closed,normal,on,,\n2,open,normal,on,,\n"


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> dt.datetime:
        return self.at

    def tick(self, seconds: float = 60) -> None:
        """Time passes."""
        self.at += dt.timedelta(seconds=seconds)


def bench_case(root: Path, *, gates: bool = True) -> Path:
    """The demonstration's first case as it lay before a sheet was begun, below `root`; its folder.

    `gates` false: nothing was inspected and nothing is known to be safe to connect.
    """
    shutil.copytree(ROOT / ".asfound", root / ".asfound")
    home = root / "cases" / "bench"
    source = ROOT / "cases" / "return-pad-lesion"
    home.mkdir(parents=True)
    (home / "readings").mkdir()
    for name in ("case.yml", "items.yml", "plan.yml", "scene.yml", "clocks.yml", "evidence.yml"):
        shutil.copy(source / name, home / name)
    shutil.copytree(source / "evidence", home / "evidence")
    if gates:
        shutil.copy(source / "gates.yml", home / "gates.yml")
    (home / "sheets.yml").write_text(SHEETS, encoding="utf-8")
    (home / "readings" / "output.csv").write_bytes(OUTPUT.encode("utf-8"))
    (home / "readings" / "touch.csv").write_text(TOUCH, encoding="utf-8")
    return home
