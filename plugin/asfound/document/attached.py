"""What lies inside a document: the dossier it was made from, records and readings as they were written. No evidence."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from asfound.document.report import Attachment

EVIDENCE = "evidence/"
LEFT = ("approvals/", "editions/", EVIDENCE)
"""Folders of a case whose files stay out: evidence is kept apart, approvals and editions speak of the document."""
MEDIA = {".csv": "text/csv", ".yml": "application/yaml"}
ABOUT = {".csv": "Rows of the case as they were written.", ".yml": "Records of the case as they were written."}

Read = Callable[[str], bytes | None]
"""Path of a file below the case folder → its bytes; None where they cannot be read."""


def attachments(case: str, dossier: bytes, paths: Iterable[str], read: Read) -> tuple[Attachment, ...]:
    """The dossier, then each table and record of the case.

    dossier  its bytes; of an edition, the frozen ones
    paths    files of the case, below its folder
    read     gives bytes; may give None for a file that is not at hand any more
    """
    found = [
        Attachment(
            f"{case}-dossier.json", dossier, "application/json",
            "What was read and computed, frozen: this document was made from it.", "source",
        )
    ]  # fmt: skip
    for path in sorted(paths):
        ending = path[path.rfind(".") :] if "." in path else ""
        if ending not in MEDIA or path.startswith(LEFT):
            continue
        data = read(path)
        if data is not None:
            found.append(Attachment(path, data, MEDIA[ending], ABOUT[ending]))
    return tuple(found)
