"""Measurement against published worked examples and certified data.

Each docstring says where the numbers come from and how far they were confirmed:
`published, second hand` (read in other people's test suites that cite the publication), `from memory` (recalled
from the publication), `computed` (from the stated formula; anyone can repeat it).
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

import asfound.measure as m

D = Decimal


def b(name: str, u: float, dof: float = m.INFINITE, sensitivity: float = 1.0) -> m.Component:
    return m.Component(name, m.Kind.B, u, m.Distribution.STANDARD, dof=dof, sensitivity=sensitivity)


# JCGM 100:2008, H.1, table H.1: the end gauge, in nanometres.
GAUGE = (
    b("standard", 25.0, 18),
    b("difference", 9.7, 25.6),
    b("expansion", 50.000623e6 * 0.1, 50, 0.58e-6),
    b("temperature", 50.000623e6 * 11.5e-6, 2, 0.029),
)


def test_end_gauge() -> None:
    """JCGM 100:2008, H.1 (published, second hand; computed): u 32 nm, 16 degrees of freedom, U at 99 % 93 nm."""
    budget = m.Budget(GAUGE)
    assert budget.combined == pytest.approx(31.71, abs=0.01)
    assert budget.dof_exact == pytest.approx(16.66, abs=0.01)
    assert budget.dof == 16.0
    assert budget.coverage(0.99) == pytest.approx(2.921, abs=5e-4)
    assert budget.expanded(0.99) == pytest.approx(92.6, abs=0.05)
    assert m.two_digits(budget.expanded(0.99)) == 93
    length = D("50.000623") + D(215) / 1_000_000
    assert float(length) == pytest.approx(50.000838, abs=5e-7)
    assert m.show_measured(length * 1_000_000, budget.expanded(0.99), m.unit("nm")) == (
        "50\u202f000\u202f838\u00a0nm\u00a0±\u00a093\u00a0nm"
    )


def test_end_gauge_is_neither_rounded_early_nor_up() -> None:
    """JCGM 100:2008, G.6.4 and H.1.6 (computed): 17 degrees would give k 2.898, 16 give 2.921."""
    budget = m.Budget(GAUGE)
    assert budget.coverage(0.99) != pytest.approx(m.coverage_factor(17, 0.99), abs=0.01)


def test_end_gauge_with_second_order_terms() -> None:
    """JCGM 100:2008, H.1.7 (34 nm from memory; computed)."""
    assert m.Budget((*GAUGE, b("second order", 11.9), b("second order", 1.74))).combined == pytest.approx(
        33.9, abs=0.05
    )


# JCGM 100:2008, table H.2: voltage in V, current in A, phase in rad, measured together.
VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPS = tuple(value / 1000 for value in (19.663, 19.639, 19.640, 19.685, 19.678))
PHASE = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def correlation(one: tuple[float, ...], two: tuple[float, ...]) -> float:
    a, c = m.spread(one), m.spread(two)
    assert a.s is not None and c.s is not None
    total = math.fsum((x - a.mean) * (y - c.mean) for x, y in zip(one, two, strict=True))
    return total / ((len(one) - 1) * a.s * c.s)


def test_impedance_measured_together() -> None:
    """JCGM 100:2008, H.2, tables H.2 to H.4 (data and figures from memory; computed)."""
    v, i, phi = (m.spread(values).mean for values in (VOLTS, AMPS, PHASE))
    assert (v, i * 1000, phi) == pytest.approx((4.9990, 19.6610, 1.04446), abs=5e-6)
    parts = [m.from_repeats(values) for values in (VOLTS, AMPS, PHASE)]
    assert [part.u for part in parts] == pytest.approx([0.0032, 0.0000095, 0.00075], rel=0.02)
    r = (
        m.Correlation(0, 1, correlation(VOLTS, AMPS)),
        m.Correlation(0, 2, correlation(VOLTS, PHASE)),
        m.Correlation(1, 2, correlation(AMPS, PHASE)),
    )
    assert [pair.r for pair in r] == pytest.approx([-0.355, 0.858, -0.645], abs=1e-3)

    def budget(*sensitivities: float) -> m.Budget:
        return m.Budget(
            tuple(
                m.Component("", m.Kind.A, part.u, m.Distribution.STANDARD, dof=part.dof, sensitivity=c)
                for part, c in zip(parts, sensitivities, strict=True)
            ),
            r,
        )

    z = v / i
    resistance, reactance = z * math.cos(phi), z * math.sin(phi)
    assert (resistance, reactance, z) == pytest.approx((127.732, 219.847, 254.260), abs=1e-3)
    assert budget(math.cos(phi) / i, -resistance / i, -reactance).combined == pytest.approx(0.071, abs=1e-3)
    assert budget(math.sin(phi) / i, -reactance / i, resistance).combined == pytest.approx(0.2956, abs=1e-3)
    together = budget(1 / i, -z / i, 0.0)
    assert together.combined == pytest.approx(0.236, abs=1e-3)
    assert together.dof == 4.0  # the smallest of the correlated inputs


TEMPERATURE = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
CORRECTION = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)


def test_thermometer_line() -> None:
    """JCGM 100:2008, H.3 (figures from memory; computed): the covariance belongs in the doubt at 30 degrees."""
    line = m.line([value - 20.0 for value in TEMPERATURE], CORRECTION)
    assert line.intercept == pytest.approx(-0.1712, abs=5e-5)
    assert line.u_intercept == pytest.approx(0.0029, abs=5e-5)
    assert line.slope == pytest.approx(0.00218, abs=5e-6)
    assert line.u_slope == pytest.approx(0.00067, abs=5e-6)
    assert line.r == pytest.approx(-0.930, abs=5e-4)
    assert line.s == pytest.approx(0.0035, abs=5e-5)
    value, u = line.at(10.0)
    assert value == pytest.approx(-0.1494, abs=5e-5)
    assert u == pytest.approx(0.0041, rel=0.01)
    assert math.hypot(line.u_intercept, 10 * line.u_slope) > 1.7 * u  # what dropping the covariance would give


@pytest.mark.parametrize(
    ("dof", "level", "k"),
    [
        (1, 0.95, 12.706),
        (2, 0.95, 4.303),
        (5, 0.95, 2.571),
        (10, 0.9545, 2.284),
        (16, 0.95, 2.120),
        (16, 0.9545, 2.169),
        (16, 0.99, 2.921),
        (50, 0.9545, 2.051),
    ],
)
def test_student_table(dof: int, level: float, k: float) -> None:
    """JCGM 100:2008, table G.2 (row 16 published, second hand; the rest computed)."""
    assert m.coverage_factor(dof, level) == pytest.approx(k, abs=5e-4)


NORRIS_X = (
    "0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0 228.1 "
    "995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5"
)
NORRIS_Y = (
    "0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 "
    "998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2"
)


def test_norris() -> None:
    """NIST Statistical Reference Datasets, Norris (certified values published, second hand; recomputed)."""
    line = m.line([float(x) for x in NORRIS_X.split()], [float(y) for y in NORRIS_Y.split()])
    assert line.n == 36
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-9)
    assert line.u_intercept == pytest.approx(0.232818234301152, rel=1e-9)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-9)
    assert line.u_slope == pytest.approx(0.429796848199937e-3, rel=1e-9)
    assert line.s == pytest.approx(0.884796396144373, rel=1e-9)
    assert line.r_squared == pytest.approx(0.999993745883712, rel=1e-9)


@pytest.mark.parametrize(
    ("values", "mean", "s", "lag1"),
    [
        ([10000001.0, 10000003.0, 10000002.0], 10000002.0, 1.0, -0.5),
        ([1.2] + [1.1, 1.3] * 500, 1.2, 0.1, -0.999),
        ([1000000.2] + [1000000.1, 1000000.3] * 500, 1000000.2, 0.1, -0.999),
        ([10000000.2] + [10000000.1, 10000000.3] * 500, 10000000.2, 0.1, -0.999),
    ],
    ids=["NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4"],
)
def test_numacc(values: list[float], mean: float, s: float, lag1: float) -> None:
    """NIST Statistical Reference Datasets, NumAcc1 to 4 (published, second hand).

    Summing squares in one pass gives s = 0.219 for the last.
    """
    found = m.spread(values)
    assert found.mean == pytest.approx(mean, rel=1e-14)
    assert found.s == pytest.approx(s, abs=1e-8)
    assert found.lag1 == pytest.approx(lag1, abs=1e-8)


# Speed of light less 299 000 km/s, in the order of the measurements.
MICHELSO = (
    "850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 "
    "960 940 960 940 880 800 850 880 900 840 830 790 810 880 880 830 800 790 760 800 "
    "880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840 840 840 "
    "890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 "
    "890 840 780 810 760 810 790 810 820 850 870 870 810 740 810 940 950 800 810 870"
)


def test_michelso() -> None:
    """NIST Statistical Reference Datasets, Michelso: data from memory, proved by the certified values (second hand)."""
    values = [299.0 + int(value) / 1000 for value in MICHELSO.split()]
    found = m.spread(values)
    assert found.n == 100
    assert found.mean == pytest.approx(299.8524, abs=1e-9)
    assert found.s == pytest.approx(0.0790105478190518, abs=1e-9)
    assert found.lag1 == pytest.approx(0.535199668621283, abs=1e-9)


def test_one_sided_upper_and_negative() -> None:
    """JCGM 106:2012, clause 7, a voltage limit of -5.40 V (from memory; computed): the sign stays."""
    found = m.decide(D("-5.47"), 0.1, upper=D("-5.40"))
    assert found.chance == pytest.approx(0.91924, abs=1e-4)
    assert found.outcome is m.Outcome.PASS


def test_one_sided_lower() -> None:
    """JCGM 106:2012, clause 7, a pressure of at least 490 kPa (from memory; computed)."""
    assert m.decide(D("509.7"), 17.2, lower=D(490)).chance == pytest.approx(0.98901, abs=1e-4)


def test_guard_band_of_one_doubt() -> None:
    """ILAC-G8:09/2019, w = U (rule from memory; computed): 480 under a limit of 500 with U 30 is a conditional pass."""
    simple = m.decide(D(480), 30.0, upper=D(500))
    assert simple.outcome is m.Outcome.PASS
    assert simple.chance == pytest.approx(0.90879, abs=1e-5)
    guarded = m.decide(D(480), 30.0, upper=D(500), rule=m.DecisionRule.GUARD_BAND)
    assert guarded.outcome is m.Outcome.CONDITIONAL_PASS
    assert (guarded.margin, guarded.guard) == (20, 30)
    at_edge = m.decide(D(470), 30.0, upper=D(500), rule=m.DecisionRule.GUARD_BAND)
    assert at_edge.chance == pytest.approx(0.97725, abs=1e-5)


@pytest.mark.parametrize(
    ("z", "chance"), [(0, 0.5), (0.5, 0.69146), (1, 0.84134), (1.645, 0.95002), (2, 0.97725), (3, 0.99865)]
)
def test_ladder_of_chances(z: float, chance: float) -> None:
    """The normal distribution in a one-sided limit, JCGM 106:2012, 7.3 (computed)."""
    assert m.conformance(100.0 - z * 5.0, 5.0, None, 100.0) == pytest.approx(chance, abs=5e-6)


def test_two_sided() -> None:
    """JCGM 106:2012, 7.4 (computed): 118 W within 100 W and 20 %, u 3 W."""
    assert m.decide(D(118), 6.0, lower=D(80), upper=D(120)).chance == pytest.approx(0.74751, abs=1e-5)


def test_en_numbers() -> None:
    """ISO 13528 (formula from memory; computed)."""
    good = m.en_number(10.010, 0.008, 10.004, 0.003)
    bad = m.en_number(10.010, 0.008, 10.000, 0.003)
    assert good == pytest.approx(0.70225, abs=1e-5) and m.en_agrees(good)
    assert bad == pytest.approx(1.17041, abs=1e-5) and not m.en_agrees(bad)


def test_welch_of_two() -> None:
    """JCGM 100:2008, G.4.1 (computed): 6.9955 is truncated to 6."""
    budget = m.Budget((b("one", 0.05, 4), b("two", 0.03, 9)))
    assert budget.combined == pytest.approx(0.0583095, abs=1e-7)
    assert budget.dof_exact == pytest.approx(6.9955, abs=1e-4)
    assert budget.dof == 6.0


def test_zero_failures() -> None:
    """Clopper and Pearson's exact bound for no event in n trials (computed from its closed form)."""
    assert m.upper_bound(0, 59) == pytest.approx(0.049508, abs=1e-6)
    assert m.upper_bound(0, 22) == pytest.approx(0.127305, abs=1e-6)
