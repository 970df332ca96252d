"""Where calculations are found: the table by which a case loads those it names and no others."""

from __future__ import annotations

import subprocess
import sys

import pytest

from asfound.physics import calculations as home
from asfound.physics.calc import calculation, calculations


def test_every_calculation_is_in_the_table_with_its_module() -> None:
    """Who adds a calculation adds its name to its module's line in `physics/calculations/__init__.py`."""
    assert {name: calculation(name) for name in calculations()} == dict(calculations())
    assert dict(home.WHERE) == {
        name: one.run.__module__.removeprefix(f"{home.__name__}.") for name, one in calculations().items()
    }


def test_one_that_is_not_in_the_table_is_found_by_loading_all(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(home, "WHERE", {})
    assert calculation("trend") is calculations()["trend"]
    assert calculation("nothing-of-this-name") is None


def test_a_calculation_loads_its_own_field_and_no_other() -> None:
    script = (
        "import sys; from asfound.physics.calc import calculation; found = calculation('current-density');"
        "home = 'asfound.physics.calculations.';"
        "print(found.name, sorted(one.removeprefix(home) for one in sys.modules if one.startswith(home)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "current-density ['current']"
