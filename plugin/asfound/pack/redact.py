"""The redacted edition: what a case shows about a device and its use, without what leads back to anybody.

45 CFR 164.514(b)(2) (confirmed) lists what identifies a person, dates finer than the year and serial numbers of devices
among it. Only fields that are named in `redact_fields` come out; every text that does is gone through for labels,
dates, times, digests and addresses. No program finds everything: a person has to read the result before it goes out.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Mapping
from dataclasses import is_dataclass, replace
from enum import Enum
from typing import Any

from msgspec import Struct
from pydantic import BaseModel, TypeAdapter

from asfound.model.base import Moment, NotKnown
from asfound.model.dossier import Core, SetHead
from asfound.model.number import Value
from asfound.model.verdict import Coverage, Result, Verdict
from asfound.model.walk import SpotKind, walk, walk_case
from asfound.model.weighing import Weighing
from asfound.pack.redact_fields import NAMES, SHOWN
from asfound.pack.redact_words import Labels, Scrub, common_role, elapsed, elapsed_days, names_something

REDACTED_FORMAT = 1
STORE = "store"
FILE = "file, digest or identity"


class Redacted(Struct, frozen=True):
    """A redacted edition.

    data       what it shows, ready for JSON
    removed    what was taken out or replaced, a sentence each; never the thing itself
    originals  what must not be found in anything that is handed out: kind and text
    """

    data: dict[str, Any]
    removed: tuple[str, ...]
    originals: tuple[tuple[str, str], ...]


Named = Callable[[str], bool]
"""Whether a text seems to name a person."""


def redact(core: Core, named: Named) -> Redacted:
    """What may be shown of a case. A pure function."""
    return _Redactor(core, named).done()


class _Redactor:
    def __init__(self, core: Core, named: Named) -> None:
        self._core = core
        self._event = core.case.head.event.told_at
        self._labels = Labels()
        self._times: list[str] = []
        # One plain word for a case would be missed wherever the word is meant.
        self._gone = {one for one in (core.case.id, core.case.folder) if not one.isalpha()}
        self._gather()
        self._scrub = Scrub(self._labels, self._gone, named)

    # What leads back

    def _gather(self) -> None:
        head = self._core.case.head
        for role, person in head.people.items():
            if not common_role(role):
                self._label("person", role)
                self._alias(role, person.title)
        records = [(ref, one) for ref, one in self._core.instruments.items()]
        spots = [*walk_case(self._core.case), *(spot for ref, one in records for spot in walk(one, ref))]
        spots += list(walk(self._core.organisation, "settings.yml"))
        for spot in spots:
            if spot.kind is SpotKind.ROLE:
                if spot.value != STORE and not common_role(spot.value):
                    self._label("person", spot.value)
            elif spot.kind in (SpotKind.TIME, SpotKind.DAY):
                self._times += _dates(spot.value)
            elif (spot.model, spot.field) in NAMES:
                self._label(NAMES[spot.model, spot.field], spot.value)
        for line in self._core.case.custody:
            for seal in (line.seal_before, line.seal_after):
                if seal:
                    self._label("seal", seal)
        for one in self._core.case.evidence.values():
            self._gone |= {one.sha256, *([one.file, one.file.rpartition("/")[2]] if one.file else [])}
        for fact in self._core.case.files.values():
            self._gone.add(fact.sha256)
        if self._core.case.plan and self._core.case.plan.sealed and self._core.case.plan.sealed.sha256:
            self._gone.add(self._core.case.plan.sealed.sha256)
        self._gone |= {self._core.digests.case, self._core.digests.limits}

    def _label(self, kind: str, original: str) -> str:
        return self._labels.give(kind, original)

    def _alias(self, role: str, title: str) -> None:
        """The words for a role stand under the label of the role."""
        self._labels.of.setdefault(("person", " ".join(title.split()).casefold()), self._label("person", role))

    # What is shown

    def done(self) -> Redacted:
        """The whole of it."""
        core, case = self._core, self._core.case
        head = case.head
        data: dict[str, Any] = {
            "format": REDACTED_FORMAT,
            "title": self._text(head.title),
            "device_kind": head.device_kind,
            "harmed": head.harmed.value,
            "severity": head.severity.value if head.severity else None,
            "outcome": self._text(head.outcome),
            "questions": self._text(head.questions),
            "event": self._record(head.event),
            "injury": self._record(case.injury) if case.injury else None,
            "items": self._records(case.items),
            "custody": {row.id: self._record(row) for row in case.custody},
            "scene": self._record(case.scene) if case.scene else None,
            "room": self._records(case.room),
            "service": self._records(case.service),
            "inspection": {row.id: self._record(row) for row in case.inspection},
            "gates": self._record(case.gates),
            "plan": self._record(case.plan) if case.plan else None,
            "sheets": self._records(case.sheets),
            "readings": {row.id: self._record(row) for sheet in case.readings.values() for row in sheet.rows},
            "evidence": self._records(case.evidence),
            "statements": self._records(case.statements),
            "clocks": self._records(case.clocks),
            "timeline": {row.id: self._record(row) for row in case.timeline},
            "findings": self._records(case.findings),
            "explanations": self._records(case.explanations),
            "conclusion": self._record(case.conclusion) if case.conclusion else None,
            "exceptions": self._records(case.exceptions),
            "instruments": self._records(core.instruments),
            "weighing": self._weighed(),
            "verdicts": self._scrubbed(_computed(tuple[Verdict, ...], core.verdicts)),
            "results": self._scrubbed(_computed(tuple[Result, ...], core.results)),
            "coverage": self._scrubbed(_computed(tuple[Coverage, ...], core.coverage)),
            "sets": self._scrubbed(_computed(dict[str, SetHead], core.sets)),
        }
        data = {name: value for name, value in data.items() if value not in (None, [], {})}
        return Redacted(data, tuple(self._removed()), self._originals())

    def _weighed(self) -> Any:
        """How each explanation stands and what the conclusion can bear; without what falls with each record."""
        if self._core.weighing is None:
            return None
        return self._scrubbed(_computed(Weighing, replace(self._core.weighing, strikes=())))

    def _records(self, records: Mapping[str, Any]) -> dict[str, Any]:
        return {ref: self._record(one) for ref, one in records.items()}

    def _record(self, record: Any) -> dict[str, Any]:
        """A record with the fields that are shown; one of no known kind shows nothing."""
        shown: dict[str, Any] = {}
        for name, how in SHOWN.get(type(record).__name__, {}).items():
            value = getattr(record, name)
            if value is None or value == "" or value == () or value == {}:
                continue
            shown[name.rstrip("_")] = self._shown(value, how)
        return shown

    def _shown(self, value: Any, how: str) -> Any:
        if how == "plain":
            return _plain(value)
        if how == "value" and isinstance(value, Value) and value.number is not None:
            return value.text
        if how in ("text", "value"):
            return self._text(value)
        if how == "when":
            return elapsed(value, self._event) if isinstance(value, Moment) else elapsed_days(value, self._event)
        if how == "who":
            return value if value == STORE or common_role(value) else self._label("person", value)
        if how == "inner":
            if isinstance(value, dict):
                return {self._scrub.text(name): self._record(one) for name, one in value.items()}
            return [self._record(one) for one in value] if isinstance(value, tuple) else self._record(value)
        assert how.startswith("name:")
        return self._text(value) if isinstance(value, NotKnown) else self._label(how.partition(":")[2], value)

    def _text(self, value: Any) -> Any:
        """A text, or texts, without what leads back. A number as it was typed is its text."""
        if value is None:
            return None
        if isinstance(value, NotKnown):
            return self._scrub.text(value.words)
        if isinstance(value, str):
            return self._told(value)
        if isinstance(value, dict):
            return {self._scrub.text(name): self._text(one) for name, one in value.items()}
        if isinstance(value, tuple | list):
            return [self._text(one) for one in value]
        typed = getattr(value, "text", None)
        return self._scrub.text(typed) if isinstance(typed, str) else self._scrubbed(_plain(value))

    def _told(self, text: str) -> str:
        """A text; one that is a time with its zone, such as a condition of a log's row, as the time since the event."""
        try:
            return elapsed(Moment.read(text), self._event) if text[:2].isdigit() else self._scrub.text(text)
        except ValueError:
            return self._scrub.text(text)

    def _scrubbed(self, value: Any) -> Any:
        """The same of data of any shape."""
        if isinstance(value, str):
            return self._scrub.text(value)
        if isinstance(value, list):
            return [self._scrubbed(one) for one in value]
        if isinstance(value, dict):
            return {self._scrub.text(name): self._scrubbed(one) for name, one in value.items()}
        return value

    # What is said of it

    def _removed(self) -> list[str]:
        counted = self._labels.counted()
        words = {
            "person": "Roles that could say who somebody is", "serial": "Serial numbers", "lot": "Lots",
            "code": "Codes that name a thing", "seal": "Numbers of seals", "place": "Places",
            "organisation": "Organisations", "maker": "Makers", "model": "Models", "software": "Versions of software",
            "owner": "Owners",
            "expiry": "Dates of expiry", "certificate": "Numbers of certificates",
        }  # fmt: skip
        said = [
            f"{words[kind]}: {count}, put into labels such as “{kind} 1”; the same one has the same label throughout."
            for kind, count in counted.items()
        ]
        files = len(self._core.case.files)
        return [
            "Every date and time: given as the time since the event, and in running text taken out.",
            *said,
            f"All {files} files of the case with their digests, and whatever names a file.",
            "Commits, approvals, editions, signatures, and the history.",
            "Duties, notices, parties, declarations; where and for whom the examination was made; who opens a store.",
            "What identifies a person where a text seemed to hold it: the whole text.",
        ]

    def _originals(self) -> tuple[tuple[str, str], ...]:
        found = [(kind, original) for kind, original in self._labels.of if names_something(kind, original)]
        found += [(FILE, one.casefold()) for one in self._gone]
        found += [("date", one) for one in self._times]
        return tuple(sorted(set(found)))


def _dates(value: Any) -> list[str]:
    if isinstance(value, Moment):
        return [value.text, value.at.date().isoformat()]
    return [value.isoformat()] if isinstance(value, dt.date) else []


def _computed(kind: Any, value: Any) -> Any:
    """What was computed, as JSON has it."""
    return TypeAdapter(kind).dump_python(value, mode="json")


def _plain(value: Any) -> Any:
    """A value as JSON has it."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, BaseModel) or is_dataclass(value) or isinstance(value, tuple | dict | list):
        return json.loads(TypeAdapter(Any).dump_json(value))
    text = getattr(value, "text", None)
    if isinstance(text, str):
        return text
    return value if isinstance(value, str | int | float | bool) else str(value)
