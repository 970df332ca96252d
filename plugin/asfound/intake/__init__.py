"""Floor 5: files to text with places, and text to records. Reads; writes nothing; refuses with a place and a cure."""

from asfound.intake.bench import BenchReading, read_bench
from asfound.intake.camera import Written, read_camera
from asfound.intake.case import CaseReading, read_case
from asfound.intake.case_series import read_case_series
from asfound.intake.csv_rows import CsvTable, read_csv
from asfound.intake.file_facts import file_fact
from asfound.intake.files import CaseFile, CaseFiles, FileBytes, bound, media_words, read_bytes, sniff, walk_case
from asfound.intake.logs import ENTRIES as LOG_ENTRIES
from asfound.intake.readings import SheetRows, read_readings
from asfound.intake.record_entries import ENTRIES as RECORD_ENTRIES
from asfound.intake.records import Partial, read_partial, read_record
from asfound.intake.rows import read_custody, read_inspection, read_timeline
from asfound.intake.series import read_series
from asfound.intake.series_parts import ENTRIES as SERIES_ENTRIES
from asfound.intake.series_parts import Series, Window
from asfound.intake.series_spill import Spilled
from asfound.intake.versions import SETTINGS, Stand, holds_records, of_bench, read_version
from asfound.intake.words import ENTRIES as TEXT_ENTRIES
from asfound.intake.words import refuse, shown, suggest
from asfound.intake.yaml_nodes import YamlDocument, read_yaml
from asfound.intake.zones import zone_of

ENTRIES = (*TEXT_ENTRIES, *RECORD_ENTRIES, *SERIES_ENTRIES, *LOG_ENTRIES)
"""Every rule that reading can answer with."""

__all__ = [
    "ENTRIES",
    "SETTINGS",
    "BenchReading",
    "CaseFile",
    "CaseFiles",
    "CaseReading",
    "CsvTable",
    "FileBytes",
    "Partial",
    "Series",
    "SheetRows",
    "Spilled",
    "Stand",
    "Window",
    "Written",
    "YamlDocument",
    "bound",
    "file_fact",
    "holds_records",
    "media_words",
    "of_bench",
    "read_bench",
    "read_bytes",
    "read_camera",
    "read_case",
    "read_case_series",
    "read_csv",
    "read_custody",
    "read_inspection",
    "read_partial",
    "read_readings",
    "read_record",
    "read_series",
    "read_timeline",
    "read_version",
    "read_yaml",
    "refuse",
    "shown",
    "sniff",
    "suggest",
    "walk_case",
    "zone_of",
]
