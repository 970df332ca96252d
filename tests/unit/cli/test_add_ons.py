"""What is installed beside the program has no say in how a record is read."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

CASES = Path(__file__).parents[3] / "cases"


def test_an_add_on_of_the_library_of_records_is_not_loaded(tmp_path: Path) -> None:
    # An add-on as pydantic documents it: a package that names an object under the entry points of group `pydantic`.
    (tmp_path / "meddling.py").write_text(f"open({str(tmp_path / 'loaded')!r}, 'w').close()\nadd_on = None\n")
    about = tmp_path / "meddling-1.0.dist-info"
    about.mkdir()
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: meddling\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[pydantic]\nmeddling = meddling:add_on\n")
    outside = {**os.environ, "PYTHONPATH": str(tmp_path)}
    outside.pop("PYDANTIC_DISABLE_PLUGINS", None)

    def begun(*arguments: str) -> bool:
        (tmp_path / "loaded").unlink(missing_ok=True)
        subprocess.run([sys.executable, *arguments], env=outside, capture_output=True, timeout=60, check=False)
        return (tmp_path / "loaded").exists()

    reads = "from pydantic import create_model; create_model('M', a=(int, 0))(a=1)"
    assert begun("-c", reads), "the add-on of this test is none, so the test shows nothing"
    assert not begun("-m", "asfound", "check", str(CASES / "return-pad-lesion"), "--on", "2026-11-29", "--no-cache")
