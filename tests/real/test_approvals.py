"""Approvals in real git: what a squash, a rebase, an amended branch and a hostile request do to them."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from asfound.assess import assess_case, open_repository
from asfound.assess.approve import prepare_approval, sign_approval
from asfound.assess.issue import prepare_edition
from asfound.model.bench import SignerRole
from asfound.problems import Level
from tests.rules.signing import key, line, signers
from tests.rules.support import CASE, ON, Copy

WHO = ("-c", "user.name=a test", "-c", "user.email=test@example.org", "-c", "commit.gpgsign=false")


class Repository:
    """A real repository of the base case."""

    def __init__(self, root: Path) -> None:
        self.copy = Copy(root, extra=signers())
        self.root = root
        shutil.copy(Path(__file__).parents[2] / ".gitattributes", root / ".gitattributes")
        self.git("init", "-q", "-b", "main")
        self.commit("begin")

    def git(self, *arguments: str) -> str:
        done = subprocess.run(
            ["git", *WHO, *arguments], cwd=self.root, capture_output=True, check=True, timeout=60,
            env={**os.environ, "GIT_AUTHOR_DATE": "2026-03-20T09:00:00Z", "GIT_COMMITTER_DATE": "2026-03-20T09:00:00Z"},
        )  # fmt: skip
        return done.stdout.decode()

    def commit(self, subject: str) -> None:
        self.git("add", "-A")
        self.git("commit", "-q", "-m", subject)

    def approve(self, role: SignerRole, by: str) -> None:
        prepared = prepare_approval(self.root, self.root / CASE, ON, role, key(by))
        assert prepared.reasons == ()
        sign_approval(self.root, prepared)

    def edit(self, name: str, old: str, new: str) -> None:
        path = self.copy.path(name)
        text = path.read_text("utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), "utf-8")

    def said(self, root: Path | None = None) -> list[tuple[str, Level]]:
        home = root or self.root
        found = assess_case(home, home / CASE, ON, open_repository(home))
        return [(one.rule, one.level) for one in found.problems if one.rule != "reviewer-not-provable"]


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """On a branch, with a change, approved by two."""
    made = Repository(tmp_path / "repository")
    made.git("switch", "-q", "-c", "amend")
    made.edit("readings/flow.csv", "4,100,111.9", "4,100,112.4")
    made.commit("amend a reading")
    made.approve(SignerRole.EXAMINER, "examiner-1")
    made.commit("examiner")
    made.approve(SignerRole.REVIEWER, "second")
    made.commit("reviewer")
    assert made.said() == []
    return made


@pytest.mark.parametrize("way", ["squash", "rebase", "merge", "fast-forward"])
def test_approvals_survive_every_way_of_merging(repository: Repository, way: str) -> None:
    if way != "fast-forward":
        repository.git("switch", "-q", "main")
        (repository.root / "README.md").write_text("Another change on the main branch.\n", "utf-8")
        repository.commit("go on")
    if way == "squash":
        repository.git("merge", "-q", "--squash", "amend")
        repository.commit("amend, squashed")
    elif way == "rebase":
        repository.git("switch", "-q", "amend")
        repository.git("rebase", "-q", "main")
    elif way == "merge":
        repository.git("merge", "-q", "--no-edit", "amend")
    else:
        repository.git("switch", "-q", "main")
        repository.git("merge", "-q", "--ff-only", "amend")
    assert repository.said() == []


def test_a_fresh_clone_checks_them_without_anybody_s_keys(repository: Repository, tmp_path: Path) -> None:
    repository.git("clone", "-q", str(repository.root), str(tmp_path / "clone"))
    assert repository.said(tmp_path / "clone") == []


def test_a_checkout_that_likes_other_line_ends_leaves_signatures_alone(repository: Repository, tmp_path: Path) -> None:
    repository.git("clone", "-q", "-c", "core.autocrlf=true", str(repository.root), str(tmp_path / "clone"))
    assert repository.said(tmp_path / "clone") == []


def test_a_merge_that_brings_another_change_voids_them(repository: Repository) -> None:
    repository.git("switch", "-q", "main")
    repository.edit("findings.yml", "At a setting of 50 mL/h", "Set to 50 mL/h")
    repository.commit("reword a finding")
    repository.git("merge", "-q", "--no-edit", "amend")
    assert repository.said() == [("approval-void", Level.WARN)] * 2


def test_a_file_that_is_one_record_is_named_once_where_no_edition_can_be_issued(repository: Repository) -> None:
    repository.edit("case.yml", "severity: minor", "severity: serious")
    repository.commit("reword")
    reasons = prepare_edition(repository.root, repository.root / CASE, ON).reasons
    assert [one.rpartition(" (")[2] for one in reasons if "does not hold" in one] == ["case.yml)"] * 2


def test_an_approval_taken_over_from_an_earlier_state_speaks_of_that_state(repository: Repository) -> None:
    repository.edit("readings/flow.csv", "4,100,112.4", "4,100,112.6")
    repository.commit("amend once more")
    assert repository.said() == [("approval-void", Level.WARN)] * 2
    repository.git("revert", "--no-edit", "HEAD")
    assert repository.said() == []


def test_signers_edited_in_the_same_request_do_not_count_where_the_base_branch_says_who_signs(
    tmp_path: Path,
) -> None:
    """As the workflow does: `cases/` from the request, `.asfound/` from the base branch."""
    made = Repository(tmp_path / "repository")
    made.git("switch", "-q", "-c", "hostile")
    made.copy.path(".asfound/allowed_signers").write_text(line("examiner-1", of="nobody"), "utf-8")
    made.approve(SignerRole.EXAMINER, "nobody")
    made.commit("sign in the name of another")
    assert made.said() == []  # the request alone looks sound
    made.git("switch", "-q", "main")
    made.git("checkout", "-q", "hostile", "--", "cases")
    assert made.said() == [("approval-signer-unknown", Level.REJECT)]


def test_git_s_own_signature_of_a_commit_is_no_approval(repository: Repository) -> None:
    """A commit that git signs with the same SSH key gives a signature for another use."""
    text = repository.copy.path("approvals/examiner-examiner-1-1.json").read_bytes()
    signed = subprocess.run(
        ["ssh-keygen", "-Y", "sign", "-q", "-n", "git", "-f", str(key("examiner-1"))],
        input=text, capture_output=True, check=True, timeout=60,
    )  # fmt: skip
    repository.copy.path("approvals/examiner-examiner-1-1.json.sig").write_bytes(signed.stdout)
    assert repository.said() == [("approval-unverified", Level.REJECT)]
    (told,) = [
        one.found
        for one in assess_case(repository.root, repository.root / CASE, ON).problems
        if one.rule == "approval-unverified"
    ]
    assert told.endswith('the signature was made for "git", not for an approval')
