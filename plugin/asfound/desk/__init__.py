"""Floor 6: writes records into case files, so that nothing else in them changes and nothing is ever half-written."""

from asfound.desk.csv_append import Appended, append_rows
from asfound.desk.csv_fill import Differs, Filled, add_column, fill_cells
from asfound.desk.evidence import (
    ClockPhoto,
    Desk,
    Elsewhere,
    EvidencePlan,
    Wanted,
    open_desk,
    write_evidence,
)
from asfound.desk.evidence_plan import plan_evidence
from asfound.desk.lay_sheets import Laid, lay_sheets, new_lines
from asfound.desk.new_case import Answers, InUse, identity, new_case
from asfound.desk.one_record import OneRecord, When, plan_custody, plan_gate, when, write_one
from asfound.desk.plan_tests import (
    ABSENT,
    Proposed,
    beyond,
    main_device,
    propose,
    protocols_for,
    sets_for,
    tests_of,
)
from asfound.desk.refused import Refused
from asfound.desk.source import Source, look
from asfound.desk.write import TEMPORARY, alone, copy_file, digest_of, read_whole, real_folder, replace_file
from asfound.desk.yaml_insert import Inserted, insert_records

__all__ = [
    "ABSENT",
    "TEMPORARY",
    "Answers",
    "Appended",
    "ClockPhoto",
    "Desk",
    "Differs",
    "Elsewhere",
    "EvidencePlan",
    "Filled",
    "InUse",
    "Inserted",
    "Laid",
    "OneRecord",
    "Proposed",
    "Refused",
    "Source",
    "Wanted",
    "When",
    "add_column",
    "alone",
    "append_rows",
    "beyond",
    "copy_file",
    "digest_of",
    "fill_cells",
    "identity",
    "insert_records",
    "lay_sheets",
    "look",
    "main_device",
    "new_case",
    "new_lines",
    "open_desk",
    "plan_custody",
    "plan_evidence",
    "plan_gate",
    "propose",
    "protocols_for",
    "read_whole",
    "real_folder",
    "replace_file",
    "sets_for",
    "tests_of",
    "when",
    "write_evidence",
    "write_one",
]
