"""The dossier as JSON: what is written reads back as the same dossier, and rows are objects with named fields."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.model.dossier import Dossier, dossier_json, read_dossier

BASE = Path(__file__).parents[2] / "rules" / "base"
GOLD = Path(__file__).parents[2] / "gold" / "dossier"


@pytest.fixture(scope="module")
def dossier() -> Dossier:
    made = assess_case(BASE, BASE / "cases" / "base", dt.date(2026, 3, 20)).dossier
    assert made is not None and made.core.verdicts and made.core.case.readings
    return made


def test_a_dossier_reads_back_equal(dossier: Dossier) -> None:
    text = dossier_json(dossier)
    assert read_dossier(text) == dossier
    assert dossier_json(read_dossier(text)) == text


def test_rows_are_objects_with_the_names_of_their_fields(dossier: Dossier) -> None:
    core = json.loads(dossier_json(dossier))["core"]
    row = core["case"]["readings"]["S-flow"]["rows"][0]
    first = dossier.core.case.readings["S-flow"].rows[0]
    assert row["id"] == first.id and row["conditions"] == first.conditions
    assert row["value"]["text"] == first.value.text and row["value"]["kind"] == "number"
    verdict = core["verdicts"][0]
    assert verdict["subject"] == dossier.core.verdicts[0].subject
    assert verdict["outcome"] == str(dossier.core.verdicts[0].outcome)


def test_a_row_with_a_field_too_many_or_too_few_is_no_dossier(dossier: Dossier) -> None:
    for spoil in ({"doubtful": "yes"}, None):
        data = json.loads(dossier_json(dossier))
        row = data["core"]["case"]["readings"]["S-flow"]["rows"][0]
        if spoil is None:
            del row["value"]
        else:
            row.update(spoil)
        with pytest.raises(ValueError, match="S-flow"):
            read_dossier(json.dumps(data))


def test_a_text_that_is_no_dossier_is_named_as_such() -> None:
    with pytest.raises(ValueError, match="not a dossier"):
        read_dossier("{}")
    with pytest.raises(ValueError, match="format 99"):
        read_dossier('{"core": {"format": 99}}')


def test_a_dossier_of_the_first_format_still_reads() -> None:
    """Written before the history, approvals and editions had records: what it lacks is what was not asked for."""
    old = read_dossier((GOLD / "format-1.json").read_text(encoding="utf-8"))
    assert old.id == "base" and len(old.core.verdicts) > 3
    assert not old.history.known and old.history.why == "the history was not asked for" and not old.history.changes
