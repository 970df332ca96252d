"""What is read off a mark has no doubt; what is read from a record or seen of the thing is judged as ever.

Common practice, no source: a plate says what its maker wrote there, and no meter has a part in it.
"""

from __future__ import annotations

import pytest

from asfound.verdicts.judge import OF_MARK

from .bench import judged, only, words

AT_LEAST = {"sense": "at least", "bound": {"kind": "fixed", "value": "300 mohm"}}


@pytest.mark.parametrize(("text", "outcome"), [("300", "pass"), ("299", "fail"), ("301", "pass")])
def test_a_mark_is_held_against_its_limit_as_it_stands(text: str, outcome: str) -> None:
    """With a meter of 2 % + 4 mΩ each of these would be conditional: U is 11.6 mΩ there."""
    mark = only(judged([text], AT_LEAST, rule="guard band", test={"read_from": "mark"}))
    assert (str(mark.outcome), mark.doubt) == (outcome, None)
    assert OF_MARK in mark.steps
    meter = only(judged([text], AT_LEAST, rule="guard band"))
    assert str(meter.outcome).startswith("conditional") and meter.doubt == pytest.approx(11.55, abs=0.06)
    assert OF_MARK not in meter.steps


@pytest.mark.parametrize("where", ["record", "thing"])
def test_what_a_record_says_keeps_the_doubt_of_its_last_digit(where: str) -> None:
    """Rectangular, a digit wide: U = 2 · 1 mΩ / √12 = 0.577 mΩ (JCGM 100:2008, F.2.2.1)."""
    digit = {"from": "0 mohm", "to": "2000 mohm", "resolution": "1 mohm", "accuracy": {"plus": "0 mohm"}}
    one = only(judged(["299"], AT_LEAST, rule="guard band", test={"read_from": where}, instrument=digit))
    assert str(one.outcome) == "fail" and one.doubt == pytest.approx(0.577, abs=0.001)


def test_readings_of_one_mark_lend_it_no_doubt() -> None:
    """Two who read 300 and 310 off a worn plate do not make a spread of a mark; each reading stands by itself."""
    made = judged(["300", "310", "290"], AT_LEAST, rule="guard band", test={"read_from": "mark"})
    assert all(one.doubt is None for one in made.verdicts)
    assert "fail" in words(made) and not any(one.startswith("conditional") for one in words(made))


def test_a_mark_is_asked_for_no_meter() -> None:
    """The register need not hold what would measure it."""
    assert str(only(judged(["300"], AT_LEAST, test={"read_from": "mark"}, instrument=None)).outcome) == "pass"
