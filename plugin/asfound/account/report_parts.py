"""What a report must carry by ISO/IEC 17025:2017, 7.8.2.1, 7.8.6 and 7.8.7, and where a case has it.

The clauses are told in our own words. 7.8.2.1 a to p and 7.8.6 were read (confirmed); 7.8.7 is from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from asfound.account.lines import same
from asfound.measure.show import show_date
from asfound.model.base import told
from asfound.model.bench import Settings
from asfound.model.case import Case
from asfound.model.event import ReportIdentity
from asfound.model.things import ItemRole
from asfound.model.work import GateKind, Sheet

_IDS = re.compile(r"[A-Z]-[a-z0-9]+(?:--?[a-z0-9]+)*")
NO_OUTSIDE = "None:"
"""How the usual words of `outside_results` begin."""


class ReportPart(Struct, frozen=True):
    """One thing a report must carry.

    clause   the clause of the standard
    asks     what it asks for, in our words
    said     what stands here, in words; empty where it is missing
    refs     records it stands in
    file     the file in which it would stand
    field    the field to fill in, where one field would do; empty where the program prints the part itself
    """

    clause: str
    asks: str
    said: str
    file: str
    field: str = ""
    refs: tuple[str, ...] = ()

    @property
    def missing(self) -> bool:
        """Whether the case lacks it."""
        return not self.said


def report_parts(case: Case, settings: Settings) -> tuple[ReportPart, ...]:
    """Every part, in the order of the standard."""
    return (*_identity(case, settings), *_work(case), *_results(case))


def outside_sheets(case: Case) -> tuple[str, ...]:
    """Sheets of an external provider: marked as such, or read by somebody of another house than the examiner's."""
    home = _organisation(case, case.head.examiner)
    return tuple(
        ref
        for ref, sheet in case.sheets.items()
        if sheet.provider is not None or (home and not same(_organisation(case, sheet.by) or home, home))
    )


def outside_marked(case: Case, ref: str, sheet: Sheet) -> bool:
    """Whether an outside sheet is told to be one: by itself, or in the report's words on outside results."""
    words = case.head.report.outside_results if case.head.report is not None else ""
    return sheet.provider is not None or ref in _IDS.findall(words)


def _organisation(case: Case, role: str | None) -> str:
    person = case.head.people.get(role or "")
    return person.organisation or "" if person is not None else ""


def _words(report: ReportIdentity | None, field: str) -> str:
    """What a field says that has usual words, which stand where nobody wrote others."""
    return str(getattr(report, field) if report is not None else ReportIdentity.model_fields[field].default)


def _identity(case: Case, settings: Settings) -> Iterator[ReportPart]:
    head, report = case.head, case.head.report
    own = "" if settings.organisation == Settings.model_fields["organisation"].default else settings.organisation
    bench = ".asfound/settings.yml"
    yield ReportPart("7.8.2.1 a", "a title", head.title, "case.yml", "title")
    yield ReportPart("7.8.2.1 b", "the name of the laboratory", own, bench, "organisation")
    yield ReportPart("7.8.2.1 b", "the address of the laboratory", settings.address or "", bench, "address")
    yield ReportPart(
        "7.8.2.1 c", "the place of the work", report.examined_at if report else "", "case.yml", "examined_at"
    )
    yield ReportPart(
        "7.8.2.1 d", "what identifies every page as part of one report, and its end",
        "the case's identity and the beginning of its digest on every page, which ends with the word End", "case.yml",
    )  # fmt: skip
    yield ReportPart("7.8.2.1 e", "the customer", report.customer if report else "", "case.yml", "customer")


def _work(case: Case) -> Iterator[ReportPart]:
    methods = ", ".join(case.plan.protocols) if case.plan else ""
    yield ReportPart("7.8.2.1 f", "the method", methods, "plan.yml", "protocols")
    main = [ref for ref, item in case.items.items() if item.role is ItemRole.MAIN_DEVICE]
    listed = "one item is" if len(case.items) == 1 else f"{len(case.items)} items are"
    items = f"{listed} on the list; main device{'' if len(main) == 1 else 's'}:" if main else ""
    yield ReportPart("7.8.2.1 g", "the items", items, "items.yml", "", tuple(main))
    bare = [ref for ref in main if case.items[ref].condition_on_receipt is None]
    conditions = "; ".join(f"{ref}: {told(case.items[ref].condition_on_receipt)}" for ref in main if ref not in bare)
    if main:
        of = f"the condition on receipt of {' and '.join(bare)}" if bare else "their condition on receipt"
        yield ReportPart("7.8.2.1 g", of, "" if bare else conditions, "items.yml", "condition_on_receipt", tuple(bare))
    received = sorted(gate.at.at for gate in case.gates.gates.values() if gate.gate is GateKind.RECEIVED)
    day = show_date(received[0].date()) if received else ""
    yield ReportPart("7.8.2.1 h", "the date of receipt", day, "gates.yml", "a gate received")
    times = [moment.at.date() for sheet in case.sheets.values() for moment in (sheet.from_, sheet.to)]
    times += [row.at.at.date() for row in case.inspection if row.at is not None]
    days = f"{show_date(min(times))} to {show_date(max(times))}" if times else ""
    yield ReportPart("7.8.2.1 i", "the dates of the work", days, "sheets.yml", "from and to")
    yield ReportPart(
        "7.8.2.1 j", "the date of issue", "that of its edition; a draft has none and says so", "editions"
    )  # fmt: skip
    report = case.head.report
    yield ReportPart("7.8.2.1 k", "the sampling", _words(report, "sampling"), "case.yml", "sampling")


def _results(case: Case) -> Iterator[ReportPart]:
    report, plan, conclusion = case.head.report, case.plan, case.conclusion
    yield ReportPart(
        "7.8.2.1 l", "that the results relate only to the items", "on every page, in its last line", "case.yml"
    )
    yield ReportPart("7.8.2.1 m", "results with their units", "each value is printed with its unit", "readings")
    yield ReportPart("7.8.2.1 n", "deviations from the method", _words(report, "deviations"), "case.yml", "deviations")
    by = case.head.people.get(report.authorised_by) if report and report.authorised_by else None
    who = by.title if by is not None else (report.authorised_by or "" if report else "")
    yield ReportPart("7.8.2.1 o", "who authorises it", who, "case.yml", "authorised_by")
    sheets = outside_sheets(case)
    unmarked = [ref for ref in sheets if not outside_marked(case, ref, case.sheets[ref])]
    outside = _words(report, "outside_results")
    if sheets and outside.startswith(NO_OUTSIDE):
        outside = f"marked on their sheets: {', '.join(sheets)}"
    yield ReportPart(
        "7.8.2.1 p",
        "which results come from outside",
        "" if unmarked else outside,
        "case.yml",
        "outside_results",
        sheets,
    )
    rule = str(plan.decision_rule) if plan else ("" if case.sheets else "no verdict is given")
    yield ReportPart("7.8.6.1", "the decision rule", rule, "plan.yml", "decision_rule")
    yield ReportPart(
        "7.8.6.2", "which results each statement of conformity covers, against what, by which rule",
        "each verdict stands beside its reading, with limit, document, edition, clause and rule", "plan.yml",
    )  # fmt: skip
    if conclusion is not None:
        basis = conclusion.mechanism.rests_on
        said = "marked as opinion, each sentence with what it rests on" if basis else ""
        yield ReportPart("7.8.7", "the basis of opinions", said, "conclusion.yml", "rests_on", basis[:6])
