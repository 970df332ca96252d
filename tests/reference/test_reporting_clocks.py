"""Reporting clocks against statutes and worked examples, counted here by roads of their own.

21 CFR 803.10, 803.18, 803.30, 803.33 (confirmed); work day, 803.3 (secondary); Federal holidays, 5 USC 6103(a) (list
and both shifts confirmed on pages of two courts; 6103(b) and Executive Order 11582 from memory); Regulation (EU)
2017/745, article 87 (confirmed); 29 CFR 1904.39 (confirmed).
"""

from __future__ import annotations

import datetime as dt
from functools import cache

import holidays
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.duties import calendar_days, federal_holidays, hours, new_year, work_days, years_later
from asfound.limits import build_reporting, packaged
from asfound.model.limits import SourceStatus
from asfound.model.reasoning import Recipient
from asfound.model.reporting import CountedIn, ReportingClock, WorkCalendar

FEDERAL = WorkCalendar.US_FEDERAL
SETS = build_reporting(packaged().reporting, {}, packaged().codes)[0].sets


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def due(aware: str, count: int = 10) -> dt.date:
    return work_days(day(aware), count, FEDERAL, {})[-1].day


# --- the statute, on a road of its own


def nth(year: int, month: int, weekday: int, number: int) -> dt.date:
    """The weekday (Monday 0) number `number` of a month; -1 is the last."""
    days = [dt.date(year, month, 1) + dt.timedelta(days=count) for count in range(31)]
    mine = [one for one in days if one.month == month and one.weekday() == weekday]
    return mine[number - 1] if number > 0 else mine[number]


@cache
def statute(year: int) -> frozenset[dt.date]:
    """5 USC 6103(a) with both shifts, of days kept in `year`: the next year's first day may be one of them."""
    found = {
        nth(year, 1, 0, 3), nth(year, 2, 0, 3), nth(year, 5, 0, -1), nth(year, 9, 0, 1), nth(year, 10, 0, 2),
        nth(year, 11, 3, 4),
    }  # fmt: skip
    for of, month, number in (
        (year, 1, 1),
        (year, 6, 19),
        (year, 7, 4),
        (year, 11, 11),
        (year, 12, 25),
        (year + 1, 1, 1),
    ):
        fixed = dt.date(of, month, number)
        found.add(fixed + dt.timedelta(days={5: -1, 6: 1}.get(fixed.weekday(), 0)))
    return frozenset(one for one in found if one.year == year)


@pytest.mark.parametrize("year", range(2024, 2036))
def test_federal_holidays_of_a_year_are_those_of_the_statute(year: int) -> None:
    ours = {one for one in federal_holidays(year) if one.weekday() < 5}
    assert ours == statute(year)
    assert 10 <= len(ours) <= 12


@pytest.mark.parametrize("year", [1999, *range(2020, 2061)])
def test_days_and_names_are_those_of_a_library_of_holidays(year: int) -> None:
    """`holidays`, which a year before the statute's present list is still asked of."""
    told = holidays.country_holidays("US", years=(year, year + 1), observed=True)
    assert dict(federal_holidays(year)) == {one: name for one, name in told.items() if one.year == year}
    assert list(federal_holidays(year)) == sorted(federal_holidays(year))


STATUTE = np.array(sorted(one for year in range(2023, 2037) for one in statute(year)), dtype="datetime64[D]")


@given(st.dates(dt.date(2024, 1, 1), dt.date(2035, 6, 30)), st.integers(1, 60))
def test_work_days_are_counted_as_an_array_library_counts_them(start: dt.date, count: int) -> None:
    """`numpy.busday_offset` over the statute's own days: from the last work day up to the start, `count` on."""
    expected = np.busday_offset(start.isoformat(), count, roll="backward", holidays=STATUTE).astype(dt.date)
    counted = work_days(start, count, FEDERAL, {})
    assert counted[-1].day == expected
    assert counted[-1].number == count and [one.number for one in counted if one.number] == [*range(1, count + 1)]
    days = [one.day for one in counted]
    assert days == [start + dt.timedelta(days=number) for number in range(1, len(days) + 1)]
    assert all(bool(one.why) == (one.number == 0) for one in counted)


@given(st.dates(dt.date(2024, 1, 1), dt.date(2035, 6, 30)), st.integers(1, 30), st.integers(0, 40))
def test_a_closing_never_brings_a_due_date_nearer(start: dt.date, count: int, after: int) -> None:
    closed = start + dt.timedelta(days=after)
    plain = work_days(start, count, FEDERAL, {})[-1].day
    with_it = work_days(start, count, FEDERAL, {closed: "closed by order"})[-1].day
    assert with_it >= plain
    assert (with_it > plain) == (closed > start and closed <= plain and np.is_busday(closed, holidays=STATUTE))


# --- worked examples (computed, hand-checked)

EXAMPLES = (
    ("2026-03-02", "2026-03-16"),
    ("2026-06-26", "2026-07-13"),
    ("2026-11-20", "2026-12-07"),
    ("2026-11-25", "2026-12-10"),
    ("2026-12-18", "2027-01-05"),
    ("2027-06-11", "2027-06-28"),
    ("2027-12-17", "2028-01-04"),
    ("2026-05-16", "2026-06-01"),
    ("2028-12-22", "2029-01-09"),
    ("2026-01-09", "2026-01-26"),
)


@pytest.mark.parametrize(("aware", "expected"), EXAMPLES)
def test_the_tenth_work_day_of_worked_examples(aware: str, expected: str) -> None:
    assert due(aware) == day(expected)


def test_new_year_2028_is_kept_on_the_last_day_of_2027() -> None:
    """It falls on a Saturday; a table of 2027 alone that stops at its own New Year misses it."""
    assert "New Year" in federal_holidays(2027)[day("2027-12-31")]
    passed = {one.day: one.why for one in work_days(day("2027-12-17"), 10, FEDERAL, {}) if one.why}
    assert "Christmas" in passed[day("2027-12-24")] and "New Year" in passed[day("2027-12-31")]
    assert work_days(day("2027-12-17"), 10, WorkCalendar.WEEKENDS, {})[-1].day == day("2027-12-31")


def test_the_nineteenth_of_june_is_kept_on_friday_where_it_is_a_saturday() -> None:
    assert day("2027-06-18") in federal_holidays(2027)
    assert day("2026-06-19") in federal_holidays(2026)


def test_awareness_on_a_weekend_starts_the_count_on_the_next_work_day() -> None:
    counted = work_days(day("2026-05-16"), 1, FEDERAL, {})
    assert [(one.day, one.number) for one in counted] == [(day("2026-05-17"), 0), (day("2026-05-18"), 1)]


def test_the_day_after_thanksgiving_is_a_work_day_and_inauguration_day_too() -> None:
    assert day("2026-11-27") not in federal_holidays(2026)
    assert day("2025-01-20") in federal_holidays(2025)  # the third Monday of January, which it also is
    assert day("2029-01-20") not in federal_holidays(2029)


# --- clocks as data


def clock(of: str, duty: str, word: str) -> ReportingClock:
    return SETS[of].duties[duty].clocks[word]


EU = {
    "serious incident": (15, "article 87(3)", "2026-12-10"),
    "death or unanticipated serious deterioration": (10, "article 87(5)", "2026-12-05"),
    "serious public health threat": (2, "article 87(4)", "2026-11-27"),
}
"""Regulation (EU) 2017/745, article 87 (confirmed); polished pages that swap ten and two are in circulation."""


@pytest.mark.parametrize("word", EU)
def test_each_class_of_article_87_has_its_own_days(word: str) -> None:
    count, clause, expected = EU[word]
    one = clock("eu-manufacturer", "eu-manufacturer-vigilance", word)
    assert one.within is not None and one.clause == clause
    assert (one.within.count, one.within.counted_in) == (count, CountedIn.CALENDAR_DAYS)
    # A day of awareness of 25 November 2026 is not counted; the fifth of December is a Saturday and is not moved.
    assert calendar_days(day("2026-11-25"), count)[-1].day == day(expected)


def test_article_87_knows_three_classes_and_its_clock_is_the_manufacturers() -> None:
    kind = SETS["eu-manufacturer"].duties["eu-manufacturer-vigilance"]
    assert set(kind.clocks) == set(EU) and not kind.ours and kind.owed_by == "the manufacturer"


def test_where_a_report_of_a_user_facility_goes() -> None:
    """21 CFR 803.30(a)(1) and (2) (confirmed): a death to both, an injury to the maker, or if unknown to the agency."""
    death = clock("us-user-facility", "us-user-facility-report", "death")
    injury = clock("us-user-facility", "us-user-facility-report", "serious injury")
    assert death.to == (Recipient.AGENCY, Recipient.MAKER) and death.maker_unknown_to == (Recipient.AGENCY,)
    assert injury.to == (Recipient.MAKER,) and injury.maker_unknown_to == (Recipient.AGENCY,)
    for one in (death, injury):
        assert one.within is not None and (one.within.count, one.within.counted_in) == (10, CountedIn.WORK_DAYS)
    malfunction = clock("us-user-facility", "us-user-facility-report", "malfunction")
    assert malfunction.within is None and malfunction.to == ()
    assert SETS["us-user-facility"].calendar is FEDERAL


def test_hours_of_an_employer() -> None:
    """29 CFR 1904.39(a)(1) and (2) (confirmed)."""
    expected = {"death": 8, "in-patient admission": 24, "amputation": 24, "loss of an eye": 24}
    kind = SETS["us-work-injury"].duties["us-work-injury-report"]
    assert {word: one.within.count for word, one in kind.clocks.items() if one.within} == expected
    assert all(one.within is None or one.within.counted_in is CountedIn.HOURS for one in kind.clocks.values())
    start = dt.datetime.fromisoformat("2026-03-07T22:14:00-06:00")
    assert hours(start, 8) == dt.datetime.fromisoformat("2026-03-08T06:14:00-06:00")


def test_the_yearly_summary_and_how_long_a_file_is_kept() -> None:
    """21 CFR 803.33(a), 803.18(c) (confirmed): events of 2026 by 1 January 2027; two years from the event."""
    assert new_year(day("2026-03-02"), 1) == day("2027-01-01")
    kept = SETS["us-user-facility"].retention
    assert kept is not None and kept.status is SourceStatus.CONFIRMED
    assert years_later(day("2026-03-02"), kept.years) == day("2028-03-02")
    assert years_later(day("2028-02-29"), 2) == day("2030-03-01")


def test_every_packaged_set_is_whole() -> None:
    have = packaged()
    made, faults = build_reporting(have.reporting, {}, have.codes)
    assert faults == () and set(made.sets) == {"us-user-facility", "us-work-injury", "eu-manufacturer"}
    assert len(SETS["eu-manufacturer"].jurisdictions) == 28  # the Union, and its twenty-seven members
    assert made.codes is not None
    for code in made.codes.codes:
        assert code[0] in made.codes.annexes and len(code) in (3, 5) and code[1:].isdigit()


def test_a_count_of_nothing_is_refused() -> None:
    for count in (0, -1):
        with pytest.raises(ValueError, match="at least one"):
            work_days(day("2026-03-02"), count, FEDERAL, {})
        with pytest.raises(ValueError, match="at least one"):
            calendar_days(day("2026-03-02"), count)
