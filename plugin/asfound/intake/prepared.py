"""Sheets that lie ready before the first reading: what is not known yet is asked for with the first value."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from asfound.intake.readings import SheetRows
from asfound.intake.records import read_record
from asfound.intake.yaml_nodes import YamlDocument
from asfound.model.layout import Keyed
from asfound.model.work import PreparedSheet
from asfound.problems import Problem


class Prepared(Struct):
    """Records of sheets.yml that lack what is known only once somebody measures.

    records  by id; those on whose rows values stand are taken out again by `begun`
    """

    records: dict[str, PreparedSheet] = field(default_factory=dict)
    _from: dict[str, tuple[Keyed, YamlDocument]] = field(default_factory=dict)

    def take(self, kind: Keyed, document: YamlDocument, key: str) -> tuple[Problem, ...] | None:
        """Read a record as an early one, where its kind has such and it lacks something; its problems. Else None."""
        data = document.data.get(key) if isinstance(document.data, dict) else None
        if kind.early is None or not isinstance(data, dict):
            return None
        late = [
            info.alias or name
            for name, info in kind.model.model_fields.items()
            if info.is_required() and not kind.early.model_fields[name].is_required()
        ]
        if all(data.get(name) is not None for name in late):
            return None
        record, problems = read_record(kind.early, document, (key,), key)
        if isinstance(record, PreparedSheet):
            self.records[key] = record
            self._from[key] = kind, document
        return problems

    def begun(self, readings: Mapping[str, SheetRows]) -> tuple[list[Problem], list[str]]:
        """What is now missing of the sheets on which a value stands: they are prepared no longer, and broken."""
        problems: list[Problem] = []
        broken: list[str] = []
        begun = {
            rows.sheet.sheet
            for rows in readings.values()
            if rows.sheet is not None and (rows.sheet.rows or rows.broken)
        }
        for key in [key for key in self.records if key in begun]:
            kind, document = self._from[key]
            del self.records[key]
            broken.append(key)
            problems += read_record(kind.model, document, (key,), key)[1]
        return problems, broken
