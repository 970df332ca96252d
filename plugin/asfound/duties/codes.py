"""Codes of an open list that the records of a case call for. Suggestions: whoever reports chooses."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.case import Case
from asfound.model.duties import Suggested
from asfound.model.limits import SourceStatus
from asfound.model.reasoning import Line, Status
from asfound.model.reporting import CodeList
from asfound.model.testimony import EvidenceKind
from asfound.model.things import ItemRole

_LINES = {
    Line.ROOM: (("D05", "an explanation by the room and its supply is held as supported"),),
    Line.SET_UP: (("D07", "an explanation by set-up or maintenance is held as supported"),),
    Line.PATIENT: (
        ("D1001", "an explanation by the patient or the procedure is held as supported"),
        ("D1002", "an explanation by the patient or the procedure is held as supported"),
    ),
}


def suggested(case: Case, codes: CodeList) -> Iterator[Suggested]:
    """Suggestions, each with the records that call for it. Only codes whose number was read in the list."""
    for code, why, refs in (*_investigation(case), *_conclusion(case)):
        known = codes.codes.get(code)
        if known is not None and known.status is SourceStatus.CONFIRMED and refs:
            yield Suggested(code, known.term, why, tuple(refs))


def _investigation(case: Case) -> Iterator[tuple[str, str, list[str]]]:
    subjects = {ref for ref, item in case.items.items() if item.role is not ItemRole.EXEMPLAR and item.in_use_at_event}
    tested = [ref for ref, sheet in case.sheets.items() if subjects & {sheet.item, *sheet.accessories}]
    yield "B01", "things that were in use were tested", tested
    yield "B11", "its history was read", list(case.service)
    yield "B13", "people told what they saw", list(case.statements)
    logs = [ref for ref, one in case.evidence.items() if one.kind is EvidenceKind.LOG]
    yield "B24", "a log was read out", logs
    gone = [
        ref
        for ref, item in case.items.items()
        if item.role is ItemRole.MAIN_DEVICE and item.in_use_at_event and not item.impounded
    ]
    for code in ("B17", "B18", "B20"):
        yield code, "the device was in use and was not impounded; one of three says why", gone


def _conclusion(case: Case) -> Iterator[tuple[str, str, list[str]]]:
    for line, codes in _LINES.items():
        held = [ref for ref, one in case.explanations.items() if one.line is line and one.status is Status.SUPPORTED]
        for code, why in codes:
            yield code, why, held
