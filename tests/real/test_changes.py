"""The record of changes, from real repositories with real cases."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.assess import Used, assess_case, assess_cases, find_cases, open_repository
from asfound.assess.chronicle import Chronicle
from asfound.model.bench import Roles
from asfound.model.dossier import core_digest, dossier_json, read_dossier
from asfound.model.past import FieldChange, Past, RecordChange

from ..support.repository import Repo

BASE = Path(__file__).parents[1] / "rules" / "base"
ON = dt.date(2026, 3, 20)
HEAD = """\
case: small
title: A tingle at the warmer
stage: open
event:
  kind: shock
  told_at: 2026-05-04 10:20 +02:00
  time_source: the wall clock of the room, read by the nurse
  where: day surgery, room 2
  account: The nurse reports a tingle.
harmed: none
"""
FINDINGS = """\
F-1:
  text: The pole was at 4 V against the rail.
  about: [I-1]
  rests_on: [V-1]
F-2:
  text: The cord was whole.
  about: [I-1]
  rests_on: [V-2]
"""


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """A repository with one small case, committed."""
    (tmp_path / "here").mkdir()
    made = Repo(tmp_path / "here")
    put(made, "case.yml", HEAD)
    made.commit("open the case")
    return made


def put(repo: Repo, name: str, text: str | bytes | None, folder: str = "cases/small") -> None:
    path = repo.root / folder / name
    if text is None:
        path.unlink()
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)


def past(repo: Repo, folder: str = "cases/small", case: str = "small", instruments: tuple[str, ...] = ()) -> Past:
    return Chronicle(repo.root).past(case, folder, Used(frozenset(instruments)))


def told(found: Past, ref: str) -> list[tuple[str, str, tuple[FieldChange, ...]]]:
    """Subject of the commit, what it did, and the fields."""
    subjects = {commit.id: commit.subject for commit in found.commits}
    return [(subjects[one.commit], one.kind, one.fields) for one in found.of(ref)]


def test_a_record_is_told_from_its_first_to_its_last_word(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first findings")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "40 V").replace("[V-1]", "[V-1, V-3]"))
    repo.commit("correct")
    put(repo, "findings.yml", FINDINGS.partition("F-2")[2].replace(":\n", "F-2:\n", 1))
    repo.commit("withdraw F-1")
    found = past(repo)
    assert found.known and found.gaps == () and found.uncommitted == ()
    first, second, third = told(found, "F-1")
    assert first[:2] == ("first findings", "added")
    assert FieldChange("text", None, "The pole was at 4 V against the rail.") in first[2]
    assert second == (
        "correct",
        "changed",
        (
            FieldChange("text", "The pole was at 4 V against the rail.", "The pole was at 40 V against the rail."),
            FieldChange("rests_on", "V-1", "V-1, V-3"),
        ),
    )
    assert third[:2] == ("withdraw F-1", "removed")
    assert FieldChange("text", "The pole was at 40 V against the rail.", None) in third[2]
    assert [one[1] for one in told(found, "F-2")] == ["added"]
    assert found.of("F-1")[1].file == "cases/small/findings.yml" and found.of("F-1")[1].line == 1


def test_writing_the_same_in_another_style_or_order_is_no_change(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    head, _, second = FINDINGS.partition("F-2:")
    other = (
        "# Sorted anew.\nF-2:"
        + second
        + head.replace("[I-1]", "\n    - I-1").replace(
            "The pole was at 4 V against the rail.", '"The pole was at 4 V against\n    the rail."'
        )
    )
    put(repo, "findings.yml", other.replace("\n", "\r\n"))
    repo.commit("style")
    found = past(repo)
    assert [one[1] for ref in ("F-1", "F-2") for one in told(found, ref)] == ["added", "added"]
    assert [commit.subject for commit in found.commits] == ["open the case", "first"]


def test_values_are_told_as_typed(repo: Repo) -> None:
    put(repo, "room.yml", "U-1:\n  what: socket\n  value: 0.10\n  no: NO\n")
    repo.commit("first")
    put(repo, "room.yml", "U-1:\n  what: socket\n  value: 0.1\n  no: no\n")
    repo.commit("second")
    assert told(past(repo), "U-1")[1][2] == (FieldChange("value", "0.10", "0.1"), FieldChange("no", "NO", "no"))


def test_fields_within_fields_are_named_by_the_way_to_them(repo: Repo) -> None:
    text = "X-1:\n  needs:\n    - claim: one\n      shown_by: [F-1]\n    - claim: two\n  map: {a: 1, b: 2}\n"
    put(repo, "explanations.yml", text)
    repo.commit("first")
    changed = text.replace("    - claim: two", "    - claim: new\n    - claim: two, and more").replace("b: 2", "c: 3")
    put(repo, "explanations.yml", changed)
    repo.commit("second")
    assert told(past(repo), "X-1")[1][2] == (
        FieldChange("needs / 2 / claim", "two", "new"),
        FieldChange("needs / 3", None, "claim: two, and more"),
        FieldChange("map / b", "2", None),
        FieldChange("map / c", None, "3"),
    )


def test_rows_are_told_by_their_number_and_not_by_their_line(repo: Repo) -> None:
    table = "row,setting [W],value [W]\n1,30,29.4\n2,60,58.0\n"
    put(repo, "readings/output.csv", table)
    repo.commit("first")
    put(repo, "readings/output.csv", "row,setting [W],value [W]\n3,90,88\n2,60,85.0\n1,30,29.4\n")
    repo.commit("second")
    found = past(repo)
    assert told(found, "R-output-2") == [
        ("first", "added", ()),
        ("second", "changed", (FieldChange("value [W]", "58.0", "85.0"),)),
    ]
    assert [one[1] for one in told(found, "R-output-1")] == ["added"]
    assert found.of("R-output-3")[0].line == 2
    put(repo, "readings/output.csv", table.replace("value [W]", "value [mW]").replace("2,60,58.0\n", ""))
    repo.commit("third")
    found = past(repo)
    assert told(found, "R-output-1")[1][2] == (
        FieldChange("value [W]", "29.4", None),
        FieldChange("value [mW]", None, "29.4"),
    )
    assert told(found, "R-output-2")[2] == (
        "third",
        "removed",
        (FieldChange("setting [W]", "60", None), FieldChange("value [W]", "85.0", None)),
    )


@pytest.mark.parametrize(
    ("file", "row", "ref"),
    [
        ("custody.csv", "line,items\n4,I-1\n", "C-4"),
        ("inspection.csv", "row,what\n7,soot\n", "V-7"),
        ("timeline.csv", "row,event\n2,x\n", "T-2"),
    ],
)
def test_each_table_has_its_letter(repo: Repo, file: str, row: str, ref: str) -> None:
    put(repo, file, row)
    repo.commit("first")
    assert [one[1] for one in told(past(repo), ref)] == ["added"]


def test_what_is_one_record_with_its_file_goes_by_the_file_and_its_parts_by_their_ids(repo: Repo) -> None:
    put(repo, "plan.yml", "written_by: examiner\nguard_factor: 1\ntests:\n  output-power:\n    why: it was in use\n")
    put(repo, "scene.yml", "settings:\n  A-1: {value: 30 W}\nnote: none\n")
    repo.commit("first")
    put(
        repo,
        "plan.yml",
        "written_by: examiner\nguard_factor: 0.83\ntests:\n  output-power:\n    why: it was in use, twice\n",
    )
    put(repo, "scene.yml", "settings:\n  A-1: {value: 90 W}\nnote: none\n")
    repo.commit("second")
    found = past(repo)
    assert told(found, "plan.yml")[1][2] == (FieldChange("guard_factor", "1", "0.83"),)
    assert told(found, "P-output-power")[1][2] == (FieldChange("why", "it was in use", "it was in use, twice"),)
    assert told(found, "A-1")[1][2] == (FieldChange("value", "30 W", "90 W"),)
    assert len(told(found, "scene.yml")) == 1


def test_evidence_goes_by_its_id_and_its_contents(repo: Repo) -> None:
    put(repo, "evidence/a.jpg", b"\xff\xd8one")
    repo.commit("picture")
    put(repo, "evidence.yml", "E-1:\n  file: evidence/a.jpg\n  shows: the plug\n")
    repo.commit("register")
    put(repo, "evidence/a.jpg", b"\xff\xd8two")
    put(repo, "evidence/b.jpg", b"\xff\xd8three")
    repo.commit("touch")
    found = past(repo)
    digests = [hashlib.sha256(b"\xff\xd8" + name).hexdigest() for name in (b"one", b"two")]
    assert [(one[0], one[1]) for one in told(found, "E-1")] == [
        ("picture", "added"),
        ("register", "added"),
        ("touch", "changed"),
    ]
    assert told(found, "E-1")[2][2] == (FieldChange("contents (SHA-256)", *digests),)
    assert told(found, "evidence/b.jpg") == [("touch", "added", ())]
    repo.git("mv", "cases/small/evidence/b.jpg", "cases/small/evidence/c.jpg")
    repo.commit("rename")
    move = FieldChange("file", "cases/small/evidence/b.jpg", "cases/small/evidence/c.jpg")
    assert told(past(repo), "evidence/c.jpg") == [("rename", "moved", (move,))]


def test_a_case_is_followed_through_a_moved_folder_and_an_edit_on_the_way(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    put(repo, "evidence/a.txt", "one")
    repo.commit("first")
    repo.git("mv", "cases/small", "cases/another-name")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "6 V"), "cases/another-name")
    repo.commit("move")
    found = past(repo, "cases/another-name")
    place = FieldChange("file", "cases/small/findings.yml", "cases/another-name/findings.yml")
    assert told(found, "F-2")[1:] == [("move", "moved", (place,))]
    text = FieldChange("text", "The pole was at 4 V against the rail.", "The pole was at 6 V against the rail.")
    assert told(found, "F-1")[1:] == [("move", "changed", (text, place))]
    assert told(found, "case.yml")[1][1] == "moved" and told(found, "evidence/a.txt")[1][1] == "moved"
    assert found.uncommitted == () and not [one for one in found.changes if one.kind == "removed"]


def test_what_was_committed_before_case_yml_belongs_to_the_case(tmp_path: Path) -> None:
    (tmp_path / "r").mkdir()
    repo = Repo(tmp_path / "r")
    put(repo, "evidence/a.jpg", b"\xff\xd8one")
    put(repo, "items.yml", "I-1:\n  what: a warmer\n")
    repo.commit("hour one")
    put(repo, "case.yml", HEAD)
    put(repo, "items.yml", "I-1:\n  what: a fluid warmer\n")
    repo.commit("the case")
    found = past(repo)
    assert told(found, "evidence/a.jpg") == [("hour one", "added", ())]
    assert [one[:2] for one in told(found, "I-1")] == [("hour one", "added"), ("the case", "changed")]


def test_another_identity_in_the_same_folder_is_the_same_case_and_is_said(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    put(repo, "case.yml", HEAD.replace("case: small", "case: renamed"))
    at = repo.commit("another identity")
    found = past(repo, case="renamed")
    assert [one[0] for one in told(found, "F-1")] == ["first"]
    assert told(found, "case.yml")[1][2] == (FieldChange("case", "small", "renamed"),)
    assert found.gaps == (f"Up to commit {at[:10]} the case bore the identity “small”.",)


def test_two_cases_keep_apart_and_an_evidence_folder_holds_no_case(repo: Repo) -> None:
    put(repo, "case.yml", HEAD.replace("case: small", "case: other"), "cases/other")
    put(repo, "findings.yml", FINDINGS, "cases/other")
    put(repo, "evidence/copy/case.yml", HEAD.replace("case: small", "case: copied"))
    repo.commit("other")
    assert past(repo).of("F-1") == () and len(past(repo, "cases/other", "other").of("F-1")) == 1
    assert told(past(repo), "evidence/copy/case.yml") == [("other", "added", ())]


def merged(repo: Repo, here: str, there: str, result: str | None, *options: str) -> Past:
    """Two branches that change findings.yml, and a merge that makes `result` of it (None: what git makes)."""
    put(repo, "findings.yml", FINDINGS)
    repo.commit("base")
    repo.git("checkout", "-q", "-b", "side")
    put(repo, "findings.yml", there)
    repo.commit("side")
    repo.git("checkout", "-q", "main")
    put(repo, "findings.yml", here)
    put(repo, "room.yml", "U-1:\n  what: socket\n")
    repo.commit("main")
    who = ("-c", "user.name=x", "-c", "user.email=x@example.org")
    command = ["git", "-C", str(repo.root), *who, "merge", "-q", "--no-ff", "--no-commit", *options, "side"]
    subprocess.run(command, capture_output=True, check=False)
    if result is not None:
        put(repo, "findings.yml", result)
    repo.commit("merge")
    return past(repo)


def test_an_edit_made_inside_a_merge_is_the_merge_s_own(repo: Repo) -> None:
    there = FINDINGS.replace("whole", "cut")
    found = merged(repo, FINDINGS, there, there.replace("4 V", "44 V"))
    assert told(found, "F-1")[1:] == [
        (
            "merge",
            "changed",
            (FieldChange("text", "The pole was at 4 V against the rail.", "The pole was at 44 V against the rail."),),
        )
    ]
    assert [one[0] for one in told(found, "F-2")] == ["base", "side"]


def test_records_merged_from_both_sides_are_told_once_where_they_were_made(repo: Repo) -> None:
    here, there = FINDINGS.replace("4 V", "5 V"), FINDINGS.replace("whole", "cut")
    both = here.replace("whole", "cut")
    found = merged(repo, here, there, both)
    assert [one[0] for one in told(found, "F-1")] == ["base", "main"]
    assert [one[0] for one in told(found, "F-2")] == ["base", "side"]


@pytest.mark.parametrize("options", [("-s", "ours"), ("-X", "ours")])
def test_a_change_that_a_merge_dropped_is_told(repo: Repo, options: tuple[str, ...]) -> None:
    here = FINDINGS.replace("4 V", "5 V")
    found = merged(repo, here, FINDINGS.replace("whole", "cut"), here, *options)
    assert told(found, "F-2")[1:] == [
        ("side", "changed", (FieldChange("text", "The cord was whole.", "The cord was cut."),)),
        ("merge", "changed", (FieldChange("text", "The cord was cut.", "The cord was whole."),)),
    ]
    assert [one[0] for one in told(found, "F-1")] == ["base", "main"]


def test_a_version_nobody_can_read_hides_nothing(repo: Repo) -> None:
    """Broken in one commit, mended and changed in the next: the change is told against what stood before."""
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    put(repo, "findings.yml", FINDINGS + "F-3: [\n")
    broken = repo.commit("broken")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "8 V"))
    repo.commit("mended")
    found = past(repo)
    assert [(one[0], one[1]) for one in told(found, "F-1")] == [("first", "added"), ("mended", "changed")]
    assert told(found, "findings.yml") == [("broken", "changed", ())]
    assert found.gaps == (
        f"cases/small/findings.yml could not be read as it stood in commit {broken[:10]}; what such a version changed "
        "is told with the next that can be read.",
    )


BOMB = "a: &a [x, x, x, x]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [{', '.join([f'*{chr(97 + n)}'] * 9)}]\n" for n in range(12)
)


@pytest.mark.parametrize(
    "text",
    [
        BOMB,
        "[" * 5000,
        "F-1: " + "{a: " * 2000 + "}" * 2000,
        "\x00\x01",
        "? [a]\n: b\n",
        "F-1: {a: 1, a: 2}\nF-1: {a: 3}\n",
        "- 1\n",
    ],
)
def test_hostile_versions_neither_stop_nor_slow_the_telling(repo: Repo, text: str) -> None:
    put(repo, "findings.yml", text)
    repo.commit("odd")
    put(repo, "findings.yml", FINDINGS)
    repo.commit("sound")
    found = past(repo)
    assert found.known and told(found, "F-2")[-1][:2] == ("sound", "added")


def test_an_id_that_stands_twice_is_told_apart(repo: Repo) -> None:
    put(repo, "readings/a.csv", "row,value [V]\n1,2\n1,3\n")
    repo.commit("twice")
    put(repo, "readings/a.csv", "row,value [V]\n1,2\n1,4\n")
    repo.commit("second")
    assert told(past(repo), "R-a-1 (again)")[1][2] == (FieldChange("value [V]", "3", "4"),)


def test_what_is_not_committed_is_said_apart(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    put(repo, "evidence/log.csv", "a\nb\n")
    put(repo, "evidence/gone.txt", "x")
    repo.commit("first")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "400 V"))
    put(repo, "room.yml", "U-1:\n  what: socket\n")
    put(repo, "evidence/log.csv", "a\r\nb\r\n")
    put(repo, "evidence/new.txt", "y")
    put(repo, "evidence/gone.txt", None)
    put(repo, "approvals/x.json", "{}")
    repo.git("add", "cases/small/room.yml")
    # A flag that hides a change from `git status`.
    repo.git("update-index", "--assume-unchanged", "cases/small/findings.yml")
    found = past(repo)
    assert [(one.ref, one.kind) for one in found.uncommitted] == [
        ("F-1", "changed"),
        ("U-1", "added"),
        ("evidence/gone.txt", "removed"),
        ("evidence/new.txt", "added"),
    ]
    assert {one.commit for one in found.uncommitted} == {""}
    assert told(found, "F-1")[0][:2] == ("first", "added") and len(told(found, "F-1")) == 1


def test_a_case_that_was_never_committed_is_told_so(repo: Repo) -> None:
    put(repo, "case.yml", HEAD.replace("case: small", "case: fresh"), "cases/fresh")
    found = past(repo, "cases/fresh", "fresh")
    assert (
        found.known
        and found.commits == ()
        and [(one.ref, one.kind) for one in found.uncommitted] == [("case.yml", "added")]
    )


def test_a_large_file_kept_by_its_pointer_is_no_change(repo: Repo) -> None:
    data = b"\x00" * 100
    pointer = f"version https://git-lfs.github.com/spec/v1\noid sha256:{hashlib.sha256(data).hexdigest()}\nsize 100\n"
    put(repo, "evidence/film.bin", pointer)
    repo.commit("pointer")
    put(repo, "evidence/film.bin", data)
    assert past(repo).uncommitted == ()
    put(repo, "evidence/film.bin", data + b"\x01")
    assert [one.ref for one in past(repo).uncommitted] == ["evidence/film.bin"]


def test_instruments_a_case_used_are_part_of_its_past(repo: Repo) -> None:
    register = "M-1:\n  what: a tester\n  serial: A1\nM-2:\n  what: another\n  serial: B1\n"
    put(repo, "instruments.yml", register, ".asfound")
    repo.commit("register")
    put(repo, "instruments.yml", register.replace("A1", "A2").replace("B1", "B2"), ".asfound")
    repo.commit("change")
    put(repo, "instruments.yml", register.replace("A1", "A3"), ".asfound")
    found = past(repo, instruments=("M-1",))
    assert [one[:2] for one in told(found, "M-1")] == [("register", "added"), ("change", "changed")]
    assert found.of("M-2") == () and [one.ref for one in found.uncommitted] == ["M-1"]
    assert past(repo).of("M-1") == ()


def test_people_stay_in_git(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.git("add", "-A")
    message = (
        "Say why\n\nBecause.\n\nCo-authored-by: Jo Doe <jo@example.org>\nSigned-off-by: A. Bench <bench@example.org>\n"
    )
    repo.git("-c", "user.name=x", "commit", "-q", "-m", message, "--author", "Jo Doe <jo@example.org>")
    roles = Roles(authors={"Bench@Example.org": "examiner"})
    found = Chronicle(repo.root, roles).past("small", "cases/small")
    assert [(one.author, one.role) for one in found.commits] == [
        ("author 1", "examiner"),
        ("author 2", "an author not listed"),
    ]
    assert found.commits[1].body == "Because."
    assert "Doe" not in repr(found) and "Bench" not in repr(found) and "example.org" not in repr(found)


def test_a_plan_that_came_with_its_results_is_not_provable(repo: Repo) -> None:
    put(repo, "plan.yml", "tests:\n  output-power:\n    why: in use\n")
    put(repo, "readings/a.csv", "row,value [V]\n1,2\n")
    at = repo.commit("all at once")
    assert past(repo).gaps == (
        f"The plan and its first results entered git in one commit, {at[:10]}: git cannot show which was written "
        "first.",
    )


def test_a_plan_that_came_first_leaves_no_gap(repo: Repo) -> None:
    put(repo, "plan.yml", "tests: {}\n")
    repo.commit("plan")
    put(repo, "readings/a.csv", "row,value [V]\n1,2\n")
    repo.commit("results")
    assert past(repo).gaps == ()


def test_a_history_made_anew_and_times_that_run_backwards_are_said(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "9 V"))
    repo._minute = 30
    later = repo.commit("later")
    put(repo, "findings.yml", FINDINGS)
    repo._minute = 10
    early = repo.commit("early")
    gaps = past(repo).gaps
    assert len(gaps) == 1 and early[:10] in gaps[0] and later[:10] in gaps[0] and "earlier than" in gaps[0]
    when = {
        "GIT_COMMITTER_DATE": "2026-03-21T00:00:00 +0000",
        "GIT_COMMITTER_NAME": "x",
        "GIT_COMMITTER_EMAIL": "x@example.org",
    }
    subprocess.run(
        ["git", "-C", str(repo.root), "commit", "-q", "--amend", "--no-edit"],
        env={**os.environ, **when},
        check=True,
    )
    gaps = past(repo).gaps
    assert (
        len(gaps) == 1
        and gaps[0].startswith("One commit was made anew")
        and repo.git("rev-parse", "HEAD")[:10] in gaps[0]
    )


def test_replaced_objects_are_said_once(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    forged = repo.git("hash-object", "-w", "--stdin", data=FINDINGS.replace("4 V", "0 V"))
    repo.git("replace", repo.git("rev-parse", "HEAD:cases/small/findings.yml"), forged)
    found = past(repo)
    assert FieldChange("text", None, "The pole was at 4 V against the rail.") in told(found, "F-1")[0][2]
    assert len(found.gaps) == 1 and "1 object in the place of others" in found.gaps[0] and found.uncommitted == ()


def test_a_clone_without_contents_says_so(repo: Repo, tmp_path: Path) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "7 V"))
    repo.commit("second")
    repo.git("config", "uploadpack.allowFilter", "true")
    short = tmp_path / "partial"
    subprocess.run(
        ["git", "clone", "-q", "--filter=blob:none", f"file://{repo.root}", str(short)], check=True, capture_output=True
    )
    found = Chronicle(short).past("small", "cases/small")
    assert found.known and any("holds back older contents" in gap for gap in found.gaps)


def test_the_first_edition_that_holds_a_change_is_named(repo: Repo) -> None:
    put(repo, "findings.yml", FINDINGS)
    repo.commit("first")
    repo.git("checkout", "-q", "-b", "side")
    put(repo, "room.yml", "U-1:\n  what: socket\n")
    repo.commit("side")
    repo.git("checkout", "-q", "main")
    put(repo, "editions/1/edition.json", "{}")
    repo.commit("issue")
    put(repo, "findings.yml", FINDINGS.replace("4 V", "9 V"))
    repo.commit("after")
    repo.git("merge", "-q", "--no-ff", "-m", "merge", "side")
    put(repo, "editions/2/edition.json", "{}")
    repo.commit("issue again")
    put(repo, "room.yml", "U-1:\n  what: a socket\n")
    repo.commit("late")
    found = past(repo)
    assert [one.edition for one in found.of("F-1")] == [1, 2]
    # Committed before the first edition was, but on a branch that edition does not rest on.
    assert [one.edition for one in found.of("U-1")] == [2, 0]
    assert found.of("editions/1/edition.json")[0].edition == 1


@pytest.fixture
def whole(tmp_path: Path) -> Repo:
    """The base case of the rules' tests, committed whole."""
    shutil.copytree(BASE, tmp_path / "whole")
    repo = Repo(tmp_path / "whole")
    repo.commit("all")
    return repo


def test_the_dossier_holds_it_where_it_is_asked_for(whole: Repo) -> None:
    folder = whole.root / "cases" / "base"
    silent = assess_case(whole.root, folder, ON).dossier
    asked = assess_case(whole.root, folder, ON, history=True).dossier
    assert silent is not None and asked is not None
    assert not silent.history.known and asked.history.known
    case = asked.core.case
    refs = {change.ref for change in asked.history.changes}
    assert set(case.records) <= refs and {"case.yml", "plan.yml", "conclusion.yml"} <= refs
    assert {one for one in refs if one.startswith("M-")} == set(asked.core.instruments)
    assert asked.history.uncommitted == ()
    text = dossier_json(asked)
    assert read_dossier(text) == asked and dossier_json(read_dossier(text)) == text
    assert core_digest(asked.core) == core_digest(silent.core)


def test_git_is_read_once_for_all_cases(whole: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound import history

    for name in ("two", "three"):
        shutil.copytree(whole.root / "cases" / "base", whole.root / "cases" / name)
        head = whole.root / "cases" / name / "case.yml"
        head.write_text(head.read_text().replace("case: base", f"case: {name}"))
    whole.commit("more")
    times = 0
    read: Callable[[Path], object] = history.read

    def counted(root: Path) -> object:
        nonlocal times
        times += 1
        return read(root)

    monkeypatch.setattr(history, "read", counted)
    found = assess_cases(whole.root, find_cases(whole.root), ON, history=True)
    assert len(found) == 3 and all(one.dossier is not None and one.dossier.history.changes for one in found)
    assert times == 1


def test_without_git_the_dossier_says_why(tmp_path: Path) -> None:
    shutil.copytree(BASE, tmp_path / "bare")
    found = assess_case(tmp_path / "bare", tmp_path / "bare" / "cases" / "base", ON, history=True).dossier
    assert found is not None and not found.history.known
    assert found.history.why == "The cases do not lie in a git repository, so no history of the records is kept."


def test_roles_come_from_the_organisation(whole: Repo) -> None:
    put(whole, "roles.yml", "authors:\n  A. Bench: examiner\n", ".asfound")
    shared = open_repository(whole.root)
    assert shared.problems == ()
    found = shared.chronicle.past("base", "cases/base")
    assert {one.role for one in found.commits} == {"examiner"}


def test_the_same_history_gives_the_same_bytes(whole: Repo, tmp_path: Path) -> None:
    subprocess.run(
        ["git", "clone", "-q", f"file://{whole.root}", str(tmp_path / "clone")], check=True, capture_output=True
    )
    texts = [
        dossier_json(found)
        for root in (whole.root, tmp_path / "clone")
        if (found := assess_case(root, root / "cases" / "base", ON, history=True).dossier) is not None
    ]
    assert len(texts) == 2 and texts[0] == texts[1] and str(tmp_path) not in texts[0]


def test_changes_are_plain_records() -> None:
    change = RecordChange("c", "F-1", "added", "cases/small/findings.yml")
    assert Past(True, "", (), (change,)).of("F-1") == (change,)
