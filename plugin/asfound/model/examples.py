"""What may stand in a field, shown: for editors, and wherever a form is explained. All of it is invented."""

from __future__ import annotations

from collections.abc import Mapping

from asfound.model.base import REF_PATTERN, ROLE_PATTERN

BY_PATTERN: Mapping[str, tuple[str, ...]] = {
    REF_PATTERN: ("I-3", "R-output-12"),
    ROLE_PATTERN: ("examiner", "theatre-coordinator"),
}
"""By the pattern of a field, where that says what it is."""

BY_START: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"^\s*[+-]?[0-9][0-9.eE+-]*[ \u00a0]+\S", ("90 W", "-0.5 mA", "1.4e3 Ω")),
    (r"^\s*\d{4}-", ("2026-03-09 15:12 -05:00", "2026-03-09T20:12:30Z")),
    (r"^\s*[+\-\u2212]? ?\d+(\.\d+)? ?(d|h|min|s)", ("40 min", "-6 min 20 s", "1 d")),
    (r"^[+-]?[0-9]+(\.[0-9]+)?", ("3", "0.83")),
)
"""By how the pattern of a field begins."""

DATES = ("2026-03-09",)

FIELDS: Mapping[str, str] = {
    "CaseHead.title": "Skin lesion under a return pad",
    "CaseHead.summary": "After a procedure of forty minutes a lesion was found under the pad. The pad was kept.",
    "Event.where": "operating room 2",
    "Event.time_source": "the wall clock of the room, read by the nurse",
    "Event.account": "The nurse reports a red mark of two centimetres under the pad, seen when it was taken off.",
    "Item.what": "return pad, split, for adults",
    "Item.serial": "K 4711-02",
    "Item.lot": "L 77",
    "Finding.text": "At a setting of 100 mL/h the pump delivered [=R-flow-4] and [=R-flow-5].",
    "Explanation.explanation": "The pump delivers more than it is set to.",
    "Need.claim": "The flow at 100 mL/h lies above the setting by a tenth.",
    "Need.detects": "A flow that is off by 3 %.",
    "Explanation.why": "Two instruments show the same flow at the rate that was in use.",
    "Opinion.text": "The pump delivered more than it was set to [F-1].",
    "Conclusion.limits_of_work": "The pump was not opened. The results relate only to the items examined.",
    "Conclusion.would_settle": "An examination of the drive, with the maker present.",
    "Evidence.shows": "The pad as it was taken off, with a scale beside it.",
    "Clock.what": "camera",
    "Instrument.what": "Flow analyser",
    "Instrument.serial": "A 2210",
    "Function.method": "mass of water over the time collected",
    "Calibration.certificate": "LC-25-340",
    "Calibration.by": "an accredited laboratory",
    "Calibration.as_found": "in tolerance",
    "ExceptionRecord.why": "The ward could not be closed before the next morning.",
    "ExceptionRecord.effect": "What was found in the room may have been moved.",
    "Limit.document": "IEC 62353",
    "Limit.clause": "5.3.3",
    "Settings.organisation": "The biomedical engineering of a hospital",
}
"""By record and field, for texts of which a pattern says nothing."""


def of_pattern(pattern: str) -> tuple[str, ...]:
    """What a text of this pattern looks like; nothing where the pattern says too little."""
    known = BY_PATTERN.get(pattern)
    return known or next((shown for start, shown in BY_START if pattern.startswith(start)), ())
