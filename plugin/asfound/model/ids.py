"""Ids and anchors: one letter says what a record is; the id is also its anchor on every page."""

from __future__ import annotations

KINDS: dict[str, tuple[str, str]] = {
    "A": ("as-found setting", "scene.yml"),
    "B": ("altering step", "gates.yml"),
    "C": ("custody line", "custody.csv"),
    "D": ("duty", "duties.yml"),
    "E": ("evidence", "evidence.yml"),
    "F": ("finding", "findings.yml"),
    "G": ("gate", "gates.yml"),
    "H": ("service history", "service.yml"),
    "I": ("item", "items.yml"),
    "K": ("clock", "clocks.yml"),
    "L": ("connection", "scene.yml"),
    "M": ("instrument", ".asfound/instruments.yml"),
    "N": ("notice", "notices.yml"),
    "P": ("planned test", "plan.yml"),
    "Q": ("exception", "exceptions.yml"),
    "R": ("reading", "readings/"),
    "S": ("sheet", "sheets.yml"),
    "T": ("event on the timeline", "timeline.csv"),
    "U": ("fact of the room", "room.yml"),
    "V": ("inspection row", "inspection.csv"),
    "W": ("statement", "statements.yml"),
    "X": ("explanation", "explanations.yml"),
    "Y": ("derived result", ""),
    "Z": ("calculation", "calculations.yml"),
}
"""Letter → what the record is, and the file it stands in (empty: computed)."""


def kind_of(ref: str) -> str:
    """What a record is, from its id; `record` for a letter nobody uses."""
    return KINDS.get(ref[:1], ("record", ""))[0]


def reading_id(sheet: str, row: str) -> str:
    """`S-output`, `12` → `R-output-12`."""
    return f"R-{sheet.removeprefix('S-')}-{row}"


def sort_key(ref: str) -> tuple[str, tuple[tuple[int, int, str], ...]]:
    """Ids in the order a person expects: I-2 before I-10."""
    parts = ref.split("-")
    return parts[0], tuple((0, int(p), "") if p.isdigit() else (1, 0, p) for p in parts[1:])
