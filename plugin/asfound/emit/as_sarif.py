"""Problems as SARIF 2.1.0 (OASIS Standard, 27 March 2020), for hosts that show findings of programs.

A host of code takes 25,000 results a run and shows the 5,000 worst of them (its documentation, from memory), so
no more are written; a notification says how many were left out, as the standard provides (from memory). Columns are
counted in characters, and places are relative to the root of the repository.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from asfound.emit.told import Item, Told, items, left_out
from asfound.model.plain import plain
from asfound.problems import Catalogue, Level, Span

MOST = 5000
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
ROOT = "%SRCROOT%"
_LEVELS = {Level.REJECT: "error", Level.WARN: "warning", Level.NEEDED: "note", Level.NOTE: "note"}


def sarif(cases: Iterable[Told], known: Catalogue, version: str) -> str:
    """The log of one run, in printable ASCII, worst first. `known` is the catalogue the rules are described from."""
    every = items(cases)
    shown = every[:MOST]
    names = sorted({one.problem.rule for one in shown})
    index = {name: number for number, name in enumerate(names)}
    invocation: dict[str, Any] = {"executionSuccessful": True}
    if len(every) > MOST:
        said = {"level": "warning", "message": {"text": f"{left_out(len(every) - MOST)}."}}
        invocation["toolExecutionNotifications"] = [said]
    driver = {"name": "asfound", "version": version, "rules": [_rule(name, known) for name in names]}
    run = {
        "tool": {"driver": driver},
        "invocations": [invocation],
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {ROOT: {"description": {"text": "The root of the repository."}}},
        "results": [_result(one, index) for one in shown],
    }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, ensure_ascii=True, indent=1).replace("\x7f", "\\u007f") + "\n"


def _rule(name: str, known: Catalogue) -> dict[str, Any]:
    if name not in known:
        return {"id": plain(name)}
    entry = known[name]
    return {
        "id": name,
        "shortDescription": {"text": entry.title},
        "fullDescription": {"text": entry.reason},
        "help": {"text": f"{entry.mend} Source: {entry.source} ({entry.status})."},
        "defaultConfiguration": {"level": _LEVELS[entry.level]},
        "properties": {"tags": [str(entry.family), *entry.rows]},
    }


def _result(one: Item, index: dict[str, int]) -> dict[str, Any]:
    problem = one.problem
    said = " ".join(filter(None, (f"{problem.found}; {problem.needed}.", problem.mend)))
    result: dict[str, Any] = {
        "ruleId": plain(problem.rule),
        "ruleIndex": index[problem.rule],
        "level": _LEVELS[problem.level],
        "message": {"text": plain(said)},
        "locations": [_location(problem.span)],
        # The first is the name a host of code looks for; the others are ours, with the version of how they are made.
        "partialFingerprints": {
            "primaryLocationLineHash": one.fingerprint,
            "asfound/v1": one.numbered,
            "asfound/v2": one.fingerprint,
        },
        "properties": {"case": plain(one.told.case), "asfoundLevel": str(problem.level)},
    }
    if problem.related:
        result["relatedLocations"] = [_location(span) for span in dict.fromkeys(problem.related)]
    if problem.subject:
        result["properties"]["record"] = plain(problem.subject)
    return result


def _location(span: Span) -> dict[str, Any]:
    uri = quote(span.path.encode("utf-8", "surrogatepass"), safe="/")
    place: dict[str, Any] = {"artifactLocation": {"uri": uri, "uriBaseId": ROOT}}
    if span.line:
        place["region"] = {"startLine": span.line, **({"startColumn": span.column} if span.column else {})}
    return {"physicalLocation": place}
