"""Floor 6: writes records into case files, so that nothing else in them changes and nothing is ever half-written."""

from asfound.desk.csv_append import Appended, append_rows
from asfound.desk.refused import Refused
from asfound.desk.write import TEMPORARY, alone, copy_file, digest_of, real_folder, replace_file
from asfound.desk.yaml_insert import Inserted, insert_records

__all__ = [
    "TEMPORARY",
    "Appended",
    "Inserted",
    "Refused",
    "alone",
    "append_rows",
    "copy_file",
    "digest_of",
    "insert_records",
    "real_folder",
    "replace_file",
]
