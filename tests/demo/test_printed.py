"""What the nine cases print of their calculations: units as they are printed, and no doubt where a thing is counted."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.model.worked import Worked

ROOT = Path(__file__).parents[2]
CASES = sorted(one.parent.name for one in (ROOT / "cases").glob("*/case.yml"))
RAW = re.compile(r"cmH2O|degC|\bohm\b|\buA\b|m3\b")
"""Symbols as they are typed in files, which nobody should read in a report."""

BROKEN = re.compile(r"[0-9][0-9\u202f]*\.[0-9\u202f]+")


@cache
def worked(name: str) -> tuple[Worked, ...]:
    found = assess_case(ROOT, ROOT / "cases" / name, dt.date(2026, 5, 30)).dossier
    assert found is not None
    return found.core.worked


@pytest.mark.parametrize("name", CASES)
def test_no_figure_of_a_calculation_shows_a_unit_as_it_is_typed(name: str) -> None:
    said = [f"{one.text} {one.said}" for made in worked(name) for one in made.answers]
    said += [one.text for made in worked(name) for one in made.inputs]
    said += [f"{plot.result} {plot.note}" for made in worked(name) for plot in made.plots]
    assert said and [text for text in said if RAW.search(text)] == []


@pytest.mark.parametrize("name", CASES)
def test_no_word_of_a_chart_has_more_digits_than_a_doubt_would_leave(name: str) -> None:
    """The mean of three readings is 83.033 333: a sentence says 83. What has a point has four digits at most."""
    said = [
        text
        for made in worked(name)
        for plot in made.plots
        for text in (
            plot.result,
            plot.note,
            *(one.name for one in plot.curves),
            *(one.text for one in (*plot.dots, *plot.bars)),
            *(one.words for one in plot.levels),
        )
    ]
    digits = [one.replace("\u202f", "") for text in said for one in BROKEN.findall(text)]
    assert [one for one in digits if len(one.replace(".", "").lstrip("0")) > 4] == []


def test_a_count_of_sisters_bears_no_doubt() -> None:
    made = next(one for one in worked("bed-moved") if one.ref == "Z-sisters")
    beyond = next(one for one in made.answers if one.id == "Y-sisters-beyond")
    assert beyond.text == "6"
