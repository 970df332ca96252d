"""One item, one test, one instrument: the smallest case that has verdicts, with anything in it exchanged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.model.bench import Instrument
from asfound.model.case import Case
from asfound.model.event import CaseHead
from asfound.model.limits import Book, LimitSet, Test
from asfound.model.number import Fault, read_value
from asfound.model.things import Item
from asfound.model.verdict import Verdict
from asfound.model.work import Plan, Reading, ReadingSheet, Sheet
from asfound.verdicts import Computed, compute

HEAD = CaseHead.model_validate(
    {
        "case": "bench", "title": "A bench", "stage": "open", "harmed": "none",
        "event": {
            "kind": "other", "told_at": "2026-03-09 12:00 +00:00", "time_source": "none", "where": "a bench",
            "account": "None.",
        },
    }
)  # fmt: skip
TIMES = {"from": "2026-03-10 09:00 +00:00", "to": "2026-03-10 10:00 +00:00"}
TEST: dict[str, Any] = {
    "title": "Earth", "quantity": "resistance", "unit": "mohm", "units": ["ohm"], "purpose": "To see.",
    "energised": "no", "connects": "nothing", "alters": "none", "reaches": ["earth"],
    "conditions": {name: {"title": name, "required": "no"} for name in ("point", "polarity", "port", "setting")},
}  # fmt: skip
LIMIT: dict[str, Any] = {
    "title": "A limit", "test": "t", "quantity": "resistance", "sense": "at most",
    "bound": {"kind": "fixed", "value": "300 mohm"}, "clause": "1", "kind": "in-service limit", "status": "confirmed",
}  # fmt: skip
RANGE: dict[str, Any] = {
    "from": "0 mohm", "to": "2000 mohm", "resolution": "1 mohm", "accuracy": {"percent": "2", "plus": "4 mohm"},
}  # fmt: skip
"""Half-width 2 % + 4 mΩ, rectangular, and a resolution of 1 mΩ: at 142 mΩ the expanded doubt is 7.92 mΩ."""

Row = tuple[str, Mapping[str, str]]


def sheet_rows(name: str, rows: Sequence[Row], unit: str) -> tuple[Reading, ...]:
    """Readings `R-<name>-<row>`; a condition `void` is the reason a row does not stand, `unit` a unit of its own."""
    found = []
    for number, (text, conditions) in enumerate(rows, start=1):
        value = read_value(text)
        assert not isinstance(value, Fault), text
        told = dict(conditions)
        void, own = told.pop("void", ""), told.pop("unit", unit)
        found.append(Reading(f"R-{name}-{number}", f"S-{name}", str(number), number + 1, value, own, told, void=void))
    return tuple(found)


def judged(
    rows: Sequence[Row | str],
    *limits: Mapping[str, Any],
    unit: str = "mohm",
    rule: str = "simple acceptance",
    test: Mapping[str, Any] | None = None,
    item: Mapping[str, Any] | None = None,
    sheet: Mapping[str, Any] | None = None,
    plan: Mapping[str, Any] | None = None,
    planned: Mapping[str, Any] | None = None,
    units: Mapping[str, str] | None = None,
    instrument: Mapping[str, Any] | None = RANGE,
    more: Mapping[str, tuple[Sequence[Row], Mapping[str, Any]]] | None = None,
    instruments: Mapping[str, Mapping[str, Any]] | None = None,
) -> Computed:
    """What is computed of these readings under these limits; each is `LIMIT` with some of it exchanged.

    `instrument=None` strikes the instrument out. `more` holds further sheets, `instruments` the ranges of further
    instruments.
    """
    told = [(one, {}) if isinstance(one, str) else one for one in rows]
    base = {"test": "t", "item": "I-1", "instrument": "M-1", "function": "f", "by": "examiner", **TIMES}
    sheets = {"S-x": Sheet.model_validate({**base, **(sheet or {})})}
    readings = {"S-x": ReadingSheet("S-x", "readings/x.csv", (), dict(units or {}), sheet_rows("x", told, unit))}
    for name, (others, changed) in (more or {}).items():
        sheets[f"S-{name}"] = Sheet.model_validate({**base, **changed})
        readings[f"S-{name}"] = ReadingSheet(
            f"S-{name}", f"readings/{name}.csv", (), dict(units or {}), sheet_rows(name, others, unit)
        )
    chosen = Plan.model_validate(
        {
            "written_at": "2026-03-10 08:00 +00:00", "written_by": "examiner", "protocols": ["p"],
            "limit_sets": ["s"], "decision_rule": rule,
            "tests": {"t": {"item": "I-1", "why": "to see", **(planned or {})}}, **(plan or {}),
        }
    )  # fmt: skip
    thing = {"what": "a thing", "role": "main device", "in_use_at_event": "yes", "impounded": "yes", **(item or {})}
    case = Case(
        folder="cases/bench", head=HEAD, items={"I-1": Item.model_validate(thing)}, plan=chosen, sheets=sheets,
        readings=readings,
    )  # fmt: skip
    made = {f"l{number}": {**LIMIT, **one} for number, one in enumerate(limits or ({},), start=1)}
    whole = {"set": "s", "title": "Set", "document": "Doc", "edition": "1", "jurisdiction": "none", "limits": made}
    book = Book(sets={"s": LimitSet.model_validate(whole)}, protocols={})
    known = {} if instrument is None else {"M-1": instrument}
    known |= dict(instruments or {})
    benches = {
        name: Instrument.model_validate(
            {"what": "A meter", "serial": "1", "functions": {"f": {"quantity": "resistance", "ranges": [one]}}}
        )
        for name, one in known.items()
    }
    return compute(case, book, {"t": Test.model_validate({**TEST, **(test or {})})}, benches)


def words(made: Computed) -> list[str]:
    """The outcomes, in order."""
    return [str(one.outcome) for one in made.verdicts]


def only(made: Computed) -> Verdict:
    """The one verdict."""
    assert len(made.verdicts) == 1, made.verdicts
    return made.verdicts[0]
