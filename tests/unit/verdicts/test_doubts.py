"""Which range of an instrument speaks for a reading, and what its certificate adds, worked out by hand.

JCGM 100:2008, 4.3.7 (a half-width is divided by √3), 4.3.3 (an expanded doubt by the k of its certificate), 5.1.2.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from scipy import stats

from asfound.measure.units import unit
from asfound.model.bench import Instrument
from asfound.verdicts.doubts import RangeInUnit, doubt_of, quick_doubt, range_for, ranges_in

from .bench import judged

FINE: dict[str, Any] = {
    "from": "0 mohm", "to": "200 mohm", "resolution": "0.1 mohm", "accuracy": {"percent": "1", "plus": "0.5 mohm"},
}  # fmt: skip
COARSE: dict[str, Any] = {
    "from": "0 ohm", "to": "2 ohm", "resolution": "1 mohm", "accuracy": {"percent": "1", "digits": "5"},
}  # fmt: skip
CERTIFICATE = {"certificate_doubt": "3 mohm", "certificate_k": "3"}


def ranges(*given: dict[str, Any], symbol: str = "mohm", **more: str) -> tuple[RangeInUnit, ...]:
    function = {"quantity": "resistance", "ranges": list(given), **more}
    meter = Instrument.model_validate({"what": "a meter", "serial": "1", "functions": {"f": function}})
    to = unit(symbol)
    assert to is not None
    return ranges_in(meter, "f", to)


@pytest.mark.parametrize(
    ("value", "expanded"),
    [
        # u² = (0.01 · 100 + 0.5)² / 3 + 0.05² / 3 + (3 / 3)² = 1.75083; U = 2 u.
        ("100", 2.6464),
        # The end of the fine range is in it: (2.5² + 0.05²) / 3 + 1 = 3.08417.
        ("200", 3.5124),
        # Beyond it the coarse one speaks: (0.01 · 201 + 5)² / 3 + 0.5² / 3 + 1 = 17.4634.
        ("201", 8.3578),
        # (0.01 · 2000 + 5)² / 3 + 0.5² / 3 + 1 = 209.4167.
        ("2000", 28.9425),
    ],
)
def test_the_narrowest_range_that_holds_a_reading_speaks(value: str, expanded: float) -> None:
    for order in ((FINE, COARSE), (COARSE, FINE)):
        chosen = ranges(*order, **CERTIFICATE)
        found = doubt_of(Decimal(value), chosen)
        assert found is not None and found.k == 2.0
        assert found.expanded == pytest.approx(expanded, abs=6e-5)
        held = range_for(Decimal(value), chosen)
        assert held is not None and quick_doubt(float(value), held) == found.expanded


def test_of_ranges_as_wide_as_each_other_the_lower_speaks() -> None:
    """-1 to 1 Ω and 0 to 2 Ω are both 2 Ω wide; a range counts by how wide it is, not by how far up it goes."""
    low = {**COARSE, "from": "-1 ohm", "to": "1 ohm"}
    far = {**FINE, "from": "900 mohm", "to": "1000 mohm"}
    for order in ((low, COARSE, far), (far, COARSE, low)):
        assert [(one.low, one.high) for one in ranges(*order)] == [(900, 1000), (-1000, 1000), (0, 2000)]


def test_outside_all_ranges_there_is_no_doubt() -> None:
    assert doubt_of(Decimal("2000.1"), ranges(FINE, COARSE)) is None
    assert doubt_of(Decimal("-0.1"), ranges(FINE, COARSE)) is None


@pytest.mark.parametrize(
    "other",
    [{"from": "0 A"}, {"to": "1 A"}, {"resolution": "1 A"}, {"accuracy": {"plus": "1 A"}}, {"to": "9 furlong"}],
)
def test_a_range_in_part_in_another_quantity_gives_none(other: dict[str, Any]) -> None:
    assert ranges({**FINE, **other}) == ()
    assert len(ranges({**FINE, **other}, COARSE)) == 1


def test_a_certificate_in_another_quantity_gives_none() -> None:
    assert ranges(FINE, COARSE, certificate_doubt="1 mA") == ()


def test_in_another_unit_the_doubt_is_the_same_length() -> None:
    """Ranges in mΩ and Ω, a verdict in Ω: 100 mΩ ± 2.6464 mΩ is 0.1 Ω ± 0.0026464 Ω."""
    found = doubt_of(Decimal("0.1"), ranges(FINE, COARSE, symbol="ohm", **CERTIFICATE))
    assert found is not None and found.expanded == pytest.approx(2.6464e-3, abs=6e-8)


@pytest.mark.parametrize(
    ("repeats", "s", "dof"),
    [
        # u² of the range at 142 mΩ: (0.01 · 142 + 5)² / 3 + 0.5² / 3 = 13.8221; s of the repeats by hand.
        (["140", "142", "144"], 2.0, 2),
        (["132", "152"], 200**0.5, 1),
    ],
)
def test_repeats_bring_their_degrees_of_freedom(repeats: list[str], s: float, dof: int) -> None:
    """Welch and Satterthwaite (JCGM 100:2008, G.4.1), cut to whole degrees; Student's t at 95.45 % is scipy's."""
    known = 13.8221
    effective = int((known + s * s) ** 2 / (s**4 / dof))
    k = stats.t.ppf(0.5 + 0.9545 / 2, effective)
    found = doubt_of(Decimal(142), ranges(COARSE), [float(one) for one in repeats])
    assert found is not None and found.k == pytest.approx(k, rel=1e-9)
    assert found.expanded == pytest.approx(k * (known + s * s) ** 0.5, rel=1e-5)
    meter = {"from": "0 mohm", "to": "2000 mohm", "resolution": "1 mohm", "accuracy": {"percent": "1", "digits": "5"}}
    made = judged(repeats, instrument=meter).verdicts
    for one in made:
        assert one.k is not None and one.doubt is not None
        at = (0.01 * float(one.value or 0) + 5) ** 2 / 3 + 0.5**2 / 3
        degrees = int((at + s * s) ** 2 / (s**4 / dof))
        assert one.k == pytest.approx(stats.t.ppf(0.5 + 0.9545 / 2, degrees), rel=1e-5)
        assert one.doubt == pytest.approx(one.k * (at + s * s) ** 0.5, rel=2e-5)
