"""What importing the arithmetic brings along, and that every public name is there."""

from __future__ import annotations

import subprocess
import sys

import asfound.measure as m


def test_the_import_is_light() -> None:
    """Neither scipy nor pydantic nor numpy: those cost more than everything a small run does."""
    script = (
        "import sys, asfound.measure;"
        "print(sorted({'scipy', 'numpy', 'pydantic', 'yaml', 'difflib'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_simple_decision_needs_no_scipy() -> None:
    script = (
        "import sys, asfound.measure as m; from decimal import Decimal as D;"
        "u = m.expanded_fast(80.0, m.RangeDoubt(percent=2, certificate=0.5));"
        "m.decide(D(80), u, upper=D(90)); print('scipy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_public_names_exist() -> None:
    assert all(hasattr(m, name) for name in m.__all__)
    assert len(set(m.__all__)) == len(m.__all__)
