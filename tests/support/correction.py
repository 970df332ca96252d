"""A reading corrected as it is asked for: the value that gave way stays in the row's note, with the reason."""

from __future__ import annotations


def typed_again(table: str, old: str, new: str) -> str:
    """A table of readings without notes, with one value changed where `old` stands once, and its row saying so."""
    assert table.count(old) == 1 and "note" not in table
    value = old.rpartition(",")[2]
    note = f'"struck {value}, 2026-03-21 09:00 -05:00, examiner: typed wrongly"'
    head, *rows = table.rstrip("\n").split("\n")
    noted = [f"{row.replace(old, new)},{note}" if old in row else f"{row}," for row in rows]
    return "\n".join((f"{head},note", *noted, ""))
