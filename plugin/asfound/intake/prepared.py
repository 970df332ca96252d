"""Sheets that lie ready before the first reading: what is not known yet is asked for with the first value."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from msgspec import Struct, field

from asfound.intake.readings import SheetRows
from asfound.intake.records import read_record, say
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
        if all(data.get(name) is not None for name in _late(kind)):
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
            problems += _together(read_record(kind.model, document, (key,), key)[1], key, _late(kind))
        return problems, broken


def _late(kind: Keyed) -> list[str]:
    """The fields that a sheet of readings needs and one that lies ready does not."""
    assert kind.early is not None
    return [
        info.alias or name
        for name, info in kind.model.model_fields.items()
        if info.is_required() and not kind.early.model_fields[name].is_required()
    ]


def _together(problems: Sequence[Problem], key: str, late: Collection[str]) -> list[Problem]:
    """What the first value asks for and is not there is one thing that is missing, told once."""
    lacking = [one for one in problems if one.rule == "field-missing" and one.about in late]
    if len(lacking) < 2:
        return list(problems)
    names = sorted((one.about for one in lacking), key=list(late).index)
    said = [f"“{name}”" for name in names]
    whole = f"{', '.join(said[:-1])} and {said[-1]}"
    told = say(
        "field-missing",
        lacking[0].span,
        f"values stand on the sheet {key}, and its entry lacks {whole}",
        "how they were taken is needed with the first value",
        f"Add to the entry {key}, as it was at the bench: "
        + ", ".join(f"“{name}: …”" for name in names)
        + ". What nobody noted is not to be guessed; a sheet without it is no evidence.",
        subject=key,
        about="first value",
    )
    return [one for one in problems if one not in lacking] + [told]
