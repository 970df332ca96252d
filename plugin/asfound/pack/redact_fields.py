"""Which field of which record a redacted edition shows, and how. What is not named here does not come out.

plain   as it is: ids, words of a closed list, numbers with their units, lengths of time
value   a reading as it was typed: a number stays what it is, words are gone through
text    in its words, with everything that leads back put into labels or taken out
when    a time, given as the time since the event
who     a role, given as a label
inner   a record, or records, with fields of their own
a name  of the kind given after the colon, as a label: the same original gets the same label
"""

from __future__ import annotations

from collections.abc import Mapping

SHOWN: Mapping[str, Mapping[str, str]] = {
    "Event": {
        "kind": "plain", "told_at": "when", "time_source": "text", "where": "name:place", "account": "text",
        "aware_at": "when", "aware_by": "who",
    },
    "Lesion": {"site": "text", "shape": "text", "size": "plain", "edge": "text", "distance_to_device": "text"},
    "Injury": {
        "first_seen_at": "when", "seen_by": "who", "lesions": "inner", "skin_before": "text", "body_position": "text",
        "depth_as_charted": "text", "time_in_position": "text", "solutions_used": "text", "pooling_seen": "plain",
        "perfusion_low": "plain", "sensation": "plain", "evidence": "plain", "note": "text",
    },
    "StatedValue": {
        "quantity": "text", "value": "plain", "when": "text", "source": "text", "evidence": "plain",
    },
    "ServiceNote": {"on": "when", "by": "text", "result": "text"},
    "Item": {
        "what": "text", "role": "plain", "kit": "text", "part_of": "plain", "single_use": "plain",
        "in_use_at_event": "plain", "impounded": "plain", "why_not_impounded": "text", "names": "text",
        "maker": "name:maker", "model": "name:model", "serial": "name:serial", "lot": "name:lot",
        "expiry": "name:expiry", "udi": "name:code", "gtin": "name:code", "software": "name:software",
        "owner": "name:owner", "collected_by": "who", "collected_at": "when", "description": "text",
        "has_settings": "plain", "packaging_kept": "plain", "last_maintenance": "inner", "recalls_checked": "text",
        "modifications": "text", "condition_on_collection": "text", "condition_on_receipt": "text",
        "seal_on_receipt": "name:seal", "biohazard": "plain", "cleaned": "plain", "cleaned_why": "text",
        "characteristics": "text", "stated": "inner", "compares_with": "plain", "note": "text",
    },
    "CustodyLine": {
        "items": "plain", "kind": "plain", "released_at": "when", "received_at": "when", "released_by": "who",
        "received_by": "who", "from_place": "name:place", "to_place": "name:place", "purpose": "text",
        "seal_before": "name:seal", "seal_after": "name:seal", "condition": "text", "evidence": "plain", "note": "text",
    },
    "Setting": {
        "item": "plain", "control": "text", "value": "text", "unit": "text", "how_read": "text", "evidence": "plain",
    },
    "Connection": {"from_": "text", "to": "text", "by": "text", "note": "text"},
    "VolatileData": {
        "decision": "text", "why": "text", "items": "plain", "start_erases": "plain", "evidence": "plain",
    },
    "Scene": {
        "recorded_at": "when", "recorded_by": "who", "first_power_change_at": "when", "first_move_at": "when",
        "settings": "inner", "settings_not_obtainable": "text", "connections": "inner", "touched_since": "text",
        "volatile_data": "inner", "note": "text",
    },
    "RoomPoint": {
        "what": "text", "kind": "text", "value": "text", "items": "plain", "evidence": "plain", "note": "text",
    },
    "ServiceEvent": {
        "items": "plain", "kind": "text", "on": "when", "by": "text", "by_role": "who", "result": "text",
        "evidence": "plain",
    },
    "InspectionRow": {
        "item": "plain", "check": "text", "place": "text", "seen": "plain", "what": "text", "evidence": "plain",
        "relevance": "text", "why": "text", "at": "when", "by": "who",
    },
    "Gate": {
        "gate": "plain", "items": "plain", "at": "when", "by": "who", "outcome": "text", "rests_on": "plain",
        "note": "text",
    },
    "Step": {
        "items": "plain", "what": "text", "tier": "plain", "at": "when", "by": "who", "why": "text",
        "residue": "text", "cycles": "plain", "evidence": "plain",
    },
    "Gates": {"gates": "inner", "steps": "inner"},
    "PlannedTest": {
        "item": "plain", "why": "text", "expected": "text", "separates": "plain", "coverage": "text",
        "as_used": "text", "reaches": "text", "limits": "plain", "not_done": "text", "not_obtainable": "text",
        "added": "text",
    },
    "Plan": {
        "written_at": "when", "written_by": "who", "protocols": "plain", "limit_sets": "plain",
        "decision_rule": "plain", "guard_factor": "plain", "tests": "inner", "note": "text",
    },
    "Condition": {"temperature": "plain", "humidity": "plain", "pressure": "plain"},
    "Supply": {"kind": "text", "voltage": "plain", "nominal": "plain", "frequency": "plain"},
    "Check": {
        "what": "text", "at": "when", "reference": "plain", "reading": "plain", "ok": "plain", "evidence": "plain",
    },
    "Sheet": {
        "test": "plain", "item": "plain", "accessories": "plain", "instrument": "plain", "function": "text",
        "by": "who", "second_reader": "who",
        "from_": "when", "to": "when", "moment": "plain", "supply": "inner", "climate": "inner",
        "constants": "text", "checks": "inner", "provider": "name:organisation", "repeats_of": "plain",
        "as_found_settings": "plain",
        "cycles": "plain", "evidence": "plain", "note": "text",
    },
    "Reading": {
        "conditions": "text", "value": "value", "unit": "text", "at": "when", "note": "text", "void": "text",
        "repeat_of": "plain",
    },
    "Evidence": {
        "kind": "plain", "shows": "text", "items": "plain", "taken_at": "when", "taken_by": "who", "clock": "plain",
        "time_not_obtainable": "text", "view": "plain", "scale_in_frame": "plain", "direction": "text",
        "as_found": "plain", "derived_from": "plain", "edits": "text", "exported_how": "text", "note": "text",
    },
    "Statement": {
        "by": "who", "taken_at": "when", "taken_by": "who", "saw": "text", "did": "text", "was_told": "text",
        "items": "plain", "touched_controls": "plain", "clock": "plain", "opened_to_examiner_at": "when",
        "opened_early": "text",
    },
    "Comparison": {
        "at": "when", "reference": "text", "offset": "plain", "doubt": "plain", "reference_doubt": "plain",
        "evidence": "plain",
    },
    "ClockSet": {"at": "when", "by": "plain", "doubt": "plain", "why": "text"},
    "Clock": {
        "what": "text", "item": "plain", "comparisons": "inner", "not_compared": "text", "daylight_saving": "text",
        "resolution": "plain", "was_set": "inner", "drift_per_day": "plain", "drift_note": "text", "base": "plain",
    },
    "TimelineRow": {
        "clock": "plain", "at": "when", "doubt": "text", "event": "text", "source": "plain", "by": "who",
    },
    "Finding": {"text": "text", "about": "plain", "rests_on": "plain", "note": "text"},
    "Need": {
        "claim": "text", "topic": "plain", "tested_by": "plain", "shown_by": "plain", "shown_false_by": "plain",
        "detects": "text",
    },
    "Literature": {"source": "text", "says": "text", "conditions": "text"},
    "Explanation": {
        "explanation": "text", "line": "plain", "explains": "plain", "starters": "plain", "items": "plain",
        "mechanism": "text", "needs": "inner", "would_show": "text", "reached_by": "plain", "supports": "plain",
        "contradicts": "plain", "answer": "text", "status": "plain", "why": "text", "not_in_play": "text",
        "arithmetic": "plain", "not_computable": "text", "literature": "inner", "not_tested": "text",
    },
    "Opinion": {"text": "text", "level": "plain", "rests_on": "plain", "explanations": "plain"},
    "Carried": {"text": "text", "rests_on": "plain"},
    "OpenPoint": {"text": "text", "rests_on": "plain"},
    "Undetermined": {"tried": "text", "missing": "text", "would_settle": "text"},
    "Conclusion": {
        "by": "who", "mechanism": "inner", "reason": "inner", "carried_by": "inner", "stays_open": "inner",
        "limits_of_work": "text", "alternatives": "plain", "would_settle": "text", "undetermined": "inner",
        "no_problem_found": "plain", "use_reviewed": "text",
    },
    "ExceptionRecord": {
        "rule": "plain", "subject": "plain", "by": "who", "at": "when", "why": "text", "effect": "text",
    },
    "Accuracy": {"percent": "plain", "plus": "plain", "digits": "plain"},
    "Range": {"from_": "plain", "to": "plain", "resolution": "plain", "accuracy": "inner"},
    "Function": {
        "quantity": "text", "method": "text", "ranges": "inner", "certificate_doubt": "plain",
        "certificate_k": "plain", "certificate_dof": "plain",
    },
    "Calibration": {"certificate": "name:certificate", "on": "when", "due": "when", "as_found": "text"},
    "LaterCheck": {"on": "when", "what": "text", "in_tolerance": "plain", "certificate": "name:certificate"},
    "Instrument": {
        "what": "text", "serial": "name:serial", "firmware": "name:software", "functions": "inner",
        "calibrations": "inner", "later_checks": "inner",
    },
}  # fmt: skip
"""Record → field → how it is shown."""

LEFT_OUT: Mapping[str, tuple[str, ...]] = {
    "Injury": ("drugs_affecting_skin",),
    "Item": ("retain_until", "disposition"),
    "CustodyLine": ("id", "line", "signed_out", "signed_in"),
    "VolatileData": ("asked",),
    "InspectionRow": ("id", "line"),
    "Step": ("consents", "order", "procedure", "video"),
    "Plan": ("sealed",),
    "Sheet": ("consents", "order"),
    "Reading": ("id", "sheet", "row", "line"),
    "Evidence": ("file", "kept_elsewhere", "sha256", "faces", "software", "log"),
    "Statement": ("time_quoted", "evidence"),
    "Clock": ("zone",),
    "TimelineRow": ("id", "line", "log_row"),
    "Explanation": ("topic",),
    "Calibration": ("by", "evidence", "covers", "file", "sha256"),
    "Instrument": ("keeper", "note"),
}
"""Record → fields that stay out although the record is shown. Ids of rows are the keys under which rows stand."""

NAMES: Mapping[tuple[str, str], str] = {
    ("Event", "where"): "place",
    ("Item", "maker"): "maker",
    ("Item", "model"): "model",
    ("Item", "serial"): "serial",
    ("Item", "lot"): "lot",
    ("Item", "expiry"): "expiry",
    ("Item", "udi"): "code",
    ("Item", "gtin"): "code",
    ("Item", "software"): "software",
    ("Item", "owner"): "owner",
    ("Item", "seal_on_receipt"): "seal",
    ("CustodyLine", "from_place"): "place",
    ("CustodyLine", "to_place"): "place",
    ("CustodyLine", "seal_before"): "seal",
    ("CustodyLine", "seal_after"): "seal",
    ("Sheet", "provider"): "organisation",
    ("Calibration", "certificate"): "certificate",
    ("LaterCheck", "certificate"): "certificate",
    ("Instrument", "serial"): "serial",
    ("Instrument", "firmware"): "software",
    ("Storage", "place"): "place",
    ("KeptElsewhere", "place"): "place",
    ("ReportIdentity", "examined_at"): "place",
    ("ReportIdentity", "customer"): "organisation",
    ("Person", "organisation"): "organisation",
    ("Calibration", "by"): "organisation",
    ("AskedFor", "of"): "organisation",
    ("Notice", "to"): "organisation",
    ("Settings", "organisation"): "organisation",
    ("Settings", "address"): "place",
}
"""Fields that name something, with the kind of name: shown as a label, or left out; they could stand in other texts.

Kept apart from what is shown, so that a field which is shown by mistake is found in the finished pack."""
