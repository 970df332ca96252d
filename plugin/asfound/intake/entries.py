"""What the readers refuse: one catalogue entry a rule, apart from the places where it occurs."""

from __future__ import annotations

from asfound.problems import Entry, Family, Level

_YAML = "YAML 1.2.2"
_RFC = "RFC 4180"
_CWE = "CWE-1236"
_PRACTICE = "common practice, no source"


def _entry(
    name: str, title: str, reason: str, source: str, mend: str, *, level: Level = Level.REJECT, liftable: bool = False
) -> Entry:
    """An integrity entry. A file that cannot be read with certainty is not lifted by an exception: it is mended."""
    status = {_PRACTICE: "common practice", "ours": "ours"}.get(source, "from memory")
    return Entry(
        name=name,
        family=Family.INTEGRITY,
        level=level,
        title=title,
        reason=reason,
        source=source,
        status=status,
        mend=mend,
        liftable=liftable,
    )


_TEXT = (
    _entry(
        "text-not-utf8",
        "Text is saved as UTF-8.",
        "A byte that can be read in two ways turns a micro sign into another letter, and so one reading into another.",
        f"RFC 3629; {_YAML}, section 5.2",
        "Save it again with the encoding UTF-8; a table is explained and mended by copy with asfound normalise FILE.",
    ),
    _entry(
        "text-utf16",
        "Text is saved as UTF-8, not as UTF-16 or UTF-32.",
        "Version control sees such a file as binary, so that no change in it can be reviewed line by line.",
        "RFC 3629; RFC 2781",
        "Save the file again and choose UTF-8; a table is mended by copy with asfound normalise FILE.",
    ),
    _entry(
        "conflict-left",
        "No conflict of git's is left in a file.",
        "What two people wrote on the same lines stands there twice, and neither of them has said which holds.",
        "git-merge(1), “How conflicts are presented”",
        "Put both sides together, take the lines of marks out; of two rows of one number the later gets the next.",
    ),
    _entry(
        "text-binary",
        "A YAML or CSV file holds text.",
        "A workbook, picture or archive renamed to .csv or .yml cannot be reviewed or compared.",
        _PRACTICE,
        "Export the table as “CSV UTF-8 (comma separated)”, one sheet a file; keep the original among the evidence.",
    ),
    _entry(
        "text-control-character",
        "Text holds no control characters.",
        "They cannot be seen, they act on terminals, and some end a line in one program and not in another.",
        f"{_YAML}, section 5.1; {_RFC}, section 2",
        "Delete the character at this place, or retype the line; for line ends of a table: asfound normalise FILE.",
    ),
    _entry(
        "text-bidirectional",
        "Text holds no characters that reverse the direction of reading.",
        "With them a line can read differently from what it says, to a reviewer and to a court.",
        "Unicode Standard Annex 9; CVE-2021-42574",
        "Delete the character at this place, or retype the line; letters of right-to-left scripts need none.",
    ),
    _entry(
        "text-invisible-character",
        "Text holds no characters of no width.",
        "Two serial numbers that look alike would differ, and a search would miss one of them.",
        "Unicode Technical Report 36",
        "Delete the character at this place; it often comes along with text copied from a page or a PDF.",
    ),
    _entry(
        "text-lost-character",
        "No character was lost before the file came here.",
        "The sign U+FFFD marks a place where a program could not read a character and threw it away.",
        "Unicode Standard, section 23.8",
        "Look at the original and type the character that belongs here.",
        level=Level.WARN,
    ),
    _entry(
        "file-too-large",
        "A file stays within the size its kind may have.",
        "A larger one cannot be reviewed, and code hosts refuse files above 100 MiB.",
        "ours",
        "Split it, or keep it elsewhere and record its SHA-256, keeper and place among the evidence.",
    ),
    _entry(
        "file-lfs-pointer",
        "The file itself is here, not a text that stands for it.",
        "A digest, a picture or a table made from the stand-in would be about the wrong bytes.",
        "Git LFS specification",
        "Fetch the file with “git lfs pull” (in a workflow: check out with LFS), or keep it elsewhere by its digest.",
    ),
)

_YAML_ENTRIES = (
    _entry(
        "yaml-syntax",
        "The file can be read as YAML.",
        "What cannot be read with certainty cannot be evidence.",
        _YAML,
        "Look at this line and the one above it: a missing quote, colon or bracket, or a changed indent.",
    ),
    _entry(
        "yaml-tab-indentation",
        "Lines are indented with spaces.",
        "A tab is as wide as each program pleases, so that what belongs to what would depend on the reader.",
        f"{_YAML}, section 6.1",
        "Replace the tab by spaces, as many as the lines beside it have.",
    ),
    _entry(
        "yaml-duplicate-key",
        "A name stands once in a mapping.",
        "Most programs keep the last value silently, and the first statement would vanish without a trace.",
        f"{_YAML}, section 3.2.1.3",
        "Keep one of the two, or give the second record an id of its own.",
    ),
    _entry(
        "yaml-anchor-or-alias",
        "Every value is written where it is used.",
        "A value repeated by reference changes in places that a reviewer does not see.",
        f"{_YAML}, section 3.2.2.2",
        "Write the value out here; text that begins with & or * needs quotes.",
    ),
    _entry(
        "yaml-tag",
        "No value carries a type tag.",
        "A tag changes what a value is; here every value is kept as typed and read by the field it stands in.",
        f"{_YAML}, section 3.2.1.2",
        "Remove the tag; text that begins with ! needs quotes.",
    ),
    _entry(
        "yaml-key-not-text",
        "A name in a mapping is a text.",
        "Records are found by their ids, and a list, a mapping or nothing cannot be an id.",
        f"{_YAML}, section 3.2.1.1",
        "Write a short name before the colon.",
    ),
    _entry(
        "yaml-merge-key",
        "No mapping is merged into another.",
        "A merged value stands in none of the places where it counts.",
        "YAML merge key type, working draft 2005; no part of YAML 1.2.2",
        "Write the values out in each record.",
    ),
    _entry(
        "yaml-several-documents",
        "A file holds one document.",
        "A second document after “---” or “...” would be passed over by a reader that expects one.",
        f"{_YAML}, section 9.2",
        "Put the second document into a file of its own, or remove the line that divides them.",
    ),
    _entry(
        "yaml-too-deep",
        "Nesting stays within 32 levels.",
        "No record needs more; files made to exhaust a reader do.",
        "ours",
        "Flatten this part.",
    ),
    _entry(
        "yaml-too-many-values",
        "A file holds at most 200 000 values.",
        "No set of findings needs more; tables of readings belong in CSV.",
        "ours",
        "Move tables into CSV files, or split the file.",
    ),
)

_CSV_ENTRIES = (
    _entry(
        "csv-no-header",
        "The first line of a table names its columns.",
        "A value without a name and a unit is not a reading.",
        f"{_RFC}, section 2, rule 3",
        "Write the names of the columns on the first line, separated by commas.",
    ),
    _entry(
        "csv-unclosed-quote",
        "A quote that opens a cell is closed.",
        "Otherwise the rows after it are swallowed by one cell, and no one sees that they are missing.",
        f"{_RFC}, section 2, rules 5 and 6",
        'Close the quote at the end of the cell; a quote inside a quoted cell is doubled ("").',
    ),
    _entry(
        "csv-text-after-quote",
        "Nothing stands between a closing quote and the next comma.",
        "Programs disagree on what such a cell says.",
        f"{_RFC}, section 2, rules 5 and 7",
        'Put the whole cell into quotes and double each quote inside it ("").',
    ),
    _entry(
        "csv-stray-quote",
        "A quote stands only around a cell, or doubled inside a quoted one.",
        "Programs disagree on what such a cell says.",
        f"{_RFC}, section 2, rule 5",
        'Put the whole cell into quotes and double each quote inside it (""), or write “in” for inches.',
    ),
    _entry(
        "csv-swallowed-rows",
        "A cell of several lines is a note, not rows of the table.",
        "Two quotes left open, one far below the other, make one cell of all the rows between them.",
        "ours",
        "If these lines are rows, look for the quote that was left open; if they are a note, nothing is needed.",
        level=Level.WARN,
    ),
    _entry(
        "csv-ragged-row",
        "Every row has as many cells as the header.",
        "A missing or extra comma shifts every value after it under the wrong name and unit.",
        f"{_RFC}, section 2, rule 4",
        "Compare the row with the header; a cell that holds a comma needs quotes, an empty cell keeps its comma.",
    ),
    _entry(
        "csv-header-empty",
        "Every column has a name.",
        "A value without a name is not a reading.",
        f"{_RFC}, section 2, rule 3",
        "Name the column, or delete it.",
    ),
    _entry(
        "csv-header-duplicate",
        "A column name stands once.",
        "Of two columns with one name a program keeps one and drops the other silently.",
        _PRACTICE,
        "Give each column a name of its own.",
    ),
    _entry(
        "csv-header-spaces",
        "Column names have no spaces around them.",
        "Spaces belong to the cell, so that a name with one is another name that looks the same.",
        f"{_RFC}, section 2, rule 4",
        "Delete the spaces before and after the name.",
    ),
    _entry(
        "csv-delimiter",
        "Cells are separated by commas, and decimals are written with a point.",
        "Where the comma is the decimal sign, spreadsheets save semicolons; a guess would turn 1,5 into 15.",
        f"{_RFC}, section 2, rule 4",
        "Run asfound normalise FILE, which says what stands where and mends it by copy; compare a few values.",
    ),
    _entry(
        "csv-sep-line",
        "The first line is the header, not a note to a spreadsheet.",
        "A line “sep=” is understood by one program and read as data by all others.",
        _PRACTICE,
        "Run asfound normalise FILE, which mends it by copy, or save it comma-separated without that line.",
    ),
    _entry(
        "csv-blank-line",
        "No row inside the table is empty.",
        "An empty row is a reading lost or a second table begun, and which of the two cannot be told.",
        _PRACTICE,
        "Delete the empty line, or put a second table into a file of its own.",
    ),
    _entry(
        "csv-trailing-empty",
        "Empty rows and columns at the end are passed over.",
        "Spreadsheets save them where something was deleted; they hold nothing.",
        _PRACTICE,
        "Nothing is needed; to be rid of the note, delete the empty rows and columns and save again.",
        level=Level.NOTE,
    ),
    _entry(
        "csv-cell-too-long",
        "A cell has at most 10 000 characters.",
        "Longer ones are statements, which belong in a file, or rows swallowed by a quote left open.",
        "ours",
        "Move the text into a statement, or close the quote.",
    ),
    _entry(
        "csv-too-many-rows",
        "A table has at most 1 000 000 rows.",
        "No one can review more; a log of that length is evidence and not readings.",
        "ours",
        "Keep the log among the evidence, and put the part that matters into the table.",
    ),
    _entry(
        "csv-too-many-columns",
        "A table has at most 200 columns.",
        "No sheet of readings needs more.",
        "ours",
        "Write one row a reading, with a column that names what varies.",
    ),
    _entry(
        "csv-formula",
        "No cell is a formula.",
        "A spreadsheet would run it, show a result in place of what was typed, and can be made to start programs.",
        f"{_CWE}; OWASP ASVS 1.2.10",
        "Write the value itself; text that begins with = or @ needs a word before it.",
    ),
)

_FILE_ENTRIES = (
    _entry(
        "case-folder-missing",
        "The case has a folder.",
        "Without one there is nothing to examine.",
        "ours",
        "Look at the spelling of the folder.",
    ),
    _entry(
        "file-outside",
        "Everything of a case lies inside its folder.",
        "What lies elsewhere is not under the case's digest and can change without a commit.",
        "CWE-22",
        "Copy the files into the folder of the case.",
    ),
    _entry(
        "file-link",
        "A case holds files, not links.",
        "What a link points to can change while the case stays the same, and may not be in the repository at all.",
        "CWE-59",
        "Replace the link by a copy of the file.",
    ),
    _entry(
        "file-not-regular",
        "A case holds ordinary files and folders.",
        "Pipes, sockets and devices have no content of their own.",
        "CWE-67; common practice",
        "Remove it from the folder of the case.",
    ),
    _entry(
        "file-nested-repository",
        "A case lies in one repository.",
        "Files in a repository inside it are not recorded by the outer one.",
        "Git documentation, gitsubmodules",
        "Remove the inner “.git”, or move that folder out of the case.",
    ),
    _entry(
        "file-unreadable",
        "Every file can be read.",
        "A file that cannot be read cannot be sealed.",
        "ours",
        "Look at the permissions of the file and whether another program holds it open.",
    ),
    _entry(
        "file-name-characters",
        "A name holds only characters that every system can carry and every reader can see.",
        "Such names cannot be unpacked on some systems, and break lists of digests.",
        "Win32 naming rules; RFC 8493, section 5.2",
        "Rename the file with letters, digits, hyphen, underscore and full stop.",
    ),
    _entry(
        "file-name-not-utf8",
        "A name is written in UTF-8.",
        "The same bytes would be another name on another system.",
        "RFC 8493, section 5.2",
        "Rename the file with letters, digits, hyphen, underscore and full stop.",
    ),
    _entry(
        "file-name-reserved",
        "A name is not one that Windows keeps for devices.",
        "The file cannot be checked out or unpacked there.",
        "Win32 naming rules",
        "Add a word to the name: “aux” becomes “aux-cable”.",
    ),
    _entry(
        "file-name-ending",
        "A name does not begin with a space, nor end with a space or a full stop.",
        "Windows drops them, and the file is no longer the one that was sealed.",
        "Win32 naming rules",
        "Rename the file without them.",
    ),
    _entry(
        "file-name-not-composed",
        "Accented letters in names are composed (Unicode form NFC).",
        "Some systems compose them and some do not; a sealed file would be missing and another would be extra.",
        "Unicode Standard Annex 15; RFC 8493, section 5.2",
        "Rename the file: delete the letter with its accent and type it again, or use the plain letter.",
    ),
    _entry(
        "file-name-twins",
        "Two names beside each other differ by more than capitals.",
        "On many systems one file would overwrite the other when the case is checked out or unpacked.",
        "RFC 8493, section 5.2; Unicode Standard, section 3.13",
        "Rename one of the two.",
    ),
    _entry(
        "file-name-too-long",
        "A name has at most 120 bytes and a path at most 200 characters.",
        "Windows and some archives end at 260 characters, with the folders above the repository counted.",
        "Win32 naming rules; the bound is ours",
        "Shorten the name, and say the rest in the record of the file.",
    ),
    _entry(
        "file-large",
        "A file that travels has at most 50 MiB.",
        "Code hosts warn above it and refuse files above 100 MiB.",
        "published limits of a code host",
        "Keep it elsewhere and record its SHA-256, keeper and place, or go on as it is.",
        level=Level.WARN,
    ),
    _entry(
        "file-ignored",
        "Files that programs leave behind are passed over.",
        "They hold no evidence, and which there are depends on the machine.",
        _PRACTICE,
        "Nothing is needed; to be rid of the note, delete the file and list its name in .gitignore.",
        level=Level.NOTE,
    ),
)

ENTRIES: tuple[Entry, ...] = (*_TEXT, *_YAML_ENTRIES, *_CSV_ENTRIES, *_FILE_ENTRIES)
