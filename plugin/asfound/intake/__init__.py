"""Floor 5: files to text with places. Reads; writes nothing; refuses with a place and a cure."""

from asfound.intake.csv_rows import CsvTable, read_csv
from asfound.intake.files import CaseFile, CaseFiles, FileBytes, bound, media_words, read_bytes, sniff, walk_case
from asfound.intake.words import ENTRIES, refuse, shown, suggest
from asfound.intake.yaml_nodes import YamlDocument, read_yaml

__all__ = [
    "ENTRIES",
    "CaseFile",
    "CaseFiles",
    "CsvTable",
    "FileBytes",
    "YamlDocument",
    "bound",
    "media_words",
    "read_bytes",
    "read_csv",
    "read_yaml",
    "refuse",
    "shown",
    "sniff",
    "suggest",
    "walk_case",
]
