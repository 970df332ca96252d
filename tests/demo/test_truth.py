"""Whether the return-pad case is true to itself: pictures, log, tables, clocks and dates tell one story."""

from __future__ import annotations

import csv
import datetime as dt
from collections import defaultdict
from decimal import Decimal

import holidays
import PIL
import pytest
from PIL import Image

from tests.demo.test_cases import ROOT, assessed
from tests.support import draw_evidence, twins
from tests.support.drawing import GEL_WET, MARK
from tests.support.things import PAD_CM, print_area

CASE = ROOT / twins.GOOD
DRAWN_WITH = "13.0.0"
"""The Pillow that drew the pictures; another one may compress them differently."""


def rows(name: str) -> list[dict[str, str]]:
    with (CASE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.skipif(
    PIL.__version__ != DRAWN_WITH,
    reason=f"the pictures were drawn with Pillow {DRAWN_WITH}; another compresses otherwise",
)
@pytest.mark.parametrize(
    ("folder", "name"),
    [(draw_evidence.FOLDER, name) for name in draw_evidence.PICTURES]
    + [("tests/cases/hour-one/evidence/photographs", name) for name in draw_evidence.HOUR_ONE],
)
def test_each_picture_is_drawn_again_byte_by_byte(folder: str, name: str) -> None:
    picture = {**draw_evidence.PICTURES, **draw_evidence.HOUR_ONE}[name]
    assert draw_evidence.draw(picture) == (ROOT / folder / f"{name}.jpg").read_bytes()


def test_pictures_are_small_and_carry_no_metadata() -> None:
    paths = sorted((CASE / "evidence/photographs").glob("*.jpg"))
    assert {path.stem for path in paths} == set(draw_evidence.PICTURES)
    for path in paths:
        assert path.stat().st_size < 120_000, path.name
        with Image.open(path) as image:
            assert image.size == (1200, 800)
            assert not image.getexif()


def near(pixel: tuple[int, ...] | float, colour: str, by: int = 14) -> bool:
    assert isinstance(pixel, tuple)
    wanted = tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return all(abs(a - b) <= by for a, b in zip(pixel, wanted, strict=True))


def test_the_print_in_the_picture_measures_what_the_table_says() -> None:
    """Counting the dots of the print in the picture, by its own scale of 46 dots to the centimetre, gives the area."""
    with Image.open(CASE / "evidence/photographs/gel-print.jpg") as image:
        dots = sum(near(pixel, GEL_WET) or near(pixel, MARK, 30) for pixel in image.convert("RGB").get_flattened_data())
    counted = dots / 46**2
    read = [Decimal(row["value [cm²]"]) for row in rows("readings/gel.csv") if row["area"] == "in contact"]
    mean = float(sum(read, Decimal(0)) / len(read))
    assert mean == 46
    assert abs(counted - mean) < 1.5  # the brown line is as wide as it is drawn, half of it outside the outline
    assert abs(print_area() - mean) < 0.5
    assert PAD_CM[0] * PAD_CM[1] == 120


def clusters() -> dict[int, list[tuple[dt.datetime, int]]]:
    """Activations of the stored log, parted where the output was off for longer than 60 s, as the plan says."""
    found: dict[int, list[tuple[dt.datetime, int]]] = defaultdict(list)
    number, end = 0, None
    for entry in rows("evidence/logs/activations.csv"):
        start = dt.datetime.fromisoformat(entry["clock"])
        if end is None or (start - end).total_seconds() > 60:
            number += 1
        found[number].append((start, int(entry["seconds"])))
        end = start + dt.timedelta(seconds=int(entry["seconds"]))
    return found


def test_the_table_of_activations_is_the_log() -> None:
    log, table = rows("evidence/logs/activations.csv"), rows("readings/log.csv")
    assert len(log) == len(table) == 31
    for entry, row in zip(log, table, strict=True):
        assert row["start"].startswith(entry["clock"]) and row["start"].endswith("-06:00")
        assert (row["value [s]"], row["setting [W]"]) == (entry["seconds"], entry["watts"])
    by_log = [len(activations) for activations in clusters().values()]
    by_table = [sum(row["cluster"] == str(n) for row in table) for n in range(1, len(by_log) + 1)]
    assert by_log == by_table


def test_the_heating_factor_by_hand() -> None:
    """I²t = 1.15² · 95 = 125.6 A²s against the 30 A²s of conventional pads (evaluation guidance of 2016, a preview was
    read). For scale, the type test of a pad, 0.7 A for 60 s (IEC 60601-2-2, from memory), is 29.4 A²s."""
    longest = max(clusters().values(), key=lambda one: sum(seconds for _, seconds in one))
    on = sum(seconds for _, seconds in longest)
    span = (longest[-1][0] - longest[0][0]).total_seconds() + longest[-1][1]
    assert (on, span) == (95, 120)
    by_hand = Decimal("1.15") ** 2 * on
    dossier = assessed(twins.GOOD).dossier
    assert dossier is not None
    computed = next(result for result in dossier.core.results if result.id == "Y-log-heating-factor")
    assert computed.value is not None
    assert abs(computed.value - by_hand) < Decimal("0.1")
    assert by_hand > 4 * Decimal("0.7") ** 2 * 60


def test_every_picture_taken_at_the_event_comes_before_the_item_it_shows_was_moved() -> None:
    dossier = assessed(twins.GOOD).dossier
    assert dossier is not None
    case = dossier.core.case
    assert case.scene is not None and case.scene.first_move_at is not None
    as_found = [one for one in case.evidence.values() if one.as_found]
    assert len(as_found) == 6
    assert all(one.taken_at is not None and one.taken_at < case.scene.first_move_at for one in as_found)


def test_the_longest_cluster_on_the_reference_clock() -> None:
    """The generator shows standard time and is 2 min 40 s slow: 13:30:20 -06:00 is 14:33:00 -05:00."""
    dossier = assessed(twins.GOOD).dossier
    assert dossier is not None
    case = dossier.core.case
    row = next(row for row in case.timeline if row.id == "T-3")
    offset = case.clocks[row.clock].comparisons[0].offset.seconds
    true = row.at.at - dt.timedelta(seconds=float(offset))
    assert true == dt.datetime.fromisoformat("2026-03-09T14:33:00-05:00")


def test_the_report_to_the_maker_was_due_on_the_tenth_work_day() -> None:
    """21 CFR 803.30: ten work days after becoming aware; weekdays less Federal holidays, the day itself not counted."""
    dossier = assessed(twins.GOOD).dossier
    assert dossier is not None
    case = dossier.core.case
    assert case.head.event.aware_at is not None
    closed = holidays.country_holidays("US", years=2026)
    day, left = case.head.event.aware_at.at.date(), 10
    while left:
        day += dt.timedelta(days=1)
        left -= day.weekday() < 5 and day not in closed
    line = next(one for one in dossier.duties.lines if one.kind == case.duties["D-1"].duty)
    assert (line.due, line.late, [one.to for one in line.sendings]) == (day, 0, ["maker"])
    sent = line.sendings[0].sent_at
    assert sent is not None and sent.date() <= day
