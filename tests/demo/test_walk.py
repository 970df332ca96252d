"""The ten minutes of the README: what it tells a new user to change does what it says."""

from __future__ import annotations

import datetime as dt
import re
import shutil
from pathlib import Path

from asfound.assess import assess_case
from asfound.problems import Level

ROOT = Path(__file__).parents[2]
ON = dt.date(2026, 3, 25)


def test_the_weakened_reading_is_rejected_at_its_line(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    found = re.search(r"In `(\S+)` change row (\d+) from `([\d.]+)` to `([\d.]+)`", text)
    assert found, "the README no longer says what to change"
    file, row, old, new = found.groups()
    shutil.copytree(ROOT / ".asfound", tmp_path / ".asfound")
    folder = Path(file).parents[1]
    shutil.copytree(ROOT / folder, tmp_path / folder)
    assert not [one for one in assess_case(tmp_path, tmp_path / folder, ON).problems if one.level is Level.REJECT]
    table = tmp_path / file
    lines = table.read_text("utf-8").splitlines(keepends=True)
    number = next(at for at, line in enumerate(lines) if line.startswith(f"{row},"))
    assert lines[number].count(f",{old},") == 1
    lines[number] = lines[number].replace(f",{old},", f",{new},")
    table.write_text("".join(lines), "utf-8")
    rejects = [one for one in assess_case(tmp_path, tmp_path / folder, ON).problems if one.level is Level.REJECT]
    assert (file, number + 1, "adverse-reading-uncited") in {
        (one.span.path, one.span.line, one.rule) for one in rejects
    }
    said = " ".join(one.found for one in rejects)
    assert "port-agreement" in said and "output-monotonic" in said
