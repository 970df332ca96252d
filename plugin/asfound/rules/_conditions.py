"""Conditions that a test asks for and a sheet does not record: one finding, spoken by the rule it belongs to."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from asfound.model.facts import Facts
from asfound.problems import Entry, Problem
from asfound.rules._texts import named
from asfound.rules._work import Work, conditions, function_of, works


class Family(StrEnum):
    """Which rule speaks of a test's missing conditions."""

    EARTH = "protective earth under IEC 62353"
    LEAKAGE = "leakage at mains frequency"
    HIGH_FREQUENCY = "high-frequency output and leakage"
    OTHER = "other"


def under_62353(facts: Facts) -> bool:
    """Whether the plan holds readings against a set of IEC 62353."""
    plan = facts.case.plan
    return plan is not None and any("62353" in name for name in plan.limit_sets)


def family_of(facts: Facts, work: Work) -> Family:
    """The family of a sheet's test, by its name and the protocol it stands in."""
    name = work.protocol_name
    if name.startswith("protective-earth") and under_62353(facts):
        return Family.EARTH
    home = next((one.protocol for one in facts.protocols if name in one.tests), "")
    if home.startswith("high-frequency") or name.startswith("hf-"):
        return Family.HIGH_FREQUENCY
    if "leakage" in name or name.startswith("touch-current"):
        return Family.LEAKAGE
    return Family.OTHER


def sheets_of(facts: Facts, family: Family) -> Iterator[Work]:
    """Sheets with readings whose test belongs to a family."""
    for work in works(facts):
        if work.test is not None and work.rows and family_of(facts, work) is family:
            yield work


def missing(facts: Facts, work: Work) -> tuple[tuple[str, ...], dict[str, tuple[str, ...]]]:
    """Required conditions recorded nowhere, by title; and those blank in some rows, with these rows."""
    assert work.test is not None
    nowhere: list[str] = []
    somewhere: dict[str, tuple[str, ...]] = {}
    for name, column in work.test.conditions.items():
        if not column.required:
            continue
        lacking = tuple(row.id for row in work.rows if not conditions(facts, work, row).get(name))
        if len(lacking) == len(work.rows):
            nowhere.append(f"{name} ({column.title})" if column.title.casefold() != name else name)
        elif lacking:
            somewhere[name] = lacking
    if family_of(facts, work) is Family.LEAKAGE and not any(
        word in name for name in work.test.conditions for word in ("device", "network")
    ):
        function = function_of(facts, work.sheet)
        if function is not None and function.method is None:
            nowhere.append("the measuring device (method of the instrument's function)")
    return tuple(nowhere), somewhere


def speak(facts: Facts, entry: Entry, family: Family) -> Iterator[Problem]:
    """The problems of one family, in the words of its rule: one a sheet, and one a condition blank in some rows."""
    for work in sheets_of(facts, family):
        nowhere, somewhere = missing(facts, work)
        if nowhere:
            yield facts.problem(
                entry,
                work.name,
                "constants",
                found=f"the sheet {work.name} does not record {named(nowhere)}",
                needed=f"every condition that the test {work.protocol_name} depends on is needed",
            )
        for name, rows in somewhere.items():
            yield facts.problem(
                entry,
                rows[0],
                found=f"{name} is blank at {named(rows)}",
                needed=f"every condition that the test {work.protocol_name} depends on is needed",
            )
