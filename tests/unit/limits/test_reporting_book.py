"""The duties put together: names stand once, and no clock is one that nothing can choose."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.limits import BookFault, build_reporting
from asfound.model.limits import SourceStatus
from asfound.model.reporting import FileRetention, ReportingSet

FILE, OTHER = "asfound/limits/reporting/a.yml", ".asfound/reporting/b.yml"
KIND: dict[str, Any] = {
    "title": "Report",
    "owed_by": "the facility",
    "decided_by": "outcome_class in case.yml",
    "start": "staff became aware",
    "status": "from memory",
    "clocks": {"death": {"within": {"count": "5", "counted_in": "work days"}, "to": ["agency"]}, "none": {}},
}


def reporting(name: str = "a", duty: str = "report", **changes: Any) -> ReportingSet:
    kind = {**KIND, **changes}
    return ReportingSet.model_validate(
        {"reporting": name, "title": "Duties", "document": "A document", "edition": "1", "duties": {duty: kind}}
    )


def the_fault(*, first: ReportingSet, second: ReportingSet | None = None) -> BookFault:
    made, faults = build_reporting({FILE: first}, {OTHER: second} if second else {}, None)
    assert len(faults) == 1, faults
    assert not faults[0].found.endswith(".") and faults[0].mend.endswith(".")
    # Whatever was refused is not used either.
    assert sum(len(one.duties) for one in made.sets.values()) == (1 if second else 0)
    return faults[0]


def test_sets_that_have_nothing_wrong_are_all_used() -> None:
    made, faults = build_reporting({FILE: reporting()}, {OTHER: reporting("b", "other-report")}, None)
    assert faults == () and [*made.sets] == ["a", "b"]


def test_a_set_stands_once() -> None:
    fault = the_fault(first=reporting(), second=reporting("a", "other-report"))
    assert (fault.rule, fault.file, fault.path) == ("reporting-set-twice", OTHER, ("reporting",))


def test_a_duty_stands_once_and_the_programs_own_stays() -> None:
    fault = the_fault(first=reporting(), second=reporting("b"))
    assert (fault.rule, fault.file, fault.path) == ("reporting-duty-twice", OTHER, ("duties", "report"))
    assert "also stands in asfound/limits/reporting/a.yml" in fault.found


@pytest.mark.parametrize(
    ("changes", "path", "says"),
    [
        ({"clocks": {"deaths": {}}}, ("duties", "report", "clocks", "deaths"), 'Perhaps "death" was meant.'),
        (
            {"clocks": {"death": {"within": {"count": "5", "counted_in": "work days"}}}},
            ("duties", "report", "clocks", "death", "to"),
            "who must have the report",
        ),
        ({"start": "the manufacturer was informed"}, ("duties", "report", "start"), "Both stand in one record"),
    ],
)
def test_a_clock_can_be_chosen_and_leads_to_somebody(changes: dict[str, Any], path: tuple[str, ...], says: str) -> None:
    fault = the_fault(first=reporting(**changes))
    assert (fault.rule, fault.path) == ("reporting-clock-never-chosen", path)
    assert says in fault.mend


@pytest.mark.parametrize("count", ["0", "3661", "999999999999"])
def test_a_time_limit_counts_something_and_ends(count: str) -> None:
    clocks = {"death": {"within": {"count": count, "counted_in": "work days"}, "to": ["agency"]}}
    fault = the_fault(first=reporting(clocks=clocks))
    path = ("duties", "report", "clocks", "death", "within", "count")
    assert (fault.rule, fault.path, fault.found) == ("reporting-count-beyond", path, f"the count is {count}")


@pytest.mark.parametrize("count", ["1", "3660"])
def test_the_ends_of_the_range_count(count: str) -> None:
    clocks = {"death": {"within": {"count": count, "counted_in": "work days"}, "to": ["agency"]}}
    assert build_reporting({FILE: reporting(clocks=clocks)}, {}, None)[1] == ()


def test_a_file_is_kept_for_years_that_exist() -> None:
    one = reporting().model_copy(update={"retention": FileRetention(years=101, status=SourceStatus.FROM_MEMORY)})
    made, faults = build_reporting({FILE: one}, {}, None)
    assert [(fault.rule, fault.path) for fault in faults] == [("reporting-count-beyond", ("retention", "years"))]
    assert made.sets["a"].retention is None and made.sets["a"].duties
