"""Problems for programs: the whole text, its order, its characters."""

from __future__ import annotations

import json

from asfound.emit.as_json import as_json

from .problems import HOSTILE, LIFTED, REJECT, WARN

EXACT = """{
 "asfound": "0.1.0",
 "cases": {
  "cases/a": [
   {
    "column": 9,
    "found": "I-1 was energised at 09:40, and was inspected only at 09:50",
    "level": "warn",
    "lifted": "Q-1",
    "line": 82,
    "mend": "Record the true order.",
    "needed": "the inspection before power is needed",
    "path": "cases/a/sheets.yml",
    "related": [
     "cases/a/inspection.csv:4"
    ],
    "rule": "power-before-inspection",
    "subject": "I-1"
   }
  ],
  "cases/b": []
 },
 "format": 1,
 "on": "2026-03-19",
 "private": {}
}
"""


def test_the_text_is_exactly_so() -> None:
    assert as_json({"cases/a": [LIFTED], "cases/b": []}, "2026-03-19", "0.1.0") == EXACT


def test_the_order_in_which_cases_come_changes_no_byte() -> None:
    one = as_json({"cases/b": [WARN], "cases/a": [REJECT]}, "2026-03-19", "0.1.0")
    assert one == as_json({"cases/a": [REJECT], "cases/b": [WARN]}, "2026-03-19", "0.1.0")


def test_every_character_comes_back_and_none_of_them_acts_on_the_way() -> None:
    said = as_json({"cases/a": [HOSTILE]}, "2026-03-19", "0.1.0")
    assert all(char == "\n" or " " <= char <= "~" for char in said)
    (back,) = json.loads(said)["cases"]["cases/a"]
    assert (back["path"], back["found"], back["mend"]) == (HOSTILE.span.path, HOSTILE.found, HOSTILE.mend)
