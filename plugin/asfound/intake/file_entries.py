"""What is refused of a file as such, whatever stands in it: one catalogue entry a rule."""

from __future__ import annotations

from asfound.intake.reader_entry import PRACTICE, reader_entry
from asfound.problems import Entry, Level

ENTRIES: tuple[Entry, ...] = (
    reader_entry(
        "case-folder-missing",
        "The case has a folder.",
        "Without one there is nothing to examine.",
        "ours",
        "Look at the spelling of the folder.",
    ),
    reader_entry(
        "file-outside",
        "Everything of a case lies inside its folder.",
        "What lies elsewhere is not under the case's digest and can change without a commit.",
        "CWE-22",
        "Copy the files into the folder of the case.",
    ),
    reader_entry(
        "file-link",
        "A case holds files, not links.",
        "What a link points to can change while the case stays the same, and may not be in the repository at all.",
        "CWE-59",
        "Replace the link by a copy of the file.",
    ),
    reader_entry(
        "file-not-regular",
        "A case holds ordinary files and folders.",
        "Pipes, sockets and devices have no content of their own.",
        "CWE-67; common practice",
        "Remove it from the folder of the case.",
    ),
    reader_entry(
        "file-nested-repository",
        "A case lies in one repository.",
        "Files in a repository inside it are not recorded by the outer one.",
        "Git documentation, gitsubmodules",
        "Remove the inner “.git”, or move that folder out of the case.",
    ),
    reader_entry(
        "file-unreadable",
        "Every file can be read.",
        "A file that cannot be read cannot be sealed.",
        "ours",
        "Look at the permissions of the file and whether another program holds it open.",
    ),
    reader_entry(
        "file-name-characters",
        "A name holds only characters that every system can carry and every reader can see.",
        "Such names cannot be unpacked on some systems, and break lists of digests.",
        "Win32 naming rules; RFC 8493, section 5.2",
        "Rename the file with letters, digits, hyphen, underscore and full stop.",
    ),
    reader_entry(
        "file-name-not-utf8",
        "A name is written in UTF-8.",
        "The same bytes would be another name on another system.",
        "RFC 8493, section 5.2",
        "Rename the file with letters, digits, hyphen, underscore and full stop.",
    ),
    reader_entry(
        "file-name-reserved",
        "A name is not one that Windows keeps for devices.",
        "The file cannot be checked out or unpacked there.",
        "Win32 naming rules",
        "Add a word to the name: “aux” becomes “aux-cable”.",
    ),
    reader_entry(
        "file-name-ending",
        "A name does not begin with a space, nor end with a space or a full stop.",
        "Windows drops them, and the file is no longer the one that was sealed.",
        "Win32 naming rules",
        "Rename the file without them.",
    ),
    reader_entry(
        "file-name-not-composed",
        "Accented letters in names are composed (Unicode form NFC).",
        "Some systems compose them and some do not; a sealed file would be missing and another would be extra.",
        "Unicode Standard Annex 15; RFC 8493, section 5.2",
        "Rename the file: delete the letter with its accent and type it again, or use the plain letter.",
    ),
    reader_entry(
        "file-name-twins",
        "Two names beside each other differ by more than capitals.",
        "On many systems one file would overwrite the other when the case is checked out or unpacked.",
        "RFC 8493, section 5.2; Unicode Standard, section 3.13",
        "Rename one of the two.",
    ),
    reader_entry(
        "file-name-too-long",
        "A name has at most 120 bytes and a path at most 200 characters.",
        "Windows and some archives end at 260 characters, with the folders above the repository counted.",
        "Win32 naming rules; the bound is ours",
        "Shorten the name, and say the rest in the record of the file.",
    ),
    reader_entry(
        "file-large",
        "A file that travels has at most 50 MiB.",
        "Code hosts warn above it and refuse files above 100 MiB.",
        "published limits of a code host",
        "Keep it elsewhere and record its SHA-256, keeper and place, or go on as it is.",
        level=Level.WARN,
    ),
    reader_entry(
        "file-ignored",
        "Files that programs leave behind are passed over.",
        "They hold no evidence, and which there are depends on the machine.",
        PRACTICE,
        "Nothing is needed; to be rid of the note, delete the file and list its name in .gitignore.",
        level=Level.NOTE,
    ),
)
