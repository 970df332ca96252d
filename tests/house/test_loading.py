"""What a check loads, and how it ends: everybody at the bench waits for it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

NEEDLESS = (
    # Boxes that a check has no work for; the comparison only where an edition lies.
    "across ahead audit bind bridge compare desk document figures pack pages publish sheet table "
    # What one command alone asks for.
    "assess.approve assess.between assess.committed assess.holding assess.issue assess.naming assess.recompute "
    "assess.set_tag assess.state assess.strike emit.as_change emit.as_github emit.as_gitlab emit.as_json emit.as_junit "
    "emit.as_sarif emit.as_summary emit.as_trace emit.schemas hooks.incoming intake.dcc "
    # Words for what is wrong with a number, where none is wrong; descriptions of fields.
    "model.number_faults model.meanings model.examples"
)
FOREIGN = (
    "concurrent.futures http.client jinja2 mkdocs multiprocessing plotly pyarrow rich scipy ssl urllib.request xml "
    "xml.sax xml.parsers"
)
BARE = "numpy"
"""Needed by calculations and long series alone."""

TELL = """
import sys

came = {}

class Finder:
    def find_spec(self, name, path=None, target=None):
        frame = sys._getframe(1)
        while frame is not None and frame.f_globals.get("__name__", "").startswith(("importlib", "_frozen")):
            frame = frame.f_back
        came.setdefault(name, frame.f_globals.get("__name__", "") if frame is not None else "")

sys.meta_path.insert(0, Finder())
names = sys.argv.pop(1).split(",")
from asfound.cli import main
try:
    main()
except SystemExit as end:
    assert end.code in (0, None), end.code
for name in names:
    if name in sys.modules:
        chain = [name]
        while (above := came.get(chain[-1])) and above not in chain:
            chain.append(above)
        print("LOADED", " < ".join(chain))
"""


def loaded(names: list[str], *arguments: str) -> list[str]:
    """Those of some modules that a command loads, each with the modules that brought it in."""
    done = subprocess.run(
        [sys.executable, "-c", TELL, ",".join(names), *arguments], capture_output=True, text=True, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    return [line for line in done.stdout.splitlines() if line.startswith("LOADED")]


@pytest.mark.parametrize(
    ("case", "more"),
    [("cases/return-pad-lesion", ()), ("cases/bed-moved", ()), ("tests/cases/hour-one", (BARE,))],
)
def test_a_check_loads_nothing_that_it_has_no_use_for(case: str, more: tuple[str, ...]) -> None:
    names = [*(f"asfound.{name}" for name in NEEDLESS.split()), *FOREIGN.split(), *more]
    assert loaded(names, "check", case, "--on", "2026-11-29", "--no-cache") == []


def test_a_module_that_is_needed_is_told_with_all_that_brought_it_in() -> None:
    """That the test above can fail: what a check cannot do without is found, and led back to the command."""
    (said,) = loaded(["yaml"], "check", "tests/cases/hour-one", "--on", "2026-11-29", "--no-cache")
    assert said.startswith("LOADED yaml < asfound.intake.") and said.endswith(" < asfound.cli < __main__")


def test_nothing_is_looked_through_on_the_way_out() -> None:
    """Whoever asked to be called before the command did is called after it: by then everything is set aside."""
    program = (
        "import atexit, gc, sys; from asfound.cli import main\n"
        "assert gc.get_freeze_count() == 0\n"
        "atexit.register(lambda: print('aside', gc.get_freeze_count() > 10_000))\n"
        "sys.argv = ['asfound', '--version']; main()"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "aside True"
