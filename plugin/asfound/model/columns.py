"""The columns of a case's tables, and what each holds."""

from __future__ import annotations

CUSTODY: dict[str, str] = {
    "line": "Number of the line; its id is C- and this",
    "items": "Ids of the items that moved, parted by spaces",
    "kind": "before custody, collected, transfer, stored, returned",
    "released_at": "When it was given, with the offset from UTC",
    "received_at": "When it was received, with the offset from UTC",
    "released_by": "Role of the giver, or store for a sealed store",
    "received_by": "Role of the receiver, or store",
    "from_place": "Where it was",
    "to_place": "Where it went",
    "purpose": "Why it moved",
    "seal_before": "Number of the seal it bore",
    "seal_after": "Number of the seal it bears now",
    "condition": "Condition at the hand-over",
    "signed_out": "Role that signed for giving; empty where nobody did",
    "signed_in": "Role that signed for receiving; empty where nobody did",
    "evidence": "Ids of pictures or papers, parted by spaces",
    "note": "Anything else",
}
INSPECTION: dict[str, str] = {
    "row": "Number of the row; its id is V- and this",
    "item": "Id of the item",
    "check": "Line of the protocol's checklist it answers; empty for what was noticed besides",
    "place": "Where one looked",
    "seen": "found, nothing seen, could not look",
    "what": "What was there",
    "evidence": "Ids of pictures, parted by spaces",
    "relevance": "relevant, not relevant, not known",
    "why": "Why one could not look",
    "at": "When, with the offset from UTC",
    "by": "Role",
}
TIMELINE: dict[str, str] = {
    "row": "Number of the row; its id is T- and this",
    "clock": "Id of the clock that showed the time",
    "at": "The time it showed, with the offset from UTC",
    "doubt": "How far the time may be off, as in 2 min",
    "event": "What happened",
    "source": "Ids the event is known from, parted by spaces",
    "by": "Role, where somebody did it",
    "log_row": "Row of a device's log it was taken from, as in E-5#14: the log, and the number of the entry; the log "
    "then says under log how it is read",
}
READINGS: dict[str, str] = {
    "row": "Number of the row; with the file's name it makes the id: row 12 of readings/output.csv is R-output-12",
    "(conditions)": "One column for each condition that varies, named as in the protocol's test; a number's unit "
    "stands in the header, as in setting [W]",
    "value": "What was read, with its unit in the header, as in value [W], or in a column unit. Also a value: "
    "no output, over range, under range, <0.5, >20, yes, no, 3 of 10, not measured: why, not obtainable: why",
    "unit": "Unit of the row, where it is not in the header",
    "at": "When it was read, with the offset from UTC",
    "note": "Anything else",
    "void": "Why the reading does not count; it stays in sight",
    "repeat_of": "Row it repeats",
}
TABLE_COLUMNS: dict[str, dict[str, str]] = {
    "custody.csv": CUSTODY,
    "inspection.csv": INSPECTION,
    "timeline.csv": TIMELINE,
    "readings/*.csv": READINGS,
}
"""File → column → what it holds."""
