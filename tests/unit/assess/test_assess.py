"""What the date, the stage and an exception change, and that the same input gives the same dossier."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from asfound.assess import Assessment, assess, assess_case, catalogue, open_repository
from asfound.intake import read_case
from asfound.model.dossier import core_json, dossier_json
from asfound.problems import Level
from tests.rules.support import CASE, ON, Copy, Edit


def assessed(root: Path, *edits: Edit, extra: dict[str, str | bytes] | None = None, on: dt.date = ON) -> Assessment:
    """The base case with something exchanged, assessed."""
    Copy(root, edits, extra)
    return assess_case(root, root / CASE, on)


def levels(made: Assessment) -> dict[str, Level]:
    return {one.rule: one.level for one in made.problems}


OVERDUE: Edit = (".asfound/instruments.yml", "due: 2026-11-10", "due: 2026-03-05")
GAP: Edit = ("items.yml", "  why_not_impounded: needed for the patient; photographed in place\n", "")
RULE = "not-impounded-unexplained"
OPEN: Edit = ("case.yml", "stage: in review", "stage: open")
LIFTED = """\
Q-1:
  rule: not-impounded-unexplained
  subject: I-5
  by: reviewer
  at: 2026-03-10 11:00 -05:00
  why: The monitor left with the patient before anybody could ask.
  effect: Nothing is said about what the monitor recorded.
"""


def test_the_base_case_is_clean_and_whole(tmp_path: Path) -> None:
    made = assessed(tmp_path)
    assert made.problems == () and made.folder == CASE and made.dossier is not None
    core = made.dossier.core
    assert len(core.verdicts) >= 15 and core.results and core.coverage and core.on == ON
    assert set(core.instruments) == {"M-1", "M-2", "M-3"} and set(core.sets) == {"base-limits"}
    assert {one.limit.id for one in core.verdicts if one.limit} == set(core.limits)
    assert set(core.places) >= {"I-1", "R-flow-6", "F-5", "M-2"}
    assert core.places["R-flow-1"].line == 2 and core.places["M-2"].path == ".asfound/instruments.yml"


def test_the_same_input_gives_the_same_dossier(tmp_path: Path) -> None:
    one, two = assessed(tmp_path / "a"), assessed(tmp_path / "deeper" / "b")
    assert one.dossier is not None and two.dossier is not None
    assert dossier_json(one.dossier) == dossier_json(two.dossier)
    assert str(tmp_path) not in dossier_json(one.dossier)


def test_assessing_reads_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pure function of what was read: with every file gone it says the same."""
    import builtins
    import os
    import shutil

    Copy(tmp_path)
    shared = open_repository(tmp_path)
    reading = read_case(tmp_path, tmp_path / CASE, shared.bench)
    assert reading.case is not None
    before = assess(reading.case, reading.places, shared, ON, reading.problems)
    shutil.rmtree(tmp_path / "cases")

    def refuse(*args: object, **more: object) -> object:
        raise AssertionError(f"opened {args}")

    monkeypatch.setattr(builtins, "open", refuse)
    monkeypatch.setattr(os, "open", refuse)
    after = assess(reading.case, reading.places, shared, ON, reading.problems)
    monkeypatch.undo()
    assert after == before and core_json(after.core) == core_json(before.core)


def test_a_sheet_is_held_against_the_certificate_of_its_day(tmp_path: Path) -> None:
    """Due the day the sheet was taken: good then, whatever the day of assessment. Due the day before: not."""
    for on in (dt.date(2026, 3, 20), dt.date(2036, 3, 20)):
        made = assessed(tmp_path / f"{on}", OVERDUE, on=on)
        assert "instrument-out-of-date" not in levels(made), on
    made = assessed(tmp_path / "late", (*OVERDUE[:2], "due: 2026-03-04"))
    assert levels(made)["instrument-out-of-date"] is Level.REJECT


def test_what_lies_after_the_day_of_assessment_cannot_have_happened(tmp_path: Path) -> None:
    made = assessed(tmp_path, on=dt.date(2026, 3, 5))
    assert "impossible-time" in levels(made)
    again = assess_case(tmp_path, tmp_path / CASE, ON)
    assert again.problems == () and again.dossier is not None and made.dossier is not None
    assert again.dossier.core.digests == made.dossier.core.digests
    assert again.dossier.core.verdicts == made.dossier.core.verdicts


def test_an_open_case_is_told_what_is_needed_and_refused_only_what_is_wrong(tmp_path: Path) -> None:
    closed, opened = assessed(tmp_path / "a", GAP), assessed(tmp_path / "b", GAP, OPEN)
    assert levels(closed)[RULE] is Level.REJECT
    assert levels(opened)[RULE] is Level.NEEDED
    wrong: dict[str, str | bytes] = {"evidence/bay.jpg": b"another picture"}
    spoilt = assessed(tmp_path / "c", OPEN, extra=wrong)
    assert levels(spoilt)["evidence-altered"] is Level.REJECT


def test_an_exception_lifts_one_reject_of_one_thing(tmp_path: Path) -> None:
    made = assessed(tmp_path / "a", GAP, extra={"exceptions.yml": LIFTED})
    [lifted] = [one for one in made.problems if one.rule == RULE]
    assert lifted.level is Level.WARN and lifted.lifted == "Q-1"
    other = assessed(tmp_path / "b", GAP, extra={"exceptions.yml": LIFTED.replace("subject: I-5", "subject: I-3")})
    assert levels(other)[RULE] is Level.REJECT


def test_nothing_lifts_altered_evidence(tmp_path: Path) -> None:
    text = LIFTED.replace(RULE, "evidence-altered").replace("I-5", "E-1")
    made = assessed(tmp_path, extra={"evidence/bay.jpg": b"another picture", "exceptions.yml": text})
    [altered] = [one for one in made.problems if one.rule == "evidence-altered"]
    assert altered.level is Level.REJECT and not altered.lifted
    assert not catalogue()["evidence-altered"].liftable


def test_the_digest_of_a_case_is_of_its_bytes_and_not_of_its_line_ends(tmp_path: Path) -> None:
    plain = assessed(tmp_path / "a")
    root = tmp_path / "b"
    Copy(root)
    for path in (root / CASE).rglob("*"):
        if path.suffix in {".yml", ".csv"} and "evidence" not in path.parts:
            path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    ends = assess_case(root, root / CASE, ON)
    assert plain.dossier is not None and ends.dossier is not None and ends.problems == ()
    assert ends.dossier.core.digests == plain.dossier.core.digests
    word = assessed(tmp_path / "c", ("items.yml", "what: Power cord", "what: Power lead"))
    assert word.dossier is not None and word.dossier.core.digests.case != plain.dossier.core.digests.case
    assert word.dossier.core.digests.limits == plain.dossier.core.digests.limits
    limit = assessed(tmp_path / "d", (".asfound/limits/base-limits.yml", "value: 300 mohm", "value: 250 mohm"))
    assert limit.dossier is not None and limit.dossier.core.digests.case == plain.dossier.core.digests.case
    assert limit.dossier.core.digests.limits != plain.dossier.core.digests.limits


def test_versions_that_had_a_say_are_named_and_stay_out_of_the_core(tmp_path: Path) -> None:
    made = assessed(tmp_path).dossier
    assert made is not None and made.made_with.asfound and made.made_with.tzdata
    assert '"made_with"' not in core_json(made.core)
