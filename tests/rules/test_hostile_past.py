"""What was taken out, exchanged or moved once results were in, told by real commits.

ISO/IEC 17025:2017, 7.5.2 (from memory): original and altered data are both kept.
"""

from __future__ import annotations

import hashlib

import pytest

from asfound.problems import Level
from tests.rules.support import CASE, Copy, Edit, Prepare, assert_fires, assert_silent, run_with
from tests.rules.test_reading_changed import then
from tests.support.repository import Repo

X4 = "X-4:\n"


def cut(name: str, begin: str, end: str, twice: Edit | None = None) -> Prepare:
    """Commit the case, then one in which everything from a text up to another is gone."""

    def prepare(copy: Copy) -> None:
        then()(copy)
        path = copy.path(name)
        text = path.read_text(encoding="utf-8")
        at = text.index(begin)
        path.write_text(text[:at] + (text[text.index(end, at) :] if end else ""), encoding="utf-8")
        if twice is not None:
            other = copy.path(twice[0])
            said = other.read_text(encoding="utf-8")
            assert said.count(twice[1]) == 1
            other.write_text(said.replace(twice[1], twice[2]), encoding="utf-8")
        repo = Repo(copy.root)
        repo.tick()
        repo.git("add", ".asfound", CASE)
        repo.git("commit", "-q", "-m", "Less of it")

    return prepare


LIMITS: Edit = (
    "conclusion.yml",
    "limits_of_work: ",
    "limits_of_work: G-4 was a slip; it was never passed. ",
)


def test_a_gate_that_went_is_told() -> None:
    assert_fires(
        "record-taken-out",
        at=("gates.yml", "gates:"),
        level=Level.WARN,
        says="gate G-4 (sealed) was taken out in commit",
        prepare=cut("gates.yml", "  G-4:", "  G-5:"),
        history=True,
    )


def test_a_gate_whose_going_the_report_tells_is_not() -> None:
    assert_silent("record-taken-out", prepare=cut("gates.yml", "  G-4:", "  G-5:", LIMITS), history=True)


@pytest.mark.parametrize(
    ("name", "begin", "end", "says"),
    [
        ("explanations.yml", X4, "", "explanation X-4"),
        ("custody.csv", "7,I-1 I-2 I-3 I-4", "", "custody line C-7"),
        ("statements.yml", "W-1:", "", "statement W-1"),
        ("notices.yml", "N-2:", "", "notice N-2"),
    ],
)
def test_other_records_that_went_are_told(name: str, begin: str, end: str, says: str) -> None:
    said = [one for one in run_with(prepare=cut(name, begin, end), history=True) if one.rule == "record-taken-out"]
    assert [one.found.partition(" (")[0].partition(" was")[0] for one in said] == [says]


def test_without_git_nothing_is_asked() -> None:
    assert_silent("record-taken-out", prepare=cut("gates.yml", "  G-4:", "  G-5:"))


def test_a_case_that_was_entered_from_paper_is_not_asked() -> None:
    paper: Edit = ("case.yml", "stage: in review\n", "stage: in review\nentered_later: worked on paper\n")
    assert_silent("record-taken-out", [paper], prepare=cut("gates.yml", "  G-4:", "  G-5:"), history=True)


# --- evidence


def exchanged(mended: bool) -> Prepare:
    """A paper exchanged for another, the digest with it; and, where mended, put back."""

    def prepare(copy: Copy) -> None:
        then()(copy)
        path, register = copy.path("evidence/plan.txt"), copy.path("evidence.yml")
        first, listed = path.read_bytes(), register.read_text(encoding="utf-8")
        repo = Repo(copy.root)
        path.write_bytes(first + b"and more\n")
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
        register.write_text(listed.replace(hashlib.sha256(first).hexdigest(), digest), encoding="utf-8")
        for number in range(2 if mended else 1):
            if number:
                path.write_bytes(first)
                register.write_text(listed, encoding="utf-8")
            repo.tick()
            repo.git("add", CASE)
            repo.git("commit", "-q", "-m", "Another paper")

    return prepare


def test_a_file_exchanged_with_its_digest_is_refused() -> None:
    assert_fires(
        "evidence-replaced",
        at=("evidence.yml", "E-5: > sha256"),
        says="E-5 was registered as 2e8052149a84…, until another file took its place in commit",
        prepare=exchanged(False),
        history=True,
    )


def test_a_file_put_back_passes() -> None:
    assert_silent("evidence-replaced", prepare=exchanged(True), history=True)


# --- facts

SEEN: Edit = (
    "gates.yml",
    "at: 2026-03-02 12:30 -06:00, by: risk-manager}",
    "at: 2026-03-02 12:20 -06:00, by: risk-manager}",
)
NOTED: Edit = (
    SEEN[0],
    SEEN[1],
    'at: 2026-03-02 12:20 -06:00, by: risk-manager, note: "was 2026-03-02 12:30 -06:00, copied wrongly"}',
)


@pytest.mark.parametrize("uncommitted", [False, True])
def test_the_time_of_a_gate_that_moved_is_told(uncommitted: bool) -> None:
    assert_fires(
        "fact-changed-after-results",
        at=("gates.yml", "G-4:"),
        level=Level.WARN,
        says="at of G-4 was “2026-03-02 12:30 -06:00” when results came in",
        prepare=then([SEEN], uncommitted=uncommitted),
        history=True,
    )


def test_a_note_that_tells_what_it_was_answers_it() -> None:
    assert_silent("fact-changed-after-results", prepare=then([NOTED]), history=True)


def test_what_moved_and_went_back_took_nothing() -> None:
    back: Edit = (SEEN[0], SEEN[2], SEEN[1])
    assert_silent("fact-changed-after-results", prepare=then([SEEN], [back]), history=True)


def test_an_account_of_the_event_that_was_written_anew_is_told() -> None:
    edit: Edit = ("case.yml", "was empty at 10:40.", "was nearly empty at 10:40.")
    assert_fires(
        "fact-changed-after-results",
        at=("case.yml", "account:"),
        level=Level.WARN,
        says="event / account of case.yml was",
        prepare=then([edit]),
        history=True,
    )


# --- what readings rest on

ACCURACY = '          to: 500 mL/h\n          resolution: 0.1 mL/h\n          accuracy: {percent: "1", plus: 0.1 mL/h'


def beside(name: str, old: str, new: str) -> Prepare:
    """Commit the case, then a change of what lies beside it."""

    def prepare(copy: Copy) -> None:
        then()(copy)
        path = copy.path(name)
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, text
        path.write_text(text.replace(old, new), encoding="utf-8")
        repo = Repo(copy.root)
        repo.tick()
        repo.git("add", ".asfound")
        repo.git("commit", "-q", "-m", "Beside it")

    return prepare


def test_an_accuracy_that_grew_after_the_reading_is_told() -> None:
    # ILAC-G8:09/2019 (confirmed): the rule, and with it the doubt, is agreed before measuring.
    assert_fires(
        "basis-changed-after-results",
        at=("sheets.yml", "S-flow: > instrument"),
        level=Level.WARN,
        says="accuracy / plus of M-2 was “0.1 mL/h” when S-flow was read",
        prepare=beside(".asfound/instruments.yml", ACCURACY, ACCURACY.replace("plus: 0.1", "plus: 9.1")),
        history=True,
    )


def test_one_that_was_put_back_is_not() -> None:
    there = beside(".asfound/instruments.yml", ACCURACY, ACCURACY.replace("plus: 0.1", "plus: 9.1"))

    def prepare(copy: Copy) -> None:
        there(copy)
        path = copy.path(".asfound/instruments.yml")
        path.write_text(path.read_text("utf-8").replace("plus: 9.1", "plus: 0.1"), encoding="utf-8")
        repo = Repo(copy.root)
        repo.tick()
        repo.git("commit", "-qam", "As it was")

    assert_silent("basis-changed-after-results", prepare=prepare, history=True)


def test_a_serial_put_right_is_not() -> None:
    prepare = beside(".asfound/instruments.yml", 'serial: "7731"', 'serial: "7732"')
    assert_silent("basis-changed-after-results", prepare=prepare, history=True)


BOUND: Edit = (".asfound/limits/base-limits.yml", 'percent: "5"', 'percent: "15"')


def test_a_bound_that_moved_after_the_reading_is_told() -> None:
    assert_fires(
        "basis-changed-after-results",
        at=("plan.yml", "limit_sets:"),
        level=Level.WARN,
        says="of base-limits/flow was “5” when S-flow",
        prepare=beside(*BOUND),
        history=True,
    )
