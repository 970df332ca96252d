"""Two dossiers side by side: nothing is missed, nothing is made up, and the biggest comes first."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.compare import Area, Difference, Kind, differences, in_words
from asfound.compare.differences import _all_records
from asfound.compare.fields import fields_of
from asfound.model.dossier import Core, dossier_json, read_dossier
from asfound.model.outcome import Outcome
from asfound.model.reasoning import ConfidenceLevel, Status
from tests.rules.support import BASE, CASE, ON, Copy, Edit


def core_of(root: Path) -> Core:
    made = assess_case(root, root / CASE, ON).dossier
    assert made is not None
    return made.core


@pytest.fixture(scope="module")
def base() -> Core:
    return core_of(BASE)


def changed(tmp_path: Path, *edits: Edit) -> Core:
    return core_of(Copy(tmp_path / "copy", edits).root)


def words(found: tuple[Difference, ...]) -> list[str]:
    return [in_words(one) for one in found]


def test_a_dossier_beside_itself_gives_nothing(base: Core) -> None:
    assert differences(base, base) == ()
    text = dossier_json(replace(assess_case(BASE, BASE / CASE, ON).dossier))  # type: ignore[arg-type]
    assert differences(base, read_dossier(text).core) == ()


def test_a_typed_reading_is_told_with_its_unit(base: Core, tmp_path: Path) -> None:
    new = changed(tmp_path, ("readings/flow.csv", "4,100,111.9", "4,100,101.9"))
    found = {one.ref: one for one in differences(base, new) if one.area is Area.RECORD}
    assert set(found) == {"R-flow-4"}
    assert in_words(found["R-flow-4"]) == (
        "The reading R-flow-4 was changed: value from 111.9\u00a0mL/h to 101.9\u00a0mL/h."
    )


def test_a_verdict_that_moved_names_reading_limit_and_both_outcomes(base: Core, tmp_path: Path) -> None:
    new = changed(tmp_path, ("readings/flow.csv", "4,100,111.9", "4,100,101.9"))
    moved = [one for one in differences(base, new) if one.area is Area.VERDICT]
    assert moved and all(one.kind is Kind.CHANGED for one in moved)
    one = next(one for one in moved if one.ref == "R-flow-4")
    outcome = one.move("outcome")
    assert outcome is not None and (outcome.old, outcome.new) == ("fail", "conditional pass")
    assert (
        "R-flow-4 against " in in_words(one)
        and " is conditional pass at " in in_words(one)
        and "it was fail at" in in_words(one)
    )


def test_a_date_inside_a_record_is_told_in_words_and_never_as_the_way_to_it(base: Core, tmp_path: Path) -> None:
    due = "due: 2026-11-10"
    new = changed(tmp_path, (".asfound/instruments.yml", due, "due: 2026-11-30"))
    (one,) = (one for one in differences(base, new) if one.area is Area.RECORD)
    assert in_words(one) == (
        f"The instrument {one.ref} was changed: due day of calibration 1 from 2026-11-10 to 2026-11-30."
    )
    # Programs keep the name they had.
    assert [move.name for move in one.moves] == ["calibrations, 1, due"]


def test_a_verdict_that_passed_to_another_limit_is_one_line(base: Core) -> None:
    at = next(n for n, one in enumerate(base.verdicts) if one.limit and one.value is not None)
    was = base.verdicts[at]
    assert was.limit is not None
    elsewhere = replace(was.limit, set="another-set")

    def after(**other: object) -> tuple[Difference, ...]:
        moved = was._replace(limit=elsewhere, **other)  # type: ignore[arg-type]
        changed_ = (*base.verdicts[:at], moved, *base.verdicts[at + 1 :])
        return tuple(one for one in differences(base, replace(base, verdicts=changed_)) if one.area is Area.VERDICT)

    outcome = Outcome.FAIL if was.outcome is not Outcome.FAIL else Outcome.PASS
    head = f"{was.subject} is judged by another-set/{was.limit.name} instead of {was.limit.id}: "
    (one,) = after(outcome=outcome)
    assert in_words(one).startswith(f"{head}{outcome} at ")
    assert in_words(one).endswith(f"; it was {was.outcome} at the same value.")
    (one,) = after()
    assert in_words(one).startswith(f"{head}{was.outcome} at ") and in_words(one).endswith(", as before.")
    (one,) = after(outcome=outcome, value=Decimal(7))
    assert in_words(one).startswith(f"{head}{outcome} at 7") and f"; it was {was.outcome} at " in in_words(one)


def test_of_two_limits_that_went_and_one_that_came_only_one_of_the_same_name_is_paired(base: Core) -> None:
    at = next(n for n, one in enumerate(base.verdicts) if one.limit and one.value is not None)
    was = base.verdicts[at]
    assert was.limit is not None
    first, second, third = (replace(was.limit, set=part, name=name)
                            for part, name in (("old", "a"), ("old", "b"), ("new", "a")))  # fmt: skip
    before = replace(base, verdicts=(was._replace(limit=first), was._replace(limit=second)))
    after = replace(base, verdicts=(was._replace(limit=third),))
    told = [in_words(one) for one in differences(before, after) if one.area is Area.VERDICT]
    assert len(told) == 2
    assert any(" is judged by new/a instead of old/a: " in one for one in told)
    assert any(" against old/b was " in one and one.endswith("it is not judged any more.") for one in told)
    # None of them bears the name of another: nobody knows which took which place, so each is told by itself.
    other = replace(base, verdicts=(was._replace(limit=replace(third, name="c")),))
    told = [in_words(one) for one in differences(before, other) if one.area is Area.VERDICT]
    assert len(told) == 3 and not any("instead of" in one for one in told)


def test_a_level_that_moved_comes_first_and_is_told_once(base: Core, tmp_path: Path) -> None:
    new = changed(tmp_path, ("conclusion.yml", "level: probable", "level: possible"))
    found = differences(base, new)
    assert words(found)[0] == "The mechanism is held as possible; it was held as probable."
    assert [one for one in found if one.ref == "conclusion.yml"] == []


def test_a_line_that_only_moved_in_its_table_is_no_difference(base: Core, tmp_path: Path) -> None:
    new = changed(tmp_path, ("readings/flow.csv", "\n2,50,", "\n\n2,50,"))
    assert [one for one in differences(base, new) if one.area is Area.RECORD] == []


def test_a_file_of_evidence_is_told_with_both_digests(base: Core, tmp_path: Path) -> None:
    new = changed(tmp_path, ("evidence/plan.txt", "on paper", "on card"))
    found = differences(base, new)
    assert [one.ref for one in found if one.area is Area.FILE] == ["evidence/plan.txt"]
    rejects = [one for one in found if one.area is Area.PROBLEM]
    assert [one.beside for one in rejects] == ["evidence-altered"]
    assert in_words(rejects[0]).startswith("New, a reject of the rule evidence-altered on E-5: ")
    # The other way round the same things are told, as gone.
    assert in_words(next(one for one in differences(new, base) if one.area is Area.PROBLEM)).startswith(
        "Gone, a reject"
    )


@pytest.mark.parametrize("ref", sorted(_all_records(core_of(BASE))))
def test_no_record_can_be_taken_out_or_put_in_unseen(base: Core, ref: str) -> None:
    without = _without(base, ref)
    gone = [one for one in differences(base, without) if one.ref == ref]
    new = [one for one in differences(without, base) if one.ref == ref]
    if ref in ("case.yml", ".asfound/settings.yml"):
        assert (len(gone), len(new)) == (1, 1)
        return
    assert [one.kind for one in gone if one.area is not Area.VERDICT] == [Kind.REMOVED]
    assert [one.kind for one in new if one.area is not Area.VERDICT] == [Kind.ADDED]
    told = next(one for one in new if one.area is Area.RECORD)
    assert {move.name for move in told.moves} <= set(fields_of(_all_records(base)[ref]))
    assert all(move.old is None and move.new for move in told.moves)


def _without(core: Core, ref: str) -> Core:
    """The core without one record, which every field of the case that may hold records is searched for."""
    case = core.case
    if ref == "case.yml":
        return replace(core, case=replace(case, head=case.head.model_copy(update={"title": "another"})))
    if ref == ".asfound/settings.yml":
        return replace(core, organisation=core.organisation.model_copy(update={"organisation": "another"}))
    if ref.endswith(".yml"):
        name = {"injury.yml": "injury", "scene.yml": "scene", "plan.yml": "plan", "conclusion.yml": "conclusion"}[ref]
        return replace(core, case=replace(case, **{name: None}))
    if ref in core.instruments:
        return replace(core, instruments={name: one for name, one in core.instruments.items() if name != ref})
    updates: dict[str, object] = {}
    for one in dataclasses.fields(case):
        value = getattr(case, one.name)
        if isinstance(value, dict) and ref in value:
            updates[one.name] = {name: record for name, record in value.items() if name != ref}
        elif isinstance(value, tuple):
            updates[one.name] = tuple(row for row in value if getattr(row, "id", "") != ref)
    updates["readings"] = {
        name: replace(sheet, rows=tuple(row for row in sheet.rows if row.id != ref))
        for name, sheet in case.readings.items()
    }
    for holder, names in (("gates", ("gates", "steps")), ("scene", ("settings", "connections")), ("plan", ("tests",))):
        record = getattr(case, holder)
        if record is None:
            continue
        kept = {
            name: {key: value for key, value in getattr(record, name).items() if f"P-{key}" != ref and key != ref}
            for name in names
        }
        updates[holder] = record.model_copy(update=kept)
    return replace(core, case=replace(case, **updates))  # type: ignore[arg-type]


def test_the_order_is_that_of_weight_and_stays(base: Core) -> None:
    conclusion = base.case.conclusion
    assert conclusion is not None
    opinion = conclusion.mechanism.model_copy(update={"level": ConfidenceLevel.UNDETERMINED})
    first = base.verdicts[0]._replace(outcome=Outcome.FAIL, value=Decimal("7"))
    other = replace(
        base,
        case=replace(base.case, conclusion=conclusion.model_copy(update={"mechanism": opinion}), findings={}),
        verdicts=(first, *base.verdicts[1:]),
        limits={},
    )
    found = differences(base, other)
    assert [one.weight for one in found] == sorted(one.weight for one in found)
    assert [found[0].area, found[1].area] == [Area.LEVEL, Area.VERDICT]
    shuffled = replace(other, verdicts=tuple(reversed(other.verdicts)), results=tuple(reversed(other.results)))
    assert differences(base, shuffled) == found


def test_every_difference_is_one_sentence_without_a_line_end(base: Core) -> None:
    empty = replace(
        base, case=replace(base.case, items={}, custody=(), findings={}, conclusion=None, plan=None), limits={},
        verdicts=(), results=(), instruments={},
    )  # fmt: skip
    for pair in ((base, empty), (empty, base)):
        for sentence in words(differences(*pair)):
            assert sentence.endswith(".") and "\n" not in sentence and "None" not in sentence, sentence
            assert sentence[0].isupper()


def test_what_the_evidence_earns_is_told_apart_from_what_the_author_holds(base: Core) -> None:
    weighing = base.weighing
    assert weighing is not None
    less = replace(
        weighing,
        mechanism=replace(weighing.mechanism, level=ConfidenceLevel.POSSIBLE),
        standings=tuple(
            replace(one, status=Status.UNDETERMINED) if one.ref == "X-1" else one for one in weighing.standings
        ),
    )
    found = differences(base, replace(base, weighing=less))
    assert [in_words(one) for one in found] == [
        "For the mechanism the evidence earns possible; it earned probable.",
        "For X-1 the evidence earns undetermined; it earned supported.",
    ]
    # One that was frozen before cases were weighed has nothing to compare.
    assert differences(replace(base, weighing=None), base) == ()


def test_a_value_that_moved_is_told_to_the_place_of_its_doubt(base: Core) -> None:
    """A quotient of exact decimals has thirty digits; nobody can use more than its doubt bears out."""
    passed = (n for n, one in enumerate(base.verdicts) if one.limit and one.value is not None)
    at = next(n for n in passed if base.verdicts[n].outcome is Outcome.PASS)
    told = []
    for doubt in (0.25, None):
        moved = base.verdicts[at]._replace(value=Decimal(100) / Decimal(3), doubt=doubt, outcome=Outcome.FAIL)
        after = replace(base, verdicts=(*base.verdicts[:at], moved, *base.verdicts[at + 1 :]))
        told += [move.new or "" for one in differences(base, after) for move in one.moves if move.name == "value"]
    assert told[0].startswith("33.33\xa0") and "±\xa00.25" in told[0]
    assert told[1].startswith("33.3333\xa0")
