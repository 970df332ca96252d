"""The report carries the parts that ISO/IEC 17025:2017 asks of one.

Fails: no `report:` block in case.yml, so that place, customer and who authorises are not known.
Passes: `report:` with `examined_at`, `customer` and `authorised_by`; name and address in the organisation's settings.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.bench import Settings
from asfound.model.facts import Facts
from asfound.model.things import ItemRole
from asfound.model.work import GateKind
from asfound.problems import Entry, Family, Level, Problem
from asfound.rules._work import stands

ENTRY = Entry(
    name="report-part-missing",
    family=Family.COMPLETENESS,
    level=Level.REJECT,
    title="The report carries every part that a test report must carry.",
    reason="A report that lacks its customer, its place or its signatory invites the question what else it lacks.",
    source="ISO/IEC 17025:2017, 7.8.2.1 a to p",
    status="confirmed",
    mend="Fill in what is named; report: in case.yml holds examined_at, customer and authorised_by.",
    rows=("R102",),
)


def check(facts: Facts) -> Iterator[Problem]:
    """One problem that lists the parts that are missing, each with its letter in the standard.

    Unique identification and end (d), date of issue (j), the line that results relate only to the items (l) and units
    (m) are printed by this program; sampling (k), deviations (n) and outside results (p) have words of their own.
    """
    missing = tuple(_missing(facts))
    if missing:
        yield facts.problem(
            ENTRY,
            "case.yml",
            "report",
            found="the report lacks " + "; ".join(missing),
            needed="every part of ISO/IEC 17025:2017, 7.8.2.1, is needed",
        )


def _missing(facts: Facts) -> Iterator[str]:
    case, report, settings = facts.case, facts.case.head.report, facts.settings
    if settings.organisation == Settings.model_fields["organisation"].default:
        yield "the name of the laboratory (b: organisation in .asfound/settings.yml)"
    if settings.address is None:
        yield "the address of the laboratory (b: address in .asfound/settings.yml)"
    if report is None:
        yield "the place of the work (c: examined_at)"
        yield "the customer (e: customer)"
    if (case.plan is None and not stands(facts, "plan.yml")) or (case.plan is not None and not case.plan.protocols):
        yield "the method (f: protocols in plan.yml)"
    main = [ref for ref, item in case.items.items() if item.role is ItemRole.MAIN_DEVICE]
    bare = [ref for ref in main if case.items[ref].condition_on_receipt is None]
    if not main and not stands(facts, "items.yml"):
        yield "the items (g: items.yml)"
    elif bare:
        yield f"the condition on receipt of {' and '.join(bare)} (g: condition_on_receipt)"
    if not any(gate.gate is GateKind.RECEIVED for gate in case.gates.gates.values()):
        yield "the date of receipt (h: a gate received)"
    if not case.sheets and not case.inspection:
        yield "the dates of the work (i: sheets.yml or inspection.csv)"
    if report is None or report.authorised_by is None:
        yield "who authorises it (o: authorised_by)"
