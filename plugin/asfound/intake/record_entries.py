"""What the record builders refuse: one catalogue entry a rule.

All are of the integrity family and weigh the same at every stage. A field that is missing makes its record unreadable
in an open case too: a record nobody can read is a slip of the pen and no gap in the case; it is mended.
"""

from __future__ import annotations

from asfound.intake.reader_entry import PRACTICE, reader_entry
from asfound.problems import Entry, Level

_OURS = "ours: the format of a case, version 1"

_FIELDS = (
    reader_entry(
        "field-missing",
        "A record has every field it cannot be read without.",
        "Without it nobody can say what the record means, so it cannot be read at all, even in an open case.",
        _OURS,
        "Add the field; where the answer is not known, the fields that allow it take a reason instead.",
    ),
    reader_entry(
        "field-unknown",
        "A record has no fields but those that its kind has.",
        "A misspelt field would be passed over, and what was written in it would never be read.",
        _OURS,
        "Correct the name, or move the words into a note.",
    ),
    reader_entry(
        "shape-wrong",
        "A list stands where a list is needed, a mapping where a mapping, a text where a text.",
        "What stands in another shape would have to be guessed at.",
        "YAML 1.2.2, section 3.2.1.1",
        "Write it in the shape that is needed.",
    ),
    reader_entry(
        "word-unknown",
        "A field with a closed list of words holds one of them.",
        "Rules go by these words; another word would be passed over by all of them.",
        _OURS,
        "Use one of the words, and put what it does not say into a note.",
    ),
    reader_entry(
        "word-malformed",
        "A key is written in small letters, digits and hyphens.",
        "Keys become addresses of pages and names in the history, where other signs do not travel.",
        _OURS,
        "Write it in small letters and digits, with hyphens between words.",
    ),
    reader_entry(
        "reason-not-single",
        "What is not known has exactly one reason.",
        "“Not recorded” and “not accessible” say different things; a blank without a reason says nothing.",
        _OURS,
        "Give one of not_recorded, not_applicable, not_accessible, not_known, and say why after the colon.",
    ),
)

_IDS = (
    reader_entry(
        "id-malformed",
        "An id is a capital, a hyphen, then small letters and digits.",
        "Ids are cited in the report for years and are also the addresses of their records.",
        _OURS,
        "Write it as in I-3 or E-label-front.",
    ),
    reader_entry(
        "id-letter-wrong",
        "The letter of an id says in which file its record stands.",
        "Whoever reads an id in the report must know where to look.",
        _OURS,
        "Give the record an id with the letter of its file, and change whatever cites it.",
    ),
    reader_entry(
        "duplicate-id",
        "An id stands once in a case.",
        "Two records of one id cannot be told apart by anything that cites them.",
        PRACTICE,
        "Give one of the two another id.",
    ),
)

_VALUES = (
    reader_entry(
        "value-blank",
        "A field that needs words has words.",
        "A blank does not say whether nobody looked, or looked and found nothing.",
        PRACTICE,
        "Write it, or say why it is not known.",
    ),
    reader_entry(
        "not-yes-or-no",
        "A yes-or-no question is answered yes or no.",
        "Another word would be taken for yes by one reader and for no by the next.",
        _OURS,
        "Write yes or no.",
    ),
    reader_entry(
        "time-unreadable",
        "A time is written as year-month-day, hours and minutes, offset from UTC.",
        "03/04 is March in one country and April in another.",
        "RFC 3339, section 5.6 (with a space allowed for the T)",
        "Write it as 2026-03-09 15:12 -05:00.",
    ),
    reader_entry(
        "time-without-zone",
        "Every time carries its offset from UTC.",
        "The order of two events on clocks of different zones cannot be told without it.",
        "RFC 3339, section 4.4",
        "Add the offset after the time, as in 2026-03-09 15:12 -05:00.",
        rows=("R93",),
    ),
    reader_entry(
        "date-unreadable",
        "A date is written as year-month-day and exists.",
        "03/04 is March in one country and April in another.",
        "RFC 3339, section 5.6",
        "Write it as 2026-03-09.",
    ),
    reader_entry(
        "amount-unreadable",
        "An amount is a number and its unit.",
        "Words such as “about 90” carry neither.",
        "SI Brochure, 9th edition, section 5.4.3",
        "Write it as in 90 W.",
    ),
    reader_entry(
        "amount-without-unit",
        "An amount carries its unit.",
        "A missing unit is a question to the person who wrote it, never a guess.",
        "SI Brochure, 9th edition, section 5.4.3",
        "Write the unit after the number, with a space between, as in 90 W.",
    ),
    reader_entry(
        "duration-unreadable",
        "A length of time is written with its units.",
        "“5:30” is minutes to one reader and hours to another.",
        _OURS,
        "Write it as in 40 min or -6 min 20 s.",
    ),
    reader_entry(
        "value-not-a-number",
        "A field that needs a number holds a number.",
        "Rules and arithmetic go by it.",
        _OURS,
        "Write a decimal number with a point, such as 0.25.",
    ),
    reader_entry(
        "value-unreadable",
        "A cell of readings holds a value of the grammar.",
        "A reading is evidence: it is kept as typed and never repaired, so what it means must be plain.",
        _OURS,
        "Look at the worksheet and write the value as it was shown.",
    ),
)

_TABLES = (
    reader_entry(
        "column-missing",
        "A table has every column it cannot be read without.",
        "Without it the rows do not say what happened to what.",
        _OURS,
        "Add the column, with its name in the first line.",
    ),
    reader_entry(
        "column-unknown",
        "A table has no columns but those that its kind has.",
        "What stands under a misspelt name would never be read.",
        _OURS,
        "Correct the name, or move the words into the column “note”.",
    ),
    reader_entry(
        "unit-twice",
        "The unit of a column of values stands in one place.",
        "With two units it is not known which of them a reading was taken in.",
        _OURS,
        "Keep the unit in the header, or keep the column “unit”, not both.",
    ),
    reader_entry(
        "sheet-missing",
        "A file of readings belongs to a sheet.",
        "Readings without instrument, item, time and person prove nothing.",
        _OURS,
        "Describe the sheet in sheets.yml, or name the file after the sheet it belongs to.",
    ),
)

_FILES = (
    reader_entry(
        "file-missing",
        "A case has a file case.yml.",
        "Without it nobody knows which case this is.",
        _OURS,
        "Add case.yml with case, title, event and harmed.",
    ),
    reader_entry(
        "file-unexpected",
        "A case folder holds the files of a case.",
        "A file under a wrong name is never read, and what it says would be missing from the report.",
        _OURS,
        "Name the file as the format asks, move it below evidence/ and register it, or take it out.",
        level=Level.WARN,
    ),
    reader_entry(
        "case-unreadable",
        "Name, title, stage, event and harm of a case can be read.",
        "Which rules are asked, and how strictly, depends on them; nothing that was not asked counts as passed.",
        _OURS,
        "Mend what is wrong in case.yml first, then check again.",
    ),
)

ENTRIES: tuple[Entry, ...] = (*_FIELDS, *_IDS, *_VALUES, *_TABLES, *_FILES)
BY_NAME = {entry.name: entry for entry in ENTRIES}
