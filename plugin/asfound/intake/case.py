"""A case folder to a case: every file read, every record built, every fault told in one run.

A record that cannot be read is left out and its id kept in `Case.broken`, so that what cites it is not blamed too.
Where a file that is one record (`plan.yml`) cannot be read at all, its own name stands there; where a file may not be
read (a link, a pointer to a file that is not there), its path does.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path as Folder
from typing import Any

from msgspec import Struct, field

from asfound.intake.bench import BenchReading
from asfound.intake.case_names import not_an_id, readings_name, unexpected, wrong_letter
from asfound.intake.csv_rows import CsvTable, read_csv
from asfound.intake.file_facts import LARGE, canonical_fact, facts_ahead
from asfound.intake.files import CaseFiles, read_bytes, walk_case
from asfound.intake.logs import read_logs
from asfound.intake.prepared import Prepared
from asfound.intake.readings import SheetRows, read_readings
from asfound.intake.records import places, read_partial, read_record, say, stands
from asfound.intake.row_places import RowPlaces
from asfound.intake.rows import Rows, is_id, read_custody, read_inspection, read_timeline
from asfound.intake.words import crop, refuse, suggest
from asfound.intake.yaml_nodes import YamlDocument, read_yaml
from asfound.model.base import Record
from asfound.model.case import Case, FileFact, Path, Places
from asfound.model.event import CaseHead
from asfound.model.layout import KEYED, SINGLE, TABLES, Keyed, Single, kept_raw, part_of_case
from asfound.model.pause import without_collecting
from asfound.model.work import Gates
from asfound.problems import Level, Problem, Span

# Without these nobody knows which case it is, or which rules it must be asked.
_HEAD = frozenset(("case", "title", "event", "harmed", "stage"))


class CaseReading(Struct, frozen=True):
    """A case folder, read.

    case      None where case.yml is missing or does not say which case it is
    folder    where it lies, from the root
    places    where every record and field stands, the organisation's instruments with them
    problems  everything wrong with the files of this case, sorted
    """

    case: Case | None
    places: Places
    problems: tuple[Problem, ...]
    folder: str = ""


def read_case(root: Folder, folder: Folder, bench: BenchReading, known: Mapping[str, str] | None = None) -> CaseReading:
    """Read one case folder of a repository. Raises for nothing that people wrote; reads nothing outside the folder.

    `known` are digests of files whose bytes count as they are, by path, where they were taken a moment ago.
    """
    with without_collecting():
        return _Reader(root, walk_case(root, folder), bench, known or {}).read()


class _Reader(Struct):
    """One case while it is read."""

    root: Folder
    walked: CaseFiles
    bench: BenchReading
    known: Mapping[str, str]
    problems: list[Problem] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    facts: dict[str, FileFact] = field(default_factory=dict)
    files: dict[str, Mapping[Path, tuple[int, int]]] = field(default_factory=dict)
    refs: dict[str, tuple[str, Path]] = field(default_factory=dict)
    rows: RowPlaces = field(default_factory=RowPlaces)
    prepared: Prepared = field(default_factory=Prepared)
    _ahead: dict[str, FileFact | OSError] = field(default_factory=dict)

    def read(self) -> CaseReading:
        self.problems += self.walked.problems
        self.broken += self._refused()
        self.files.update(self.bench.places)
        self.refs.update(self.bench.refs)
        singles: dict[str, Record | None] = {}
        keyed: dict[str, dict[str, Any]] = {}
        tables: dict[str, CsvTable] = {}
        own = [file for file in self.walked.files if part_of_case(file.path)]
        large = [file.path for file in own if file.size >= LARGE and kept_raw(file.path)]
        self._ahead = facts_ahead({path: self._place(self.walked.at(path)) for path in large}, self.known)
        for file in own:
            path = file.path
            data = self._take(path)
            if data is None:
                continue
            if path in SINGLE:
                singles[path] = self._single(path, data, SINGLE[path])
            elif path in KEYED:
                keyed[path] = self._keyed(path, data, KEYED[path])
            else:
                tables[path] = read_csv(self.walked.at(path), data)
        custody = self._table(tables, "custody.csv", read_custody)
        inspection = self._table(tables, "inspection.csv", read_inspection)
        timeline = self._table(tables, "timeline.csv", read_timeline)
        readings = self._readings(tables, keyed.get("sheets.yml", {}) | self.prepared.records)
        problems, broken = self.prepared.begun(readings)
        self.problems += problems
        self.broken += broken
        case = self._case(singles, keyed, custody, inspection, timeline, readings)
        found = Places(self.files, self.refs, self.rows)
        return CaseReading(
            case,
            found,
            tuple(sorted(dict.fromkeys(self.problems), key=lambda problem: problem.key)),
            self.walked.folder,
        )

    def _case(
        self,
        singles: dict[str, Any],
        keyed: dict[str, dict[str, Any]],
        custody: Rows[Any],
        inspection: Rows[Any],
        timeline: Rows[Any],
        readings: dict[str, SheetRows],
    ) -> Case | None:
        head = singles.get("case.yml")
        if not isinstance(head, CaseHead):
            self._no_head("case.yml" in self.facts)
            return None
        home, evidence = self._place(self.walked.folder), keyed.get("evidence.yml", {})
        logs, problems = read_logs(home, self.walked.folder, evidence, timeline.rows, self.facts)
        self.problems += problems
        return Case(
            folder=self.walked.folder,
            head=head,
            injury=singles.get("injury.yml"),
            items=keyed.get("items.yml", {}),
            custody=tuple(custody.rows),
            scene=singles.get("scene.yml"),
            room=keyed.get("room.yml", {}),
            service=keyed.get("service.yml", {}),
            inspection=tuple(inspection.rows),
            gates=singles.get("gates.yml") or Gates(),
            plan=singles.get("plan.yml"),
            sheets=keyed.get("sheets.yml", {}),
            readings={rows.sheet.sheet: rows.sheet for rows in readings.values() if rows.sheet is not None},
            evidence=evidence,
            statements=keyed.get("statements.yml", {}),
            clocks=keyed.get("clocks.yml", {}),
            timeline=tuple(timeline.rows),
            findings=keyed.get("findings.yml", {}),
            explanations=keyed.get("explanations.yml", {}),
            conclusion=singles.get("conclusion.yml"),
            exceptions=keyed.get("exceptions.yml", {}),
            duties=keyed.get("duties.yml", {}),
            notices=keyed.get("notices.yml", {}),
            files=self.facts,
            calculations=keyed.get("calculations.yml", {}),
            broken=tuple(sorted(set(self.broken))),
            logs=logs,
            prepared=self.prepared.records,
        )

    def _no_head(self, stands_there: bool) -> None:
        path = self.walked.at("case.yml")
        walked = {problem.rule for problem in self.walked.problems}
        if not stands_there and not walked & {"case-folder-missing", "file-outside"} and "case.yml" not in self.broken:
            self.problems.append(
                say("file-missing", Span(path), "there is no case.yml", "the head of the case is needed")
            )
        self.problems.append(
            say(
                "case-unreadable",
                Span(path),
                "the rules could not be asked, since this does not say which case it is",
                "case, title, event, harmed and stage that can be read are needed",
            )
        )

    # Files

    def _refused(self) -> list[str]:
        """Paths of files that stand there and may not be read."""
        prefix = f"{self.walked.folder}/" if self.walked.folder else ""
        paths = {problem.span.path for problem in self.walked.problems if problem.level is Level.REJECT}
        return [path.removeprefix(prefix) for path in sorted(paths) if path.startswith(prefix) and path != prefix]

    def _take(self, path: str) -> bytes | None:
        """Note the facts of a file; its bytes where it is one that is read, else None."""
        full = self.walked.at(path)
        known = path in SINGLE or path in KEYED or path in TABLES or readings_name(path) is not None
        if not known and not path.startswith("evidence/"):
            self.problems += unexpected(self.walked, path)
        if kept_raw(path):
            fact = (
                self._ahead[path] if path in self._ahead else facts_ahead({path: self._place(full)}, self.known)[path]
            )
            if isinstance(fact, OSError):
                self.problems.append(_gone(full, fact))
                self.broken.append(path)
            else:
                self.facts[path] = fact
            return None
        taken = read_bytes(self.root, full)
        self.problems += taken.problems
        if taken.data is None:
            self.broken.append(path)
            return None
        self.facts[path] = canonical_fact(path, taken.data)
        return taken.data if known else None

    def _place(self, full: str) -> Folder:
        return self.root.joinpath(*full.split("/"))

    # YAML

    def _document(self, path: str, data: bytes) -> YamlDocument:
        document = read_yaml(self.walked.at(path), data)
        self.problems += document.problems
        self.files[document.path] = places(document)
        return document

    def _single(self, path: str, data: bytes, kind: Single) -> Record | None:
        document = self._document(path, data)
        if not document.readable:
            self.broken.append(path)
            return None
        empty = document.data is None
        if empty and path != "case.yml":
            return None
        partial = read_partial(kind.model, document, _HEAD if path == "case.yml" else frozenset())
        self.problems += partial.problems
        record = partial.record
        for name, letter in kind.nested:
            record = self._nested(document, name, letter, record, partial.dropped)
        if record is None:
            self.broken.append(path)
        return record

    def _nested(
        self, document: YamlDocument, name: str, letter: str, record: Record | None, dropped: tuple[Path, ...]
    ) -> Record | None:
        """Register the records of a mapping within a file; those whose id has a wrong letter are taken out again."""
        typed = document.data.get(name) if isinstance(document.data, dict) else None
        if not isinstance(typed, dict):
            return record
        out = {path[1] for path in dropped if len(path) == 2 and path[0] == name}
        whole = record is None or (name,) in dropped
        wrong = set()
        for key in typed:
            ref = f"P-{key}" if letter == "P" else key
            if letter and letter != "P" and is_id(key) and key[0] != letter:
                self.problems.append(wrong_letter(document, (name, key), key, letter))
                wrong.add(key)
            elif letter:
                self._register(document, (name, key), ref)
            if whole or key in out or key in wrong:
                self.broken.append(ref)
        if record is None or not wrong:
            return record
        kept = {key: value for key, value in getattr(record, name).items() if key not in wrong}
        return record.model_copy(update={name: kept})

    def _keyed(self, path: str, data: bytes, kind: Keyed) -> dict[str, Record]:
        document = self._document(path, data)
        records: dict[str, Record] = {}
        if not document.readable:
            self.broken.append(path)
        if document.data is None:
            return records
        if not isinstance(document.data, dict):
            example = f"Write each under its id: {kind.letter}-1, a colon, and its fields below, two spaces further in."
            span = Span(document.path, *document.place(()))
            self.problems.append(
                say("shape-wrong", span, stands(document.data), "records under their ids are needed", example)
            )
            self.broken.append(path)
            return records
        for key in document.data:
            if key == "$schema":
                continue
            if not is_id(key):
                self.problems.append(not_an_id(document, key, kind.letter))
                continue
            if key[0] != kind.letter:
                self.problems.append(wrong_letter(document, (key,), key, kind.letter))
                self.broken.append(key)
                continue
            early = self.prepared.take(kind, document, key)
            if early is not None:
                self.problems += early
                self._register(document, (key,), key)
                if key not in self.prepared.records:
                    self.broken.append(key)
                continue
            record, problems = read_record(kind.model, document, (key,), key)
            self.problems += problems
            self._register(document, (key,), key)
            if record is None:
                self.broken.append(key)
            else:
                records[key] = record
        return records

    def _register(self, document: YamlDocument, path: Path, ref: str) -> None:
        self.refs[ref] = (document.path, path)

    # Tables

    def _table(self, tables: dict[str, CsvTable], path: str, read: Any) -> Rows[Any]:
        table = tables.get(path)
        if table is None:
            return Rows()
        rows: Rows[Any] = read(table)
        self.problems += table.problems
        self.problems += rows.problems
        self.broken += rows.broken
        if not table.readable or table.lost:
            self.broken.append(path)
        self.rows.add(table.path, rows.lines)
        return rows

    def _readings(self, tables: dict[str, CsvTable], sheets: dict[str, Any]) -> dict[str, SheetRows]:
        found: dict[str, SheetRows] = {}
        for path, table in tables.items():
            name = readings_name(path)
            if name is None:
                continue
            rows = read_readings(table, name)
            self.problems += table.problems
            self.problems += rows.problems
            self.broken += rows.broken
            if rows.sheet is None or table.lost:
                self.broken.append(path)
            sheet = f"S-{name}"
            unread = sheet in self.broken or "sheets.yml" in self.broken
            if sheet not in sheets and not unread:
                meant = suggest(sheet, sheets)
                needed = f"a sheet {sheet} in sheets.yml is needed" + (f" ({meant} is perhaps meant)" if meant else "")
                self.problems.append(
                    say("sheet-missing", Span(table.path), "these readings belong to no sheet", needed)
                )
            self._across(rows, table.path)
            self.rows.add(table.path, rows.lines)
            found[path] = rows
        return found

    def _across(self, rows: SheetRows, path: str) -> None:
        """Ids that stand in another file too: `out` row `a-1` and `out-a` row `1` are both R-out-a-1."""
        for ref in rows.lines:
            other = self.rows.get(ref)
            if other is not None:
                found = f"the id {crop(ref)} stands in {other} already"
                span = Span(path, rows.lines[ref])
                needed = "an id that stands once is needed"
                self.problems.append(say("duplicate-id", span, found, needed, subject=ref, related=[other]))


def _gone(path: str, error: OSError) -> Problem:
    why = (error.strerror or "the system refused").lower()
    return refuse("file-unreadable", path, (0, 0), f"it cannot be read ({why})", "a file that can be read is needed")
