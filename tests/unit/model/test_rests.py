"""On what a record rests."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.model.dossier import Dossier
from asfound.model.rests import rests_on

BASE = Path(__file__).parents[2] / "rules" / "base"


@pytest.fixture(scope="module")
def dossier() -> Dossier:
    found = assess_case(BASE, BASE / "cases" / "base", dt.date(2026, 3, 20)).dossier
    assert found is not None
    return found


def rests(dossier: Dossier, ref: str) -> dict[str, str]:
    return rests_on(dossier.core.case, ref, dossier.core.results)


def test_a_finding_rests_on_readings_their_sheets_instruments_and_pictures(dossier: Dossier) -> None:
    found = rests(dossier, "F-1")
    assert list(found)[:3] == ["R-flow-4", "R-flow-5", "R-flow-6"]
    assert (found["R-flow-4"], found["S-flow"], found["M-2"]) == ("F-1", "R-flow-4", "S-flow")
    assert {"P-pump-flow", "I-1", "I-2", "I-3"} <= set(found)
    assert "F-1" not in found and "F-2" not in found


def test_what_a_text_cites_counts_and_what_it_is_about_does_not(dossier: Dossier) -> None:
    found = rests(dossier, "F-4")
    assert {"A-1", "V-3", "E-2"} <= set(found)
    assert found["E-2"] == "F-4" and not any(ref in found for ref in ("I-1", "I-3"))


def test_evidence_rests_on_its_file(dossier: Dossier) -> None:
    file = dossier.core.case.evidence["E-2"].file
    assert file is not None and rests(dossier, "E-2")[file] == "E-2"


def test_the_conclusion_rests_on_what_its_findings_rest_on(dossier: Dossier) -> None:
    found = rests(dossier, "conclusion.yml")
    below = {ref for finding in dossier.core.case.conclusion.mechanism.rests_on for ref in rests(dossier, finding)}  # type: ignore[union-attr]
    assert below and below <= set(found)


def test_a_derived_result_rests_on_its_readings(dossier: Dossier) -> None:
    result = dossier.core.results[0]
    assert set(result.of) <= set(rests(dossier, result.id)) and result.sheet in rests(dossier, result.id)


def test_an_id_nobody_knows_rests_on_nothing_and_a_circle_ends(dossier: Dossier) -> None:
    assert rests(dossier, "F-99") == {}
    for ref in (*dossier.core.case.records, "case.yml", "plan.yml", "scene.yml", "conclusion.yml", "injury.yml"):
        found = rests(dossier, ref)
        assert ref not in found
        for below in found:
            way = [below]
            while way[-1] != ref:
                way.append(found[way[-1]])
            assert len(way) == len(set(way))
