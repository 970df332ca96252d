"""What a reviewer who never opens a file reads of changes as people make them; with real git."""

from __future__ import annotations

import json
from subprocess import CalledProcessError

import pytest

from ..rules.signing import approval
from ..rules.support import repository_path
from .test_compare import FLOW, Asfound, Repo, asfound, edit, repo, signers

__all__ = ["asfound", "repo"]


def test_an_approval_is_told_once_and_a_word_of_a_finding_breaks_no_rule(asfound: Asfound, repo: Repo) -> None:
    repo.git("switch", "-q", "main")
    for name, content in (signers() | approval("reviewer", "second", extra=signers())).items():
        path = repo.root / repository_path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
    repo.commit("Approve")
    repo.git("switch", "-q", "-C", "request")
    findings = (repo.root / "cases/base/findings.yml").read_text("utf-8")
    word = next(line for line in findings.splitlines() if "text:" in line).split()[-1]
    (repo.root / "cases/base/findings.yml").write_text(findings.replace(word, f"{word} indeed", 1), "utf-8")
    said = asfound("main").out
    assert said.count("reviewer-second-1.json") == 1 and "approval-void" not in said
    assert "In short: 1 approval no longer in force; 1 record (1 changed: F-" in said
    # A file that no record tells of is named where records cannot be.
    repo.git("checkout", "-q", ".")
    (repo.root / "cases/base/evidence/plan.txt").write_bytes(b"another")
    assert "What changed since: evidence/plan.txt." in asfound("main").out


def test_cases_compared_for_the_bench_alone_are_named_and_nothing_is_said_to_have_changed(
    asfound: Asfound, repo: Repo
) -> None:
    """An instrument is entered that no case used: every case is looked at, and none has changed."""
    register = repo.root / ".asfound/instruments.yml"
    register.write_text(register.read_text("utf-8") + "M-77: {what: A spare, serial: S-1, functions: {}}\n", "utf-8")
    said = asfound("main").out
    assert "Nothing of them changed, and nothing follows for them: base." in said
    assert "Bytes changed" not in said and "base —" not in said
    # In little room too it stands at its place, and everything of another case before it.
    edit(repo, FLOW, ("4,100,111.9,", "4,100,101.9,"))
    assert "Nothing of them changed" not in asfound("main").out
    (one,) = json.loads(asfound("main", "--format", "json").out)["cases"]
    assert one["touched"] is True


def test_a_merge_that_left_its_marks_is_one_problem_and_took_nothing_out(asfound: Asfound, repo: Repo) -> None:
    """Two branches add a row of one number, and somebody commits what git left."""
    path = repo.root / FLOW
    for branch, value in (("one", "100.1"), ("two", "100.2")):
        repo.git("switch", "-q", "-C", branch, "main")
        last = path.read_text("utf-8").rstrip("\n").splitlines()[-1]
        row = f"{int(last.split(',')[0]) + 1},100,{value},{','.join(last.split(',')[3:])}"
        path.write_text(path.read_text("utf-8").rstrip("\n") + f"\n{row}\n", "utf-8")
        repo.commit(f"Add a row on {branch}")
    with pytest.raises(CalledProcessError):
        repo.git("merge", "-q", "one")
    repo.commit("Merge")
    said = asfound("main", "two").out
    assert "readings/flow.csv cannot be read as it is after the change, so what stands in it is not compared." in said
    assert "was taken out: value" not in said and "leads nowhere" not in said
    assert "a reject of the rule conflict-left" in said
