"""How a field inside a record is called in a sentence: `due day of calibration 1`, not the way that leads to it."""

from __future__ import annotations

from collections.abc import Sequence

_PARTS = {
    "event": "the event",
    "people": "{}",
    "asked": "the request",
    "authority": "the authority",
    "held": "the hold",
    "storage": "store {}",
    "asked_for": "demand {}",
    "declaration": "the declaration",
    "report": "the report",
    "lesions": "lesion {}",
    "volatile_data": "the decision on volatile data",
    "sealed": "the seal",
    "mechanism": "the mechanism",
    "reason": "the reason",
    "carried_by": "sentence {} that carries it",
    "stays_open": "open point {}",
    "undetermined": "what stays undetermined",
    "functions": "the function {}",
    "ranges": "range {}",
    "accuracy": "the accuracy",
    "calibrations": "calibration {}",
    "covers": "compared stretch {}",
    "later_checks": "later check {}",
    "last_maintenance": "the last maintenance",
    "stated": "stated value {}",
    "disposition": "the disposition",
    "supply": "the supply",
    "climate": "the room",
    "checks": "check {}",
    "kept_elsewhere": "what is kept elsewhere",
    "log": "the log",
    "comparisons": "comparison {}",
    "was_set": "setting {} of the clock",
    "needs": "need {}",
    "literature": "publication {}",
    "release": "the release",
    "hold": "the holding back",
    "inputs": "input {}",
    "series": "the series",
    "rows": "the rows",
    "bound": "the bound",
    "low": "the lower bound",
    "high": "the upper bound",
    "among": "alternative {}",
    "terms": "term {}",
    "exempt": "the exemption",
    "permitted": "the permission",
}
"""Field that holds records → what one of them is called; `{}` is its number, or its name."""

_NAMED = {
    "parties_missing": "reason why there is no {}",
    "answers": "answer to {}",
    "set_aside": "reason for setting {} aside",
    "coverage": "coverage of {}",
    "as_used": "{} as used",
    "not_obtainable": "reason why {} could not be had",
    "use_reviewed": "{} as looked at",
    "characteristics": "characteristic {}",
    "releases": "release by {}",
    "constants": "constant {}",
    "conditions": "{}",
    "events": "event of the code {}",
    "codes": "term of the code {}",
    "inputs": "input {}",
    "columns": "column for {}",
    "where": "condition {}",
    "when": "condition {}",
    "only": "condition {} (asked only where it holds)",
    "unless": "condition {} (not asked where it holds)",
}
"""Field that holds a text or a list for each of several names → what one of them is called."""

_FIELDS = {
    "at": "time",
    "on": "day",
    "of": "addressee",
    "from": "lower end",
    "to": "upper end",
    "k": "coverage factor",
    "dof": "degrees of freedom",
    "what": "subject",
    "why": "reason",
    "how": "form",
    "where": "place",
    "since": "beginning",
    "until": "end",
    "due": "due day",
    "sha256": "digest",
    "plus": "fixed part",
    "percent": "share in percent",
    "digits": "counts of the last digit",
    "text": "wording",
    "rests_on": "ground",
    "told_at": "time told",
    "ended_at": "time of the end",
    "ended_how": "manner of the end",
    "confirmed_at": "time of confirmation",
    "as_found": "state as found",
    "counts_from": "beginning of the count",
    "names_on_line": "line of the names",
    "tested_by": "tests",
    "along": "column of the stretch",
    "up_to": "upper end",
    "at_or_below_percent": "share in percent",
}
"""Field of a record inside another → what it is called, where its own name is no word for a reader."""

_OWN = {
    ("calibrations", "by"): "laboratory",
    ("was_set", "by"): "step",
    ("inputs", "from"): "source",
    ("bound", "of"): "reference",
    ("low", "of"): "reference",
    ("high", "of"): "reference",
    ("among", "of"): "reference",
    ("terms", "of"): "reference",
    ("exempt", "of"): "reference",
    ("checks", "reading"): "reading",
    ("log", "time"): "column of the time",
    ("log", "date"): "date",
    ("log", "number"): "column of the number",
    ("log", "code"): "column of the code",
    ("log", "text"): "column of the words",
    ("series", "evidence"): "file",
    ("people", "title"): "title",
    ("disposition", "what"): "kind",
    ("functions", "certificate_k"): "coverage factor on the certificate",
    ("functions", "certificate_dof"): "degrees of freedom on the certificate",
    ("supply", "nominal"): "nominal voltage",
    ("accuracy", "percent"): "share of the reading in percent",
    ("report", "examined_at"): "place of examination",
}
"""The same, where one kind of record means something of its own by it."""

_WHOLE = {
    ("asked", "by"): "who asked",
    ("authority", "by"): "who gave the authority",
    ("held", "by"): "who asked for the hold",
    ("storage", "access"): "who has access to store {}",
    ("asked_for", "answer"): "answer to demand {}",
    ("declaration", "by"): "who declares",
    ("declaration", "maintained"): "whether the examiner maintained the device",
    ("declaration", "set_up"): "whether the examiner set it up",
    ("declaration", "used"): "whether the examiner used it",
    ("declaration", "bought"): "whether the examiner bought it",
    ("declaration", "sold"): "whether the examiner sold it",
    ("declaration", "supervised_user"): "whether the examiner supervises the user",
    ("declaration", "paid_by"): "who pays for the work",
    ("declaration", "mitigation"): "what balances a tie",
    ("event", "aware_by"): "who first learned of the event",
    ("event", "aware_at"): "time at which staff learned of the event",
    ("report", "authorised_by"): "who authorises the report",
    ("volatile_data", "decision"): "decision on volatile data",
    ("volatile_data", "start_erases"): "whether a start erases data",
    ("volatile_data", "asked"): "notice that asked the maker about data",
    ("undetermined", "tried"): "what was tried",
    ("undetermined", "missing"): "what was missing",
    ("undetermined", "would_settle"): "what would settle it",
    ("later_checks", "in_tolerance"): "whether later check {} found it in tolerance",
    ("last_maintenance", "by"): "who did the last maintenance",
    ("disposition", "by"): "who decided on the disposition",
    ("checks", "ok"): "whether check {} was as it should be",
    ("kept_elsewhere", "why"): "reason why it is kept elsewhere",
    ("needs", "shown_by"): "what shows need {}",
    ("needs", "shown_false_by"): "what shows need {} false",
    ("needs", "detects"): "smallest departure that a look for need {} would have seen",
    ("literature", "says"): "what publication {} says",
    ("release", "by_counsel"): "whether it goes through counsel",
    ("release", "right_to_attend"): "whether the releasing party may attend",
    ("release", "copy_of_results"): "whether results are handed over",
    ("inputs", "why"): "reason for the input {}",
    ("permitted", "needs"): "what the permission asks for",
    ("functions", "certificate_doubt"): "doubt of the function {} on the certificate",
}
"""The same, where the two make one word of their own; `{}` is the number or the name of the record."""


def way(steps: Sequence[str]) -> str:
    """What stands at the end of a way into a record, in words; the way itself where no record of a case has it.

    >>> way(["calibrations", "1", "due"])
    'due day of calibration 1'
    >>> way(["functions", "power", "ranges", "2", "to"])
    'upper end of range 2 of the function power'
    >>> way(["coverage", "flexed_at"])
    'coverage of flexed at'
    >>> way(["asked", "by"])
    'who asked'
    >>> way(["in_use_at_event"])
    'in use at event'
    """
    if len(steps) == 1:
        return _plain(steps[0])
    parts: list[str] = []
    at = 0
    while at < len(steps):
        field, left = steps[at], len(steps) - at
        if left == 2 and field in _NAMED:
            parts.append(_NAMED[field].format(_plain(steps[at + 1])))
            break
        part = _PARTS.get(field, "")
        if not part:
            return " / ".join(steps)
        name = _plain(steps[at + 1]) if "{}" in part else ""
        at += 2 if name else 1
        if at == len(steps):
            parts.append(part.format(name))
        elif at == len(steps) - 1:
            last = steps[at]
            whole = _WHOLE.get((field, last))
            parts += [whole.format(name)] if whole else [part.format(name), _called(field, last)]
            break
        else:
            parts.append(part.format(name))
    return " of ".join(reversed(parts))


def named(name: str) -> str:
    """The same of a way as the record of changes has it: `calibrations / 1 / due`. A field by itself stays as typed."""
    steps = name.split(" / ")
    return name if len(steps) == 1 else way(steps)


def _called(inside: str, last: str) -> str:
    return _OWN.get((inside, last)) or _FIELDS.get(last) or _plain(last)


def _plain(name: str) -> str:
    return name.replace("_", " ")
