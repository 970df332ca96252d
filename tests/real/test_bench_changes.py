"""Changes of limits, protocols, settings and instruments, in the trace of what rests on them."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.emit.as_trace import trace_json, trace_text
from asfound.model.dossier import Dossier
from asfound.model.trace import Trace, trace

from ..support.repository import Repo

ROOT = Path(__file__).parents[2]
BASE = Path(__file__).parents[1] / "rules" / "base"
ON = dt.date(2026, 3, 20)
LIMITS, PROTOCOL = ".asfound/limits/base-limits.yml", ".asfound/protocols/base-pump.yml"


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """The base case of the rules' tests with its organisation, committed whole."""
    shutil.copytree(BASE, tmp_path / "whole")
    made = Repo(tmp_path / "whole")
    made.commit("all")
    return made


def change(repo: Repo, file: str, old: str, new: str, message: str) -> str:
    """Change the one place where a text stands, and commit it; the id."""
    path = repo.root / file
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8", newline="\n")
    return repo.commit(message)


def dossier(repo: Repo) -> Dossier:
    found = assess_case(repo.root, repo.root / "cases" / "base", ON, history=True).dossier
    assert found is not None
    return found


def told(found: Trace, message: str) -> list[tuple[str, str, str | None, str | None]]:
    """What a commit did, by its subject: record, field, old, new."""
    return [
        (one.ref, field.name, field.old, field.new)
        for commit, changes in found.steps
        if commit.subject == message
        for one in changes
        for field in one.fields
    ]


def test_a_limit_that_moved_a_verdict_stands_in_the_trace_of_what_rests_on_it(repo: Repo) -> None:
    before = {one.subject: one.outcome for one in dossier(repo).core.verdicts}
    change(repo, LIMITS, "value: 100 uA", "value: 50 uA", "Tighten the touch current")
    after = dossier(repo)
    moved = {one.subject for one in after.core.verdicts if one.outcome is not before[one.subject]}
    assert moved == {"R-touch-3", "R-touch-4"}
    found = trace(after, "R-touch-3")
    assert told(found, "Tighten the touch current") == [("base-limits/touch", "bound / value", "100 uA", "50 uA")]
    assert found.way("base-limits/touch") == ("R-touch-3", "base-limits/touch")
    cited = next(ref for ref, one in after.core.case.findings.items() if "R-touch-3" in one.rests_on)
    assert told(trace(after, cited), "Tighten the touch current")
    assert told(trace(after, "R-flow-1"), "Tighten the touch current") == []
    assert "value of the bound: “100 uA” → “50 uA”" in trace_text(found)


def test_the_edition_a_set_stands_on_and_a_protocol_and_the_settings_are_told(repo: Repo) -> None:
    change(repo, LIMITS, 'edition: "2025"', 'edition: "2026"', "Another edition")
    change(
        repo, PROTOCOL, "purpose: To see whether the earth is whole", "purpose: To see if the earth is whole", "Reword"
    )
    change(repo, ".asfound/settings.yml", "organisation:", "repeats_wanted: 5\norganisation:", "More repeats")
    found = trace(dossier(repo), "R-earth-1")
    assert told(found, "Another edition") == [("limits/base-limits", "edition", "2025", "2026")]
    assert [one[0] for one in told(found, "Reword")] == ["protocols/base-pump"]
    assert told(found, "More repeats") == [(".asfound/settings.yml", "repeats_wanted", None, "5")]


def test_an_instrument_s_accuracy_is_told_through_its_sheet(repo: Repo) -> None:
    text = (repo.root / ".asfound/instruments.yml").read_text("utf-8")
    (line,) = [one for one in text.splitlines() if one.startswith("M-2:")]
    assert line
    change(repo, ".asfound/instruments.yml", "M-2:\n", "M-2:\n  note: Dropped once.\n", "A note on the analyser")
    found = trace(dossier(repo), "R-flow-1")
    assert told(found, "A note on the analyser") == [("M-2", "note", None, "Dropped once.")]
    assert found.way("M-2") == ("R-flow-1", "S-flow", "M-2")


def test_a_limit_that_was_taken_out_is_told_where_its_test_is(repo: Repo) -> None:
    text = (repo.root / LIMITS).read_text("utf-8")
    start, end = text.index("  touch:\n"), text.index("  flow:\n")
    (repo.root / LIMITS).write_text(text[:start] + text[end:], "utf-8", newline="\n")
    repo.commit("No limit for the touch current")
    after = dossier(repo)
    refs = {one[0] for one in told(trace(after, "R-touch-3"), "No limit for the touch current")}
    assert refs == {"base-limits/touch"}
    assert told(trace(after, "R-flow-1"), "No limit for the touch current") == []


def test_a_file_of_limits_that_bears_another_name_is_the_same_set(repo: Repo) -> None:
    repo.git("mv", LIMITS, ".asfound/limits/renamed.yml")
    repo.commit("Rename the file")
    found = trace(dossier(repo), "R-touch-3")
    (step,) = [changes for commit, changes in found.steps if commit.subject == "Rename the file"]
    assert {(one.ref, one.kind) for one in step} == {("base-limits/touch", "moved"), ("limits/base-limits", "moved")}


def test_what_extends_another_set_is_traced_to_both(repo: Repo) -> None:
    house = (
        "set: house\ntitle: Ours\ndocument: A policy\nedition: '1'\njurisdiction: none, invented\n"
        "extends: base-limits\nlimits: {}\n"
    )
    (repo.root / ".asfound/limits/house.yml").write_text(house, "utf-8")
    change(repo, "cases/base/plan.yml", "limit_sets: [base-limits]", "limit_sets: [house]", "Choose the house's own")
    change(repo, LIMITS, "value: 100 uA", "value: 90 uA", "Tighten below")
    found = trace(dossier(repo), "R-touch-3")
    assert told(found, "Tighten below") == [("base-limits/touch", "bound / value", "100 uA", "90 uA")]


def test_limits_that_came_with_the_program_are_said_to_change_with_it(tmp_path: Path) -> None:
    """The demonstration is held against packaged sets and one of the organisation's own."""
    for name in (".asfound", "cases"):
        shutil.copytree(ROOT / name, tmp_path / "demo" / name)
    repo = Repo(tmp_path / "demo")
    repo.commit("all")
    after = assess_case(repo.root, repo.root / "cases" / "return-pad-lesion", ON, history=True).dossier
    assert after is not None
    of = {one.limit.set: one.subject for one in after.core.verdicts if one.limit is not None}
    found = trace(after, of["nfpa-99-2012"])
    held, made = found.program
    assert any(name.startswith("nfpa-99-2012/") for name in held) and "protocols/electrical-safety" in held
    assert made.startswith("asfound ") and f"came with {made}" in trace_text(found)
    assert '"holds": [' in trace_json(found)
    assert not any("generator-handbook" in name for name in trace(after, of["generator-handbook"]).program[0])


def test_what_is_not_committed_of_the_organisation_s_is_said_apart(repo: Repo) -> None:
    path = repo.root / LIMITS
    path.write_text(path.read_text("utf-8").replace("value: 100 uA", "value: 50 uA"), "utf-8")
    (repo.root / ".asfound/roles.yml").write_text("authors: {bench@example.org: examiner}\n", "utf-8")
    found = trace(dossier(repo), "R-touch-3")
    assert [(one.ref, one.fields[0].new) for one in found.uncommitted] == [("base-limits/touch", "50 uA")]


def test_who_is_who_and_what_no_case_uses_stand_in_no_past(repo: Repo) -> None:
    (repo.root / ".asfound/roles.yml").write_text("authors: {bench@example.org: examiner}\n", "utf-8")
    other = (repo.root / LIMITS).read_text("utf-8").replace("set: base-limits", "set: unused")
    (repo.root / ".asfound/limits/unused.yml").write_text(other, "utf-8")
    repo.commit("Beside")
    past = dossier(repo).history
    assert not [one for one in past.changes if "roles" in one.file or "unused" in one.file]
    assert past.own == ("limits/base-limits", "protocols/base-pump")
