"""`asfound calc`: a doubt that was not expanded with k = 2, and what is printed of one."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from scipy import stats

from .support import Done, run


def student(dof: float) -> float:
    """Factor of 95.45 % (JCGM 100:2008, table G.2)."""
    return float(stats.t.ppf(0.97725, dof))


@pytest.fixture
def heat(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., Done]:
    """A heating factor of 95 s with the current as it is typed."""

    def asked(current: str, *more: str) -> Done:
        return run(capsys, monkeypatch, tmp_path, "calc", "heating-factor", f"current={current}", "time=95 s", *more)

    return asked


def test_a_doubt_of_another_factor_is_typed_with_it(heat: Callable[..., Done]) -> None:
    """1.15 A with U 0.06 A at k 4.53 of three repeats: u(y) = 2 I t u(I), by hand; its moved square adds no more."""
    found = json.loads(heat("1.15±0.06 A (k=4.53, dof=2)", "--json").out)["answers"][0]
    u = 2.0 * 1.15 * 95.0 * 0.06 / 4.53
    assert found["dof"] == 2.0 and found["k"] == pytest.approx(student(2), rel=1e-5)
    assert found["doubt"] == pytest.approx(student(2) * u, rel=1e-5)
    said = " ".join(heat("1.15 ± 0.06 A (k = 4.53, dof = 2)").out.replace("\u00a0", " ").split())
    assert "126 A²·s ± 13 A²·s" in said
    assert "The doubt is that of k = 4.53, for 2 effective degrees of freedom." in said


def test_without_a_word_on_it_k_is_two(heat: Callable[..., Done]) -> None:
    plain = json.loads(heat("1.15±0.03 A", "--json").out)["answers"]
    assert plain == json.loads(heat("1.15±0.03 A (k=2)", "--json").out)["answers"]
    assert plain == json.loads(heat("1.15±0.045 A (k=3)", "--json").out)["answers"]
    assert (plain[0]["k"], plain[0]["dof"]) == (2.0, None) and "degrees of freedom" not in heat("1.15±0.03 A").out


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1.15 A (k=2)", "has a k and no doubt"),
        ("1.15±0.03 A (k=0)", "k is 0; a coverage factor above 0 is needed"),
        ("1.15±0.03 A (k=-2)", "k is -2; a coverage factor above 0 is needed"),
        ("1.15±0.03 A (k=2, dof=0.5)", "dof is 0.5; 1 degree of freedom or more is needed"),
        ("1.15±0.03 A (k=two)", 'k is "two"; a decimal number'),
        ("1.15±0.03 A (dof=2)", 'no unit "A (dof=2)" is known'),
    ],
)
def test_a_factor_that_cannot_be_is_refused(heat: Callable[..., Done], typed: str, said: str) -> None:
    done = heat(typed)
    assert done.code == 2 and said in " ".join(done.err.split()) and "Traceback" not in done.err
