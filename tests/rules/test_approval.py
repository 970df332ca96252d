"""Rules about approvals, with real keys and signatures that OpenSSH made."""

from __future__ import annotations

import datetime as dt
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.assess import open_repository
from asfound.intake import read_case
from asfound.model.approval import Approval, Signing
from asfound.model.facts import Facts
from asfound.model.past import Commit, Past, RecordChange
from asfound.problems import Level
from asfound.rules.approval import reviewer_not_provable, reviewer_signed_own_work
from tests.rules.signing import approval, line, sign, signers, statement
from tests.rules.support import CASE, ON, Copy, Edit, assert_fires, assert_silent, run_with

EXAMINER = "approvals/examiner-examiner-1-1.json"
REVIEWER = "approvals/reviewer-second-1.json"
AMENDED: Edit = ("readings/flow.csv", "4,100,111.9", "4,100,112.9")
SHOP: Edit = (".asfound/settings.yml", "organisation:", "two_person_shop: yes\norganisation:")
GAP = """\
Q-1:
  rule: custody-gap
  subject: I-4
  by: examiner
  at: 2026-03-06 09:00 -06:00
  why: It was never used.
  effect: None.
"""
WHOLE = GAP.replace("  subject: I-4\n", "")


def files(*parts: dict[str, str | bytes]) -> dict[str, str | bytes]:
    """Several sets of files as one."""
    return {name: data for part in parts for name, data in part.items()}


# What holds


def test_two_approvals_of_the_case_as_it_stands_leave_a_note_alone() -> None:
    extra = files(signers(), approval("examiner", "examiner-1"), approval("reviewer", "second", 2))
    problems = run_with(extra=extra)
    assert [(one.rule, one.level) for one in problems] == [("reviewer-not-provable", Level.NOTE)]


# approval-unverified


def test_a_flipped_byte_in_the_statement_is_refused() -> None:
    mine = approval("examiner", "examiner-1")
    text = mine[EXAMINER]
    assert isinstance(text, bytes)
    at = text.index(b'"case_digest": "') + len(b'"case_digest": "')
    mine[EXAMINER] = text[:at] + (b"0" if text[at : at + 1] != b"0" else b"1") + text[at + 1 :]
    assert_fires("approval-unverified", extra=files(signers(), mine), at=(EXAMINER, None), says="not of this statement")


def test_every_byte_of_a_statement_is_held_by_the_signature() -> None:
    mine = approval("examiner", "examiner-1")
    text = mine[EXAMINER]
    assert isinstance(text, bytes)
    for at in range(0, len(text), 397):
        flipped = text[:at] + bytes([text[at] ^ 1]) + text[at + 1 :]
        found = run_with(extra=files(signers(), mine, {EXAMINER: flipped}))
        assert any(one.rule == "approval-unverified" for one in found), at


def test_an_unsigned_copy_is_refused() -> None:
    mine = approval("examiner", "examiner-1")
    extra = files(signers(), mine, {"approvals/examiner-examiner-1-2.json": mine[EXAMINER]})
    at = ("approvals/examiner-examiner-1-2.json", None)
    assert_fires("approval-unverified", extra=extra, at=at, says="no signature lies beside it")


def test_a_signature_without_its_statement_is_refused() -> None:
    mine = approval("examiner", "examiner-1")
    del mine[EXAMINER]
    assert_fires("approval-unverified", extra=files(signers(), mine), at=(EXAMINER, None), says="without a statement")


def test_an_approval_of_another_case_is_refused() -> None:
    other: Edit = ("case.yml", "case: base\n", "case: another\n")
    extra = files(signers(), approval("examiner", "examiner-1", edits=[other]))
    assert_fires("approval-unverified", extra=extra, at=(EXAMINER, None), says='about the case "another"')


def test_an_approval_under_the_name_of_another_role_is_refused() -> None:
    mine = approval("examiner", "both")
    name = "approvals/reviewer-both-2.json"
    extra = files(
        signers(),
        {name: mine["approvals/examiner-both-1.json"], f"{name}.sig": mine["approvals/examiner-both-1.json.sig"]},
    )
    assert_fires("approval-unverified", extra=extra, at=(name, None), says="named otherwise")


def test_a_signature_made_for_a_commit_is_refused() -> None:
    extra = files(signers(), approval("examiner", "examiner-1", namespace="git"))
    assert_fires("approval-unverified", extra=extra, at=(EXAMINER, None), says='was made for "git"')


def test_a_statement_that_is_written_otherwise_is_refused_though_it_is_signed() -> None:
    text = statement("examiner", "examiner-1").text().replace('"case": "base"', '"case": "other",\n "case": "base"')
    extra = files(signers(), {EXAMINER: text, f"{EXAMINER}.sig": sign(text.encode(), "examiner-1")})
    assert_fires("approval-unverified", extra=extra, at=(EXAMINER, None), says="in the form in which")


def test_changed_line_ends_are_told_apart_from_an_edit() -> None:
    mine = approval("examiner", "examiner-1")
    text = mine[EXAMINER]
    assert isinstance(text, bytes)
    extra = files(signers(), mine, {EXAMINER: text.replace(b"\n", b"\r\n")})
    assert_fires("approval-unverified", extra=extra, at=(EXAMINER, None), says="line ends")


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{}",
        b"[" * 100_000,
        b"null",
        b'{"format": 1}',
        b'{"format": 2}',
        b"\xff",
        b'{"format": 1, "case": 3}',
        b"9" * 9000,
    ],
)
def test_rubbish_is_a_problem_and_never_an_exception(text: bytes) -> None:
    extra = files(signers(), {EXAMINER: text, f"{EXAMINER}.sig": sign(text, "examiner-1")})
    assert_fires("approval-unverified", extra=extra, at=(EXAMINER, None))


@pytest.mark.parametrize("name", ["notes.txt", "examiner-examiner-1-01.json", "examiner-1.json", "deeper/x.json"])
def test_nothing_else_lies_among_the_approvals(name: str) -> None:
    extra = files(signers(), {f"approvals/{name}": "{}"})
    assert_fires("approval-unverified", extra=extra, at=(f"approvals/{name}", None), says="its name")


def test_an_approval_that_holds_is_not_complained_of() -> None:
    assert_silent("approval-unverified", extra=files(signers(), approval("examiner", "examiner-1")))


# approval-signer-unknown


def test_a_key_that_nobody_is_listed_with_is_refused() -> None:
    extra = files(signers(), approval("examiner", "examiner-1", by="nobody"))
    assert_fires("approval-signer-unknown", extra=extra, at=(EXAMINER, None), says="not listed")


def test_a_signature_in_the_name_of_another_is_refused() -> None:
    extra = files(signers(), approval("reviewer", "second", by="examiner-1"))
    assert_fires("approval-signer-unknown", extra=extra, at=(REVIEWER, None), says='that of "examiner-1"')


def test_a_signer_who_may_only_examine_cannot_review() -> None:
    name = "approvals/reviewer-examiner-1-1.json"
    extra = files(signers(), approval("reviewer", "examiner-1"))
    assert_fires("approval-signer-unknown", extra=extra, at=(name, None), says="may not sign as reviewer")


def test_a_key_whose_time_is_over_no_longer_counts() -> None:
    late = line("examiner-1", options='namespaces="approval@asfound",valid-before="20260319"')
    extra = files(signers(late), approval("examiner", "examiner-1"))
    assert_fires("approval-signer-unknown", extra=extra, at=(EXAMINER, None), says="until 2026-03-19")
    assert_silent("approval-signer-unknown", extra=extra, on=dt.date(2026, 3, 19))


def test_a_repository_without_signers_vouches_for_nobody() -> None:
    extra = approval("examiner", "examiner-1")
    assert_fires("approval-signer-unknown", extra=extra, at=(EXAMINER, None), says="whose keys count")


def test_a_signer_who_left_is_noted_once_another_signed() -> None:
    extra = files(signers(line("both")), approval("examiner", "examiner-1"), approval("examiner", "both", 2))
    assert_fires("approval-signer-unknown", extra=extra, at=(EXAMINER, None), level=Level.NOTE)


def test_a_listed_key_in_its_role_is_not_complained_of() -> None:
    assert_silent("approval-signer-unknown", extra=files(signers(), approval("reviewer", "second")))


# approval-void


def test_an_amended_reading_voids_the_approval_and_is_named() -> None:
    extra = files(signers(), approval("examiner", "examiner-1"))
    found = assert_fires(
        "approval-void", [AMENDED], extra=extra, at=(EXAMINER, None), level=Level.WARN, says="changed since: R-flow-4;"
    )
    assert [str(span) for span in found.related] == [f"{CASE}/readings/flow.csv:5"]


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (("findings.yml", "F-5:\n", "F-6:\n"), "changed since: F-5, F-6;"),
        (("items.yml", "I-1:\n", "# a word\nI-1:\n"), "changed since: items.yml;"),
        (("case.yml", "severity: minor", "severity: serious"), "changed since: case.yml;"),
        (
            (".asfound/settings.yml", "organisation:", "first_custody_hours: 23\norganisation:"),
            ".asfound/settings.yml;",
        ),
        (
            (".asfound/protocols/base-pump.yml", "title: ", "title: Another "),
            "and the limits or protocols it is held against changed since;",
        ),
        (
            ("plan.yml", "protocols: [base-pump]", "protocols: [base-pump, electrical-safety]"),
            "the case changed since, and so did the limits or protocols it is held against: ",
        ),
    ],
)
def test_what_changed_is_named(edit: Edit, says: str) -> None:
    if "title" in edit[1]:
        text = (Path(__file__).parent / "base" / edit[0]).read_text(encoding="utf-8")
        first = next(one for one in text.splitlines() if one.startswith("title: "))
        edit = (edit[0], first, f"{first} again")
    extra = files(signers(), approval("examiner", "examiner-1"))
    assert_fires("approval-void", [edit], extra=extra, at=(EXAMINER, None), level=Level.WARN, says=says)


def test_an_instrument_that_reads_otherwise_voids_the_approval() -> None:
    text = (Path(__file__).parent / "base/.asfound/instruments.yml").read_text(encoding="utf-8")
    serial = next(one for one in text.splitlines() if one.strip().startswith("serial:"))
    edit: Edit = (".asfound/instruments.yml", serial, f"{serial}x")
    extra = files(signers(), approval("examiner", "examiner-1"))
    assert_fires("approval-void", [edit], extra=extra, at=(EXAMINER, None), level=Level.WARN, says="M-")


def test_who_signs_again_after_the_change_is_asked_no_more() -> None:
    extra = files(signers(), approval("examiner", "examiner-1"), approval("examiner", "examiner-1", 2, edits=[AMENDED]))
    assert_silent("approval-void", [AMENDED], extra=extra)


def test_what_is_no_part_of_the_case_voids_nothing() -> None:
    extra = files(
        signers(), approval("examiner", "examiner-1"), {".asfound/roles.yml": "signers: {examiner-1: [examiner]}\n"}
    )
    assert_silent("approval-void", extra=extra)


# exception-unauthorised


def test_an_exception_that_no_reviewer_signed_is_refused() -> None:
    extra = files(signers(), {"exceptions.yml": GAP})
    assert_fires("exception-unauthorised", extra=extra, at=("exceptions.yml", "Q-1"), says="no reviewer has")


def test_without_signers_an_exception_lifts_and_a_warning_says_that_nobody_signed() -> None:
    extra = {"exceptions.yml": GAP}
    assert_fires(
        "exception-unauthorised", extra=extra, at=("exceptions.yml", "Q-1"), level=Level.WARN, says="nobody signed"
    )


def test_the_examiners_signature_authorises_no_exception() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    extra = files(signers(), text, approval("examiner", "examiner-1", extra=text))
    assert_fires("exception-unauthorised", extra=extra, at=("exceptions.yml", "Q-1"), says="no reviewer has")


def test_in_a_shop_of_two_the_examiners_does_and_it_is_said() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    extra = files(signers(), text, approval("examiner", "examiner-1", edits=[SHOP], extra=text))
    at = ("exceptions.yml", "Q-1")
    assert_fires("exception-unauthorised", [SHOP], extra=extra, at=at, level=Level.WARN, says="nobody but the examiner")


def test_the_reviewers_signature_authorises_it() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    assert_silent("exception-unauthorised", extra=files(signers(), text, approval("reviewer", "second", extra=text)))


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (("exceptions.yml", "It was never used.", "It was hardly used."), "reworded"),
        (AMENDED, "changed since: R-flow-4"),
        (("findings.yml", "F-5:\n", "F-6:\n"), "changed since: F-5"),
    ],
)
def test_a_change_takes_the_authorisation_away(edit: Edit, says: str) -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    extra = files(signers(), text, approval("reviewer", "second", extra=text))
    assert_fires("exception-unauthorised", [edit], extra=extra, at=("exceptions.yml", "Q-1"), says=says)


LATER = (
    "8,{item},transfer,2026-03-09 16:00 -06:00,2026-03-09 16:00 -06:00,store,examiner,examiner's store,bench,return,"
    "2003,,as before,examiner,examiner,,\n"
)


def custody(item: str) -> dict[str, str | bytes]:
    """The custody log with a line more."""
    text = (Path(__file__).parent / "base" / CASE / "custody.csv").read_text(encoding="utf-8")
    return {"custody.csv": text + LATER.format(item=item)}


def test_a_later_line_about_another_item_leaves_it_standing_and_one_about_this_item_does_not() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    extra = files(signers(), text, approval("reviewer", "second", extra=text))
    assert_silent("exception-unauthorised", extra=files(extra, custody("I-1")))
    at = ("exceptions.yml", "Q-1")
    assert_fires("exception-unauthorised", extra=files(extra, custody("I-4")), at=at, says="about I-4: C-8")


def test_an_exception_for_the_case_as_a_whole_holds_for_that_very_case() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": WHOLE}
    extra = files(signers(), text, approval("reviewer", "second", extra=text))
    assert_silent("exception-unauthorised", extra=extra)
    at = ("exceptions.yml", "Q-1")
    assert_fires("exception-unauthorised", extra=files(extra, custody("I-1")), at=at, says="as a whole")


def test_the_authorisation_of_an_exception_that_was_swapped_for_another_is_gone() -> None:
    text: dict[str, str | bytes] = {"exceptions.yml": GAP}
    extra = files(signers(), text, approval("reviewer", "second", extra=text))
    edit: Edit = ("exceptions.yml", "rule: custody-gap", "rule: coverage-incomplete")
    assert_fires("exception-unauthorised", [edit], extra=extra, at=("exceptions.yml", "Q-1"), says="in these terms")


# reviewer-signed-own-work, reviewer-not-provable


def test_one_signer_in_both_roles_is_refused() -> None:
    extra = files(signers(), approval("examiner", "both"), approval("reviewer", "both", 2))
    at = ("approvals/reviewer-both-2.json", None)
    assert_fires("reviewer-signed-own-work", extra=extra, at=at, says="as reviewer and as examiner")


def test_in_a_shop_of_two_one_signer_in_both_roles_warns() -> None:
    extra = files(signers(), approval("examiner", "both", edits=[SHOP]), approval("reviewer", "both", 2, edits=[SHOP]))
    at = ("approvals/reviewer-both-2.json", None)
    assert_fires("reviewer-signed-own-work", [SHOP], extra=extra, at=at, level=Level.WARN)


def test_two_signers_pass() -> None:
    extra = files(signers(), approval("examiner", "examiner-1"), approval("reviewer", "second", 2))
    assert_silent("reviewer-signed-own-work", extra=extra)


def test_without_a_history_the_reviewers_hands_are_not_provable() -> None:
    extra = files(signers(), approval("reviewer", "second"))
    at = (REVIEWER, None)
    assert_fires("reviewer-not-provable", extra=extra, at=at, level=Level.NOTE, says="the history was not asked for")


def test_a_case_that_nobody_reviewed_has_nothing_to_prove() -> None:
    assert_silent("reviewer-not-provable", extra=files(signers(), approval("examiner", "examiner-1")))


def past(*changes: tuple[str, str], gaps: tuple[str, ...] = ()) -> Past:
    """A history: record and role of whoever changed it, oldest first."""
    at = dt.datetime(2026, 3, 10, 9, tzinfo=dt.UTC)
    commits = tuple(
        Commit(f"{number:040x}", (), f"author {number}", role, at, "a change")
        for number, (_, role) in enumerate(changes, 1)
    )
    did = tuple(
        RecordChange(commit.id, ref, "changed", f"{CASE}/findings.yml")
        for commit, (ref, _) in zip(commits, changes, strict=True)
    )
    return Past(True, "", commits, did, gaps)


def facts(told: Past) -> Facts:
    """The base case, approved by a reviewer, with a history."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        shared = open_repository(copy.root)
        reading = read_case(copy.root, copy.root / CASE, shared.bench)
        assert reading.case is not None
        made = Approval(REVIEWER, statement("reviewer", "second"), "0" * 64, "SHA256:x", verified=True, current=True)
        bare = Facts(reading.case, reading.places, shared.book, shared.bench.instruments, shared.bench.settings, ON)
        return replace(bare, signing=Signing(True, (made,)), past=told)


def test_the_reviewer_who_changed_a_finding_last_is_refused_by_role() -> None:
    told = past(("F-1", "examiner"), ("F-2", "examiner"), ("F-2", "reviewer"))
    found = list(reviewer_signed_own_work.check(facts(told)))
    assert [one.found for one in found] == ["the reviewer made the last change of F-2"]
    assert [str(span) for span in found[0].related] == [f"{CASE}/findings.yml:5:1"]


def test_whoever_changed_it_before_somebody_else_did_may_review() -> None:
    told = past(("F-2", "reviewer"), ("F-2", "examiner"), ("X-1", "reviewer"))
    assert list(reviewer_signed_own_work.check(facts(told))) == []
    assert list(reviewer_not_provable.check(facts(told))) == []


def test_an_author_nobody_listed_and_a_gap_are_not_provable() -> None:
    told = past(("F-2", "an author not listed"), ("R-flow-4", "an author not listed"))
    found = [one.found for one in reviewer_not_provable.check(facts(told))]
    assert found == [
        "who last changed the readings and findings cannot be proved: the author of F-2 and 1 more is not listed"
    ]
    squashed = past(("F-2", "examiner"), gaps=("One commit brings plan and results.",))
    assert [one.found.rpartition(": ")[2] for one in reviewer_not_provable.check(facts(squashed))] == [
        "One commit brings plan and results"
    ]
