"""The order of thought, told by real commits of real git: plan, readings, statements opened, conclusion."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from asfound.assess import assess_case
from asfound.problems import Level
from tests.rules.support import CASE, ON, Copy, Edit, Prepare, assert_fires, assert_silent
from tests.support.repository import Repo

UNSEALED: Edit = (
    "plan.yml",
    "sealed:\n  at: 2026-03-05 11:20 -06:00\n  how: digest of the dated paper plan\n  evidence: [E-5]\n",
    "",
)
PLAN, READINGS, STATEMENTS, CONCLUSION = "plan.yml", "readings", "statements.yml", "conclusion.yml"
ALL = (PLAN, READINGS, STATEMENTS, CONCLUSION)
Step = Sequence[str] | Callable[[Copy, Repo], None]


def commits(*steps: Step) -> Prepare:
    """Commit everything but the four, then each step: some of the four, or what a function does first."""

    def prepare(copy: Copy) -> None:
        repo = Repo(copy.root)
        for path in (".asfound", CASE):
            repo.git("add", path)
        repo.git("rm", "-r", "-q", "--cached", *(f"{CASE}/{name}" for name in ALL))
        repo.git("commit", "-q", "-m", "Everything else")
        for number, step in enumerate(steps, 1):
            if callable(step):
                step(copy, repo)
                continue
            for name in step:
                repo.git("add", f"{CASE}/{name}")
            repo.tick()
            repo.git("commit", "-q", "-m", f"Step {number}")

    return prepare


def edit(name: str, old: str, new: str) -> Callable[[Copy, Repo], None]:
    """Change a text of a file and commit it."""

    def change(copy: Copy, repo: Repo) -> None:
        text = copy.path(name).read_text("utf-8")
        assert text.count(old) == 1
        copy.path(name).write_text(text.replace(old, new), "utf-8", newline="\n")
        repo.git("add", f"{CASE}/{name}")
        repo.tick()
        repo.git("commit", "-q", "-m", f"Change {name}")

    return change


def amend(copy: Copy, repo: Repo) -> None:
    """Make the last commit anew, as a rebase does: its author time stays, its commit time does not."""
    repo.tick()
    repo.git("commit", "-q", "--amend", "--no-edit", "--date", "2026-03-20T11:00:00 +0000")


IN_ORDER = ([PLAN], [READINGS], [STATEMENTS], [CONCLUSION])

# --- R42: the plan before its results


def test_the_order_of_the_commits_shows_that_the_plan_came_first() -> None:
    assert_silent("plan-after-results", [UNSEALED], prepare=commits(*IN_ORDER), history=True)


def laid_out(copy: Copy, repo: Repo) -> None:
    """Commit the plan with its sheets as they are laid out: every row, no value."""
    whole = {path: path.read_text("utf-8") for path in sorted(copy.path(READINGS).glob("*.csv"))}
    for path, text in whole.items():
        head, *rows = [line.split(",") for line in text.splitlines()]
        value = next(number for number, name in enumerate(head) if name.startswith("value"))
        empty = [",".join("" if number == value else cell for number, cell in enumerate(row)) for row in rows]
        path.write_text("\n".join((",".join(head), *empty, "")), "utf-8", newline="\n")
    repo.git("add", f"{CASE}/{PLAN}", f"{CASE}/{READINGS}")
    repo.tick()
    repo.git("commit", "-q", "-m", "Plan and sheets")
    for path, text in whole.items():
        path.write_text(text, "utf-8", newline="\n")


def test_sheets_laid_out_with_the_plan_are_as_old_as_their_values() -> None:
    steps = (laid_out, [READINGS], [STATEMENTS], [CONCLUSION])
    assert_silent("plan-after-results", [UNSEALED], prepare=commits(*steps), history=True)
    # Laid out and filled in one commit, it is what it was.
    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="entered git in one commit",
        prepare=commits([PLAN, READINGS], [STATEMENTS], [CONCLUSION]),
        history=True,
    )


def test_readings_committed_before_the_plan_warn() -> None:
    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.WARN,
        says="R-earth-1 was committed",
        prepare=commits([READINGS], [PLAN], [STATEMENTS, CONCLUSION]),
        history=True,
    )


def test_a_seal_stands_in_whatever_the_commits_say() -> None:
    assert_silent("plan-after-results", prepare=commits([READINGS], [PLAN], [STATEMENTS, CONCLUSION]), history=True)


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        (((PLAN, READINGS), (STATEMENTS,), (CONCLUSION,)), "entered git in one commit"),
        (((PLAN,), amend, (READINGS,), (STATEMENTS,), (CONCLUSION,)), "was made anew after first being written"),
        (((PLAN,), amend), "was made anew after first being written"),
        (((READINGS,),), "is not committed yet, and R-earth-1 is"),
    ],
    ids=["squashed", "rebased", "rebased, values not committed", "plan not committed"],
)
def test_what_git_cannot_show_is_a_note(steps: Sequence[Step], says: str) -> None:
    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says=says,
        prepare=commits(*steps),
        history=True,
    )


def test_values_that_are_not_committed_yet_come_after_a_plan_that_is() -> None:
    for steps in (([PLAN],), (laid_out,)):
        assert_silent("plan-after-results", [UNSEALED], prepare=commits(*steps), history=True)


def test_where_neither_is_committed_the_plan_has_to_be_committed_first() -> None:
    problem = assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="nor R-earth-1 is committed yet",
        prepare=commits(),
        history=True,
    )
    assert "Commit the plan first" in problem.mend


def test_a_committed_value_that_is_changed_in_the_folder_is_as_old_as_it_was() -> None:
    def change(copy: Copy) -> None:
        commits([PLAN, READINGS], [STATEMENTS], [CONCLUSION])(copy)
        path = copy.path("readings/earth.csv")
        path.write_text(path.read_text("utf-8").replace("case screw,142", "case screw,143"), "utf-8", newline="\n")

    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="entered git in one commit",
        prepare=change,
        history=True,
    )


def test_a_case_entered_from_paper_afterwards_is_neither_shown_nor_contradicted() -> None:
    paper = (
        "case.yml",
        "jurisdiction:",
        "entered_later: It was worked on paper and typed in afterwards.\njurisdiction:",
    )
    prepare = commits([READINGS], [PLAN], [STATEMENTS, CONCLUSION])
    assert_fires(
        "plan-after-results",
        [UNSEALED, paper],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="entered into git after the work",
        prepare=prepare,
        history=True,
    )


# --- the plan stays as it was


def test_a_decision_rule_moved_after_the_readings_warns() -> None:
    moved = edit("plan.yml", "decision_rule: guard band", "decision_rule: simple acceptance")
    assert_fires(
        "plan-changed-after-results",
        at=("plan.yml", "decision_rule"),
        level=Level.WARN,
        says="decision_rule was “guard band” until commit",
        prepare=commits(*IN_ORDER, moved),
        history=True,
    )


def test_an_expectation_moved_after_its_readings_warns() -> None:
    moved = edit("plan.yml", "expected: If the pump delivers more", "expected: Unless the pump delivers more")
    assert_fires(
        "plan-changed-after-results",
        at=("plan.yml", "expected:"),
        level=Level.WARN,
        says="expected was",
        prepare=commits(*IN_ORDER, moved),
        history=True,
    )


def test_what_a_plan_learns_later_and_what_moved_before_any_reading_is_no_change_of_it() -> None:
    moved = edit("plan.yml", "decision_rule: guard band", "decision_rule: simple acceptance")
    assert_silent("plan-changed-after-results", prepare=commits([PLAN], moved, *IN_ORDER[1:]), history=True)
    later = edit(
        "plan.yml", "    as_used:", '    not_obtainable: {"setting=200 mL/h": it would not stand it}\n    as_used:'
    )
    assert_silent("plan-changed-after-results", prepare=commits(*IN_ORDER, later), history=True)


GROWN = 'set: {name}\ntitle: T\ndocument: D\nedition: "1"\njurisdiction: none\nlimits:\n  one: {{title: T, test: {test}, quantity: {quantity}, sense: at most, bound: {{kind: fixed, value: {value}}}, clause: "1", kind: maker, status: from memory}}\n'  # noqa: E501


@pytest.mark.parametrize(
    ("test", "quantity", "value", "limit_sets", "fires"),
    [
        ("protective-earth", "resistance", "1 Ω", "[base-limits, grown]", False),
        ("pump-flow", "volume flow", "200 mL/h", "[base-limits, grown]", True),
        ("protective-earth", "resistance", "1 Ω", "[grown]", True),
        ("protective-earth", "resistance", "1 Ω", "[base-limits, grwon]", True),
    ],
    ids=["of another test", "of a test that was read", "in place of the one there was", "of a set there is not"],
)
def test_a_limit_set_may_come_with_a_test_that_was_added(
    test: str, quantity: str, value: str, limit_sets: str, fires: bool
) -> None:
    """Grown by what no reading of the plan is held against, a plan is as it was; so is nothing else."""
    extra = {".asfound/limits/grown.yml": GROWN.format(name="grown", test=test, quantity=quantity, value=value)}
    moved = edit("plan.yml", "limit_sets: [base-limits]", f"limit_sets: {limit_sets}")
    steps = commits(*IN_ORDER, moved)
    if fires:
        at = ("plan.yml", "limit_sets")
        assert_fires(
            "plan-changed-after-results", at=at, level=Level.WARN, extra=extra, says="limit_sets was", prepare=steps,
            history=True,
        )  # fmt: skip
    else:
        assert_silent("plan-changed-after-results", extra=extra, prepare=steps, history=True)


# --- R6: the readings before statements


EARLY: Edit = (
    "statements.yml",
    "opened_to_examiner_at: 2026-03-09 09:00 -05:00",
    "opened_to_examiner_at: 2026-03-06 10:00 -06:00",
)


def test_a_statement_opened_before_the_last_reading_warns() -> None:
    assert_fires(
        "statements-opened-early",
        [EARLY],
        at=("statements.yml", "opened_to_examiner_at"),
        level=Level.WARN,
        says="W-1 was opened to the examiner at 2026-03-06 10:00 -06:00, the last planned readings are of 2026-03-06",
    )


def test_a_reason_is_an_answer() -> None:
    why = (EARLY[0], EARLY[1], f"{EARLY[2]}\n  opened_early: The nurse told it at the bedside.")
    assert_silent("statements-opened-early", [why])


def test_a_gate_of_the_opening_speaks_too_and_its_note_is_the_reason() -> None:
    gate = "  G-14: {gate: statements opened, at: 2026-03-06 10:00 -06:00, by: examiner}\n"
    whole = ("gates.yml", "  G-13: {gate", f"{gate}  G-13: {{gate")
    assert_fires("statements-opened-early", [whole], at=("gates.yml", "G-14"), level=Level.WARN)
    noted = (
        "gates.yml",
        whole[1],
        whole[2].replace("by: examiner}\n  G-13", "by: examiner, note: Read at once.}\n  G-13"),
    )
    assert_silent("statements-opened-early", [noted])


def test_readings_committed_after_the_opening_warn() -> None:
    assert_fires(
        "statements-opened-early",
        at=("statements.yml", "opened_to_examiner_at"),
        level=Level.WARN,
        says="W-1 was committed",
        prepare=commits([PLAN], [STATEMENTS], [READINGS], [CONCLUSION]),
        history=True,
    )


def test_a_statement_that_lay_in_git_unopened_is_not_opened() -> None:
    """Whoever took it may commit it at once; what counts is when its opening was."""

    def closed(copy: Copy, repo: Repo) -> None:
        text = copy.path("statements.yml").read_text("utf-8")
        copy.path("statements.yml").write_text(
            text.replace("  opened_to_examiner_at: 2026-03-09 09:00 -05:00\n", ""), "utf-8"
        )
        repo.git("add", f"{CASE}/statements.yml")
        repo.git("commit", "-q", "-m", "The account, closed")
        copy.path("statements.yml").write_text(text, "utf-8")

    assert_silent(
        "statements-opened-early", prepare=commits([PLAN], closed, [READINGS], [STATEMENTS, CONCLUSION]), history=True
    )


def test_one_commit_for_readings_and_opening_is_a_note() -> None:
    assert_fires(
        "statements-opened-early",
        at=("statements.yml", "opened_to_examiner_at"),
        level=Level.NOTE,
        says="not provable",
        prepare=commits([PLAN], [READINGS, STATEMENTS], [CONCLUSION]),
        history=True,
    )


def test_branches_that_ran_side_by_side_prove_nothing() -> None:
    """Whatever the commit times: the merge brings both, and neither rests on the other."""

    def aside(copy: Copy, repo: Repo) -> None:
        repo.git("checkout", "-q", "-b", "aside")
        repo.git("add", f"{CASE}/statements.yml")
        repo.tick()
        repo.git("commit", "-q", "-m", "The account")
        repo.git("checkout", "-q", "main")
        repo.git("add", f"{CASE}/readings")
        repo.tick()
        repo.git("commit", "-q", "-m", "The readings")
        repo.tick()
        repo.git("merge", "-q", "--no-ff", "-m", "Both", "aside")

    found = assert_fires(
        "statements-opened-early",
        at=("statements.yml", "opened_to_examiner_at"),
        level=Level.NOTE,
        says="side by side",
        prepare=commits([PLAN], aside, [CONCLUSION]),
        history=True,
    )
    assert "R-earth-1" in found.found and "W-1" in found.found


# --- as repositories are worked with


def test_a_squash_merge_erases_the_order_that_its_branch_had() -> None:
    def squash(copy: Copy, repo: Repo) -> None:
        repo.git("checkout", "-q", "-b", "work")
        for name in ALL:
            repo.git("add", f"{CASE}/{name}")
            repo.tick()
            repo.git("commit", "-q", "-m", f"On the branch: {name}")
        repo.git("checkout", "-q", "main")
        repo.git("merge", "-q", "--squash", "work")
        repo.tick()
        repo.git("commit", "-q", "-m", "The work, squashed")

    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="entered git in one commit",
        prepare=commits(squash),
        history=True,
    )


def test_a_rebase_leaves_the_order_not_provable() -> None:
    """The commits stand in order, but whoever rebases can put them into any."""

    def rebase(copy: Copy, repo: Repo) -> None:
        repo.git("checkout", "-q", "-b", "work")
        for name in ALL:
            repo.git("add", f"{CASE}/{name}")
            repo.tick()
            repo.git("commit", "-q", "-m", f"On the branch: {name}")
        repo.git("checkout", "-q", "main")
        repo.git("commit", "-q", "--allow-empty", "-m", "Meanwhile")
        repo.git("checkout", "-q", "work")
        repo.tick()
        repo.git("rebase", "-q", "main")

    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.NOTE,
        says="made anew after first being written",
        prepare=commits(rebase),
        history=True,
    )


def test_a_folder_that_is_renamed_later_keeps_its_order() -> None:
    def rename(copy: Copy, repo: Repo) -> None:
        repo.git("mv", CASE, "cases/elsewhere")
        repo.tick()
        repo.git("commit", "-q", "-m", "Elsewhere for a while")
        repo.git("mv", "cases/elsewhere", CASE)
        repo.tick()
        repo.git("commit", "-q", "-m", "And back")

    assert_silent("plan-after-results", [UNSEALED], prepare=commits(*IN_ORDER, rename), history=True)
    assert_fires(
        "plan-after-results",
        [UNSEALED],
        at=("plan.yml", "written_at"),
        level=Level.WARN,
        prepare=commits([READINGS], [PLAN], [STATEMENTS], [CONCLUSION], rename),
        history=True,
    )


def test_a_plan_that_moves_inside_a_merge_is_seen() -> None:
    """Neither side holds the change: only the merge itself brings it."""

    def merge(copy: Copy, repo: Repo) -> None:
        repo.git("checkout", "-q", "-b", "aside")
        repo.git("commit", "-q", "--allow-empty", "-m", "Aside")
        repo.git("checkout", "-q", "main")
        repo.git("commit", "-q", "--allow-empty", "-m", "Meanwhile")
        repo.git("merge", "-q", "--no-ff", "--no-commit", "aside")
        text = copy.path("plan.yml").read_text("utf-8")
        moved = text.replace("decision_rule: guard band", "decision_rule: simple acceptance")
        copy.path("plan.yml").write_text(moved, "utf-8", newline="\n")
        repo.git("add", f"{CASE}/plan.yml")
        repo.tick()
        repo.git("commit", "-q", "-m", "Merge")

    assert_fires(
        "plan-changed-after-results",
        at=("plan.yml", "decision_rule"),
        level=Level.WARN,
        says="decision_rule was “guard band” until commit",
        prepare=commits(*IN_ORDER, merge),
        history=True,
    )


def test_a_clone_that_is_cut_short_proves_nothing_and_accuses_nobody(tmp_path: Path) -> None:
    whole = Copy(tmp_path / "whole", [UNSEALED], prepare=commits([READINGS], [PLAN], [STATEMENTS], [CONCLUSION]))
    short = tmp_path / "short"
    subprocess.run(["git", "clone", "-q", "--depth", "2", f"file://{whole.root}", str(short)], check=True)
    found = assess_case(short, short / CASE, ON, history=True).problems
    (said,) = [one for one in found if one.rule == "plan-after-results"]
    assert said.level is Level.NOTE and "not provable" in said.found and "only the newest part" in said.found
    assert "git fetch --unshallow" in said.mend and len(said.found) + len(said.needed) < 260
    assert not [one for one in found if one.rule in ("plan-changed-after-results", "statements-opened-early")]
