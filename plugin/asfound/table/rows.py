"""The rows of each table, from dossiers; values as Python's own, None where the record says nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from asfound.model.base import NotKnown, told
from asfound.model.dossier import Dossier
from asfound.model.prose import read_prose
from asfound.model.weighing import Ceiling
from asfound.problems import Level

Row = tuple[Any, ...]


def cases(dossier: Dossier) -> Iterator[Row]:
    """The case."""
    core, case, head = dossier.core, dossier.core.case, dossier.core.case.head
    made, weighed = case.conclusion, core.weighing
    yield (
        case.folder, head.title, str(head.stage), head.device_kind, str(head.event.kind), head.event.told_at.utc,
        str(head.harmed), core.on,
        str(made.mechanism.level) if made else None, *_ceiling(weighed.mechanism if weighed else None),
        str(made.reason.level) if made else None, *_ceiling(weighed.reason if weighed else None),
        dossier.count(Level.REJECT), dossier.count(Level.WARN), core.digests.case, core.digests.limits,
        dossier.made_with.asfound,
    )  # fmt: skip


def _ceiling(ceiling: Ceiling | None) -> tuple[str | None, str | None]:
    if ceiling is None:
        return None, None
    return str(ceiling.level), ceiling.weakest.text if ceiling.weakest else None


def items(dossier: Dossier) -> Iterator[Row]:
    """The things."""
    for ref, one in dossier.core.case.items.items():
        yield (
            ref, one.what, str(one.role), one.in_use_at_event, one.impounded,
            *map(_told, (one.maker, one.model, one.serial, one.lot, one.software)),
        )  # fmt: skip


def instruments(dossier: Dossier) -> Iterator[Row]:
    """The instruments that were used."""
    for ref, one in dossier.core.instruments.items():
        newest = max(one.calibrations, key=lambda each: each.on, default=None)
        yield (
            ref, one.what, _told(one.serial),
            *((newest.certificate, newest.on, newest.due, _told(newest.as_found)) if newest else (None,) * 4),
        )  # fmt: skip


def readings(dossier: Dossier) -> Iterator[Row]:
    """The readings, sheet by sheet."""
    case = dossier.core.case
    for name, sheet in case.readings.items():
        about = case.sheets.get(name)
        for row in sheet.rows:
            yield (
                row.id, row.sheet, row.row, about and about.test, about and about.item,
                about and about.instrument, about and str(about.by), row.value.text, str(row.value.kind),
                *_number(row.value.number), row.value.of, row.unit or None, sorted(row.conditions.items()),
                row.at.utc if row.at else None, row.void or None, row.repeat_of or None,
                sheet.path, row.line,
            )  # fmt: skip


def verdicts(dossier: Dossier) -> Iterator[Row]:
    """The verdicts."""
    for number, one in enumerate(dossier.core.verdicts, 1):
        by = one.limit
        yield (
            number, one.subject, list(one.members), one.test, one.item, str(one.outcome), *_number(one.value),
            one.unit or None, one.doubt, one.k, *_back(one.lower), *_back(one.upper), one.strict, *_back(one.margin),
            one.chance, one.rule or None, one.why or None,
            *((by.id, str(by.kind), by.document, by.edition, by.clause, str(by.status)) if by else (None,) * 6),
        )  # fmt: skip


def results(dossier: Dossier) -> Iterator[Row]:
    """The derived results."""
    for one in dossier.core.results:
        yield (
            one.id, one.kind, one.title, one.sheet or None, *_number(one.value), one.unit or None, one.doubt,
            str(one.outcome) if one.outcome else None, list(one.of), one.text, one.k, one.dof,
        )  # fmt: skip


def findings(dossier: Dossier) -> Iterator[Row]:
    """The findings."""
    for ref, one in dossier.core.case.findings.items():
        yield ref, read_prose(one.text).plain.strip(), list(one.about), list(one.rests_on)


def explanations(dossier: Dossier) -> Iterator[Row]:
    """The explanations, as they stand."""
    weighed = dossier.core.weighing
    for ref, one in dossier.core.case.explanations.items():
        held = weighed.standing(ref) if weighed else None
        yield (
            ref, one.explanation, str(one.line), one.explains,
            *((str(held.status), str(held.claimed), str(held.held), held.aside, held.why) if held
              else (None, str(one.status), None, None, None)),
            list(one.supports), list(one.contradicts),
        )  # fmt: skip


def problems(dossier: Dossier) -> Iterator[Row]:
    """What the check tells; nothing of the facility's own duties."""
    for one in dossier.core.problems:
        span = one.span
        yield (
            one.rule, str(one.level), span.path, span.line, span.column, one.subject or None, one.found, one.needed,
            one.lifted or None,
        )  # fmt: skip


ROWS: dict[str, Callable[[Dossier], Iterator[Row]]] = {
    made.__name__: made
    for made in (cases, items, instruments, readings, verdicts, results, findings, explanations, problems)
}
"""What makes the rows of a table, by its name; the case's identity comes before each."""


def _told(value: str | NotKnown | None) -> str | None:
    return None if value is None else told(value)


def _number(value: Decimal | None) -> tuple[str | None, float | None]:
    return (None, None) if value is None else (str(value), float(value))


def _back(value: Decimal | None) -> tuple[float | None, str | None]:
    exact, nearest = _number(value)
    return nearest, exact
