"""The smallest case whose mechanism is established, as plain data, with anything in it exchanged.

One device with settings, its tube, and an exemplar of the tube; three tests, of which each reaches one topic; X-1 named
and shown, X-2 ruled out by a test, X-3 for the clinician. Every way in which a chain can be weak is one change away.
"""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from asfound.model.base import Moment
from asfound.model.bench import Instrument, Settings
from asfound.model.case import Case, Places
from asfound.model.event import CaseHead
from asfound.model.facts import Facts
from asfound.model.limits import Book, LimitSet, Protocol, SourceStatus
from asfound.model.number import Fault, read_value
from asfound.model.reasoning import Conclusion, ExceptionRecord, Explanation, Finding
from asfound.model.testimony import Clock, Evidence, Statement
from asfound.model.things import CustodyKind, CustodyLine, InspectionRow, Item, Scene, Seen
from asfound.model.weighing import Link, Weighing
from asfound.model.work import Plan, Reading, ReadingSheet, Sheet
from asfound.verdicts import compute
from asfound.weigh import weigh

Data = dict[str, Any]
Change = Callable[[Data], None]

AT = "2026-03-10 {}:00 +00:00"
_ACCURACY = {"from": "0 W", "to": "200 W", "resolution": "0.1 W", "accuracy": {"percent": "1"}}


def instrument() -> Data:
    """A meter in date, for powers up to 200 W."""
    return {
        "what": "meter", "serial": "1", "functions": {"f": {"quantity": "power", "ranges": [_ACCURACY]}},
        "calibrations": [{"certificate": "c", "on": "2026-01-01", "due": "2027-01-01", "by": "lab", "as_found": "in"}],
    }  # fmt: skip


def _test(topic: str) -> Data:
    return {
        "title": topic, "quantity": "power", "unit": "W", "purpose": "To see.", "energised": "yes",
        "connects": "analyser", "alters": "none", "functional": "yes", "reaches": [topic],
    }  # fmt: skip


def _sheet(test: str, instrument: str = "M-1") -> Data:
    return {
        "test": test, "item": "I-1", "accessories": ["I-2"], "instrument": instrument, "function": "f",
        "by": "examiner", "from": AT.format("09"), "to": AT.format("10"), "as_found_settings": "yes",
    }  # fmt: skip


def _item(role: str, **more: Any) -> Data:
    return {"what": role, "role": role, "in_use_at_event": "yes", "impounded": "yes", **more}


def _line(number: int, items: str, kind: str = "collected", **more: str) -> Data:
    base = {
        "released_by": "", "received_by": "examiner", "from_place": "room", "to_place": "bench",
        "signed_in": "examiner", "seal_before": "", "seal_after": "",
    }  # fmt: skip
    return {"number": number, "items": items, "kind": kind, "at": AT.format("08"), **base, **more}


def data() -> Data:
    """The whole case as data; every call gives a copy of its own."""
    return copy.deepcopy(
        {
            "head": {
                "case": "small", "title": "A small case", "harmed": "none", "examiner": "examiner",
                "reviewer": "reviewer",
                "event": {
                    "kind": "other", "told_at": AT.format("07"), "time_source": "none", "where": "here",
                    "account": "It happened.",
                },
                "declaration": {
                    "by": "examiner", "at": AT.format("07"), "maintained": "no", "set_up": "no", "used": "no",
                    "bought": "no", "sold": "no", "supervised_user": "no", "paid_by": "somebody",
                },
            },
            "items": {
                "I-1": _item("main device", has_settings="yes"),
                "I-2": _item("accessory"),
                "I-3": _item("exemplar", in_use_at_event="no", compares_with="I-2"),
            },
            "custody": [_line(1, "I-1 I-2")],
            "scene": {"settings": {"A-1": {"item": "I-1", "control": "dial", "value": "90"}}},
            "plan": {
                "written_at": AT.format("08"), "written_by": "examiner", "protocols": ["p"], "limit_sets": ["s"],
                "decision_rule": "simple acceptance",
                "tests": {name: {"item": "I-1", "why": "to see"} for name in ("glow", "leak", "sound")},
            },
            "tests": {"glow": _test("glow"), "leak": _test("leak"), "sound": _test("sound")},
            "limits": {},
            "sheets": {"S-glow": _sheet("glow"), "S-leak": _sheet("leak")},
            "readings": {"glow": ["88.4", "88.2"], "leak": ["0.1"], "sound": []},
            "instruments": {"M-1": instrument(), "M-2": instrument()},
            "inspection": [{"id": "V-1", "item": "I-1", "seen": "found"}],
            "evidence": {},
            "clocks": {},
            "statements": {},
            "findings": {
                "F-1": {"text": "It is hot.", "about": ["I-1"], "rests_on": ["R-glow-1", "R-glow-2"]},
                "F-2": {"text": "It does not leak.", "about": ["I-1"], "rests_on": ["R-leak-1"]},
            },
            "explanations": {
                "X-1": {
                    "explanation": "Heat.", "line": "device", "topic": "glow", "status": "supported",
                    "needs": [{"claim": "It was hot.", "tested_by": ["glow"], "shown_by": ["F-1"]}],
                },
                "X-2": {
                    "explanation": "A leak.", "line": "accessory or consumable", "topic": "leak",
                    "status": "ruled out",
                    "needs": [
                        {"claim": "It leaked.", "tested_by": ["leak"], "shown_false_by": ["F-2"], "detects": "1 W"}
                    ],
                },
                "X-3": {
                    "explanation": "A drug.", "line": "patient or procedure effect",
                    "status": "referred to clinician",
                },
            },
            "conclusion": {
                "by": "examiner",
                "mechanism": {"text": "Heat.", "level": "established", "explanations": ["X-1"]},
                "reason": {"text": "Not known.", "level": "undetermined"},
            },
            "exceptions": {},
        }
    )  # fmt: skip


def facts(*changes: Change, shuffle: bool = False) -> Facts:
    """The facts of the small case after some changes; `shuffle` reverses the order of every file."""
    told = data()
    for change in changes:
        change(told)
    if shuffle:
        for name in ("items", "sheets", "findings", "explanations", "exceptions", "evidence", "statements", "readings"):
            told[name] = dict(reversed(told[name].items()))
    case = Case(
        folder="cases/small",
        head=CaseHead.model_validate(told["head"]),
        items={ref: Item.model_validate(one) for ref, one in told["items"].items()},
        custody=tuple(_custody(one) for one in told["custody"]),
        scene=Scene.model_validate(told["scene"]),
        plan=Plan.model_validate(told["plan"]),
        sheets={ref: Sheet.model_validate(one) for ref, one in told["sheets"].items()},
        readings={f"S-{name}": _readings(name, rows) for name, rows in told["readings"].items() if rows},
        inspection=tuple(_row(one) for one in told["inspection"]),
        evidence={ref: Evidence.model_validate(one) for ref, one in told["evidence"].items()},
        clocks={ref: Clock.model_validate(one) for ref, one in told["clocks"].items()},
        statements={ref: Statement.model_validate(one) for ref, one in told["statements"].items()},
        findings={ref: Finding.model_validate(one) for ref, one in told["findings"].items()},
        explanations={ref: Explanation.model_validate(one) for ref, one in told["explanations"].items()},
        conclusion=None if told["conclusion"] is None else Conclusion.model_validate(told["conclusion"]),
        exceptions={ref: ExceptionRecord.model_validate(one) for ref, one in told["exceptions"].items()},
    )
    protocol = Protocol.model_validate(
        {"protocol": "p", "title": "P", "device_kinds": ["d"], "tests": told["tests"]}
    )  # fmt: skip
    limits = LimitSet.model_validate(
        {"set": "s", "title": "S", "document": "D", "edition": "1", "jurisdiction": "none", "limits": told["limits"]}
    )
    book = Book(sets={"s": limits}, protocols={"p": protocol})
    instruments = {ref: Instrument.model_validate(one) for ref, one in told["instruments"].items()}
    computed = compute(case, book, protocol.tests, instruments)
    return Facts(
        case, Places({}, {}, {}), book, instruments, Settings(), dt.date(2026, 4, 1),
        verdicts=computed.verdicts, results=computed.results, coverage=computed.coverage,
    )  # fmt: skip


def weighed(*changes: Change, shuffle: bool = False) -> Weighing:
    """The small case, weighed."""
    found = weigh(facts(*changes, shuffle=shuffle))
    assert found is not None
    return found


def links(*changes: Change) -> dict[str, Link]:
    """The links of the mechanism by name, the weakest first; of several of one kind the first."""
    found: dict[str, Link] = {}
    for one in weighed(*changes).mechanism.links:
        found.setdefault(one.name, one)
    return found


def put(path: str, value: Any) -> Change:
    """Exchange what stands at a path: `explanations.X-1.needs.0.topic`."""

    def change(told: Data) -> None:
        *way, last = path.split(".")
        at: Any = told
        for part in way:
            at = at[int(part)] if part.isdigit() else at[part]
        if last.isdigit() and isinstance(at, list):
            at[int(last)] = copy.deepcopy(value)
        else:
            at[last] = copy.deepcopy(value)

    return change


def drop(path: str) -> Change:
    """Take out what stands at a path."""

    def change(told: Data) -> None:
        *way, last = path.split(".")
        at: Any = told
        for part in way:
            at = at[int(part)] if part.isdigit() else at[part]
        del at[int(last) if last.isdigit() and isinstance(at, list) else last]

    return change


def second(value: str, name: str = "again", meter: str = "M-2", test: str = "glow") -> list[Change]:
    """A sheet `S-<name>` that repeats the one of a test with another instrument and reads `value`."""
    sheet = {**_sheet(test, meter), "from": AT.format("11"), "to": AT.format("12"), "repeats_of": f"S-{test}"}
    return [put(f"sheets.S-{name}", sheet), put(f"readings.{name}", [value])]


def limit(status: SourceStatus, most: str = "80 W") -> Change:
    """Hold the glow test against a limit whose source was read so well."""
    return put(
        "limits.most",
        {
            "title": "Most", "test": "glow", "quantity": "power", "sense": "at most", "clause": "1",
            "bound": {"kind": "fixed", "value": most}, "kind": "in-service limit", "status": str(status),
        },
    )  # fmt: skip


def _moment(text: str) -> Moment:
    return Clock.model_validate(
        {"what": "c", "comparisons": [{"at": text, "reference": "r", "offset": "0 s", "doubt": "1 s"}]}
    ).comparisons[0].at  # fmt: skip


def _custody(one: Data) -> CustodyLine:
    at = _moment(one["at"])
    return CustodyLine(
        f"C-{one['number']}", one["number"], tuple(one["items"].split()), CustodyKind(one["kind"]),
        None if one["kind"] == "before custody" else at, at, one["released_by"], one["received_by"],
        one["from_place"], one["to_place"], "examine", one["seal_before"], one["seal_after"], "", "x",
        one["signed_in"], (), "",
    )  # fmt: skip


def _row(one: Data) -> InspectionRow:
    return InspectionRow(
        one["id"], 2, one["item"], "", "outside", Seen(one["seen"]), "mark", (), "relevant", "", None, "examiner"
    )


def _readings(name: str, rows: list[str]) -> ReadingSheet:
    found = []
    for number, text in enumerate(rows, start=1):
        value = read_value(text)
        assert not isinstance(value, Fault), text
        assert value.number is None or isinstance(value.number, Decimal)
        found.append(Reading(f"R-{name}-{number}", f"S-{name}", str(number), number + 1, value, "W", {}))
    return ReadingSheet(f"S-{name}", f"readings/{name}.csv", (), {}, tuple(found))
