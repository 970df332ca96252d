"""What comes next: the order of the work, the reasons taken over, and nothing told twice."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.ahead import Phase, Step, ahead, phase_of
from asfound.ahead.phases import OF_GATE, OF_RULE, OF_TOPIC
from asfound.ahead.steps import next_gate
from asfound.assess import assess_case
from asfound.model.approval import Approval, ApprovalStatement
from asfound.model.dossier import Dossier
from asfound.model.work import GateKind
from asfound.problems import Level
from asfound.rules import discover, topics
from tests.rules.support import CASE, ON, Copy, Edit
from tests.unit.cli.support import apart

ROOT = Path(__file__).parents[3]


def dossier(root: Path, *edits: Edit, delete: tuple[str, ...] = ()) -> Dossier:
    copy = Copy(root / "r", edits, delete=delete)
    found = assess_case(copy.root, copy.root / CASE, ON)
    assert found.dossier is not None
    return found.dossier


def steps(root: Path, *edits: Edit, delete: tuple[str, ...] = (), issued: str = "") -> tuple[Step, ...]:
    return ahead(dossier(root, *edits, delete=delete), topics(), issued)


def test_every_topic_of_rules_and_every_gate_but_the_survey_has_its_place() -> None:
    assert set(topics().values()) == set(OF_TOPIC) and set(topics()) == {rule.entry.name for rule in discover()}
    assert set(GateKind) - set(OF_GATE) == {GateKind.ROOM_SURVEYED}
    order = list(Phase)
    places = [order.index(phase) for phase in OF_GATE.values()]
    assert places == sorted(places), "a later gate in an earlier stretch of the work"
    assert phase_of(topics().get("yaml-syntax", "")) is Phase.FILES
    assert set(OF_RULE) <= set(topics())


def test_a_case_without_a_problem_wants_signatures_then_the_edition_then_nothing(tmp_path: Path) -> None:
    whole = dossier(tmp_path)
    signs = ahead(whole, topics())
    assert [(one.phase, one.command) for one in signs] == [
        (Phase.SIGN, "asfound approve base --role examiner"), (Phase.SIGN, "asfound approve base --role reviewer"),
    ]  # fmt: skip
    approvals = tuple(
        Approval(f"approvals/{role}-x-1.json", statement(role), "", "", verified=True, current=True)
        for role in ("examiner", "reviewer")
    )
    signed = replace(whole, core=replace(whole.core, approvals=approvals))
    assert [(one.phase, one.command) for one in ahead(signed, topics())] == [(Phase.ISSUE, "asfound issue base")]
    stale = tuple(replace(one, current=False) for one in approvals)
    assert ahead(replace(whole, core=replace(whole.core, approvals=stale)), topics()) == signs
    assert ahead(signed, topics(), "edition 1") == ()


def statement(role: str) -> ApprovalStatement:
    blank = dict.fromkeys(ApprovalStatement.__dataclass_fields__, "")
    return ApprovalStatement(**{**blank, "role": role})  # type: ignore[arg-type]


def test_a_signature_that_a_change_voided_is_asked_for_once_and_with_the_reason(tmp_path: Path) -> None:
    whole = dossier(tmp_path)
    said = [f"x approved this as {role}, and the case changed since: R-flow-1" for role in ("examiner", "owner")]
    blank = dossier(tmp_path / "other", delete=("custody.csv",)).core.problems[0]
    void = tuple(replace(blank, rule="approval-void", level=Level.WARN, found=one) for one in said)
    found = ahead(replace(whole, core=replace(whole.core, problems=void)), topics())
    assert [one.what for one in found if one.phase is Phase.SIGN and one.command] == [
        "Have the examiner read what changed and sign the case again.", "Have the reviewer read and sign the case.",
    ]  # fmt: skip
    # Said once: by the step for the examiner; that of another role stands for itself.
    assert [sum(text in one.why for one in found) for text in said] == [1, 1]


def test_nothing_is_signed_while_something_refuses_the_case_or_it_is_open(tmp_path: Path) -> None:
    edit = ("gates.yml", "outcome: no damage", "outcome: significant damage")
    refused = steps(tmp_path, edit)
    assert {one.level for one in refused} >= {Level.REJECT} and not [one for one in refused if one.phase is Phase.SIGN]


@pytest.mark.parametrize("passed", [0, 1, 5, 8])
def test_the_next_gate_is_the_one_after_the_furthest(tmp_path: Path, passed: int) -> None:
    text = (Copy(tmp_path / "whole").root / CASE / "gates.yml").read_text("utf-8")
    kept = text[: text.index(f"  G-{passed + 1}:")] if passed else "gates:\n"
    whole = dossier(tmp_path, ("gates.yml", text, kept))
    order = list(OF_GATE)
    kinds = [gate.gate for gate in whole.core.case.gates.gates.values()]
    assert len(kinds) == passed
    expected = order[max((order.index(kind) for kind in kinds), default=-1) + 1]
    assert next_gate(whole.core) is expected
    (step,) = [one for one in ahead(whole, topics()) if one.command.startswith("asfound gate")]
    assert step.command == f'asfound gate base "{expected}" --by ROLE' and step.phase is OF_GATE[expected]
    # The rule that misses gates is told by this step, or stands for itself, but is never lost and never told twice.
    assert len([one for one in ahead(whole, topics()) if "not on record among the gates" in one.why]) <= 1


def test_a_gate_that_there_is_nothing_to_pass_for_is_not_asked_for(tmp_path: Path) -> None:
    """Statements that nobody took cannot be opened, and a plan without a passive test has none to finish."""
    text = (Copy(tmp_path / "whole").root / CASE / "gates.yml").read_text("utf-8")
    tested = ("gates.yml", text, text[: text.index("  G-12:")])
    assert next_gate(dossier(tmp_path / "a", tested).core) is GateKind.STATEMENTS_OPENED
    assert next_gate(dossier(tmp_path / "b", tested, delete=("statements.yml",)).core) is GateKind.WEIGHED
    sealed = ("gates.yml", text, text[: text.index("  G-9:")])
    assert next_gate(dossier(tmp_path / "c", sealed).core) is GateKind.PASSIVE_TESTS_DONE
    plan = (Copy(tmp_path / "plan").root / CASE / "plan.yml").read_text("utf-8")
    active = ("plan.yml", plan, plan.replace("  pump-earth:", "  pump-touch--earth:"))
    assert next_gate(dossier(tmp_path / "d", sealed, active).core) is GateKind.SAFE_TO_CONNECT


def test_a_plan_is_written_before_it_is_sealed(tmp_path: Path) -> None:
    text = (Copy(tmp_path / "whole").root / CASE / "gates.yml").read_text("utf-8")
    looked = ("gates.yml", text, text[: text.index("  G-8:")])
    (step,) = [one for one in steps(tmp_path, looked, delete=("plan.yml",)) if "plan sealed" in one.what]
    assert step.what.startswith("Write the plan, then pass the gate") and step.command == "asfound plan base"


def test_pictures_of_the_whole_belong_to_what_has_to_be_kept(tmp_path: Path) -> None:
    found = steps(tmp_path, ("evidence.yml", "  view: close\n", ""), delete=("custody.csv",))
    kept = [one.rule for one in found if one.phase is Phase.KEEP and one.level is not None]
    assert kept[0] == "views-missing" and "custody-gap" in kept, "what cannot wait stands before what weighs more"
    assert {one.phase for one in found if one.rule == "views-missing"} == {Phase.KEEP}


def test_rows_of_the_plan_that_were_not_taken_are_counted_once(tmp_path: Path) -> None:
    sheet = next((Copy(tmp_path / "whole").root / CASE / "readings").glob("*.csv"))
    found = steps(tmp_path, delete=(f"readings/{sheet.name}",))
    rows = [one for one in found if one.phase is Phase.TESTS and one.what.startswith("Take ")]
    assert rows and all(one.subject.startswith("P-") and one.where is not None for one in rows)
    told = [one for one in found if one.rule == "coverage-incomplete"]
    assert told == rows and rows[0].what == "Take 1 row of Flow on I-1: setting 50 mL/h."
    assert rows[0].why == "1 of 2 combinations of pump-flow were not measured (setting 50 mL/h)"


def test_reasons_are_those_of_the_rules_heavier_first_within_a_stretch(tmp_path: Path) -> None:
    whole = dossier(tmp_path, delete=("custody.csv", "statements.yml"))
    found = ahead(whole, topics())
    said = {(one.rule, one.found, one.span) for one in whole.core.problems if one.level is not Level.NOTE}
    plain = [one for one in found if one.level is not None]
    assert plain and all((one.rule, one.why, one.where) in said for one in plain)
    order = list(Phase)
    assert [order.index(one.phase) for one in found] == sorted(order.index(one.phase) for one in found)
    for phase in Phase:
        ranks = [one.level.rank for one in plain if one.phase is phase and one.level]
        assert ranks == sorted(ranks)


def test_what_is_owed_stands_with_its_last_day_and_only_at_work(tmp_path: Path) -> None:
    found = assess_case(ROOT, ROOT / "cases/return-pad-lesion", dt.date(2026, 3, 20)).dossier
    assert found is not None and found.duties.open
    owed = [one for one in ahead(found, topics()) if one.phase is Phase.DUTIES]
    assert [one.due for one in owed] == [line.due for line in found.duties.open]
    assert all(line.source in one.why for one, line in zip(owed, found.duties.open, strict=True))
    bare = replace(found, duties=type(found.duties)())
    assert not [one for one in ahead(bare, topics()) if one.phase is Phase.DUTIES]


def test_the_command_tells_it_in_sentences_and_as_data(tmp_path: Path) -> None:
    copy = Copy(tmp_path / "Prüf stand", delete=("custody.csv",))
    done = apart(copy.root, "status", "base", "--on", "2026-03-20")
    assert done.code == 0 and "\nKeep what there is\n" in done.out and "     Why: " in done.out, done.err
    data = json.loads(apart(copy.root, "status", "base", "--json", "--on", "2026-03-20").out)
    assert data["case"] == "base" and data["on"] == "2026-03-20" and data["steps"][0]["phase"] == "Keep what there is"
    everything = apart(copy.root, "status", "base", "--all", "--on", "2026-03-20").out
    assert everything.count("     Why: ") == len(data["steps"])
    (copy.root / CASE / "case.yml").write_text("case: [\n", "utf-8")
    broken = apart(copy.root, "status", "base", "--root", str(copy.root))
    assert broken.code in (1, 2) and "Traceback" not in broken.err


def test_an_open_case_of_the_first_hour_begins_with_safety() -> None:
    done = apart(ROOT, "status", "tests/cases/hour-one", "--on", "2026-05-05")
    assert done.out.splitlines()[2:4] == [
        "Make safe", "  1. Pass the gate “made safe”, and write it down when it is passed.",
    ]  # fmt: skip


def test_help_has_an_example() -> None:
    assert "\n  asfound status return-pad-lesion" in apart(ROOT, "status", "--help").out
