"""`asfound approve`: who may sign what, what is written, and that a stop at any moment leaves nothing half done."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.model.approval import read_statement
from tests.rules.signing import approval, key, line, public, signers
from tests.rules.support import CASE, Copy, Edit

from .support import Done, apart, command, run

ON = ("--on", "2026-03-20")
AMENDED: Edit = ("readings/flow.csv", "4,100,111.9", "4,100,112.9")
EXAMINER = "approvals/examiner-examiner-1-1.json"
GAP = """\
Q-1:
  rule: custody-gap
  subject: I-4
  by: examiner
  at: 2026-03-06 09:00 -06:00
  why: It was never used.
  effect: None.
"""

Approve = Callable[..., Done]


@pytest.fixture
def copy(tmp_path: Path) -> Copy:
    """The base case in a repository that says who may sign."""
    return Copy(tmp_path / "repository", extra=signers())


@pytest.fixture
def approve(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, copy: Copy) -> Approve:
    """`asfound approve base --role ROLE`, with the key of a name."""

    def go(role: str, by: str = "", *more: str) -> Done:
        chosen = ("--key", str(key(by))) if by else ()
        return run(capsys, monkeypatch, copy.root, "approve", "base", "--role", role, *ON, *chosen, *more)

    return go


def lying(copy: Copy) -> list[str]:
    """Everything among the approvals."""
    place = copy.path("approvals")
    return sorted(one.name for one in place.iterdir()) if place.exists() else []


def test_both_sign_and_the_check_has_nothing_against_it(approve: Approve, copy: Copy) -> None:
    done = approve("examiner", "examiner-1")
    assert (done.code, done.out) == (0, f"{CASE}/{EXAMINER}\n{CASE}/{EXAMINER}.sig\n")
    assert done.err.startswith("examiner-1 approved base as examiner, assessed on 2026-03-20. Commit both files")
    assert approve("reviewer", "second").code == 0
    assert lying(copy) == [
        "examiner-examiner-1-1.json", "examiner-examiner-1-1.json.sig",
        "reviewer-second-2.json", "reviewer-second-2.json.sig",
    ]  # fmt: skip
    assert [one.rule for one in copy.problems()] == ["reviewer-not-provable"]


def test_openssh_alone_verifies_what_was_written_with_the_repository_s_own_file(approve: Approve, copy: Copy) -> None:
    approve("examiner", "examiner-1")
    text = copy.path(EXAMINER).read_bytes()
    verify = ["ssh-keygen", "-Y", "verify", "-f", str(copy.path(".asfound/allowed_signers")), "-I", "examiner-1"]
    done = subprocess.run(
        [*verify, "-n", "approval@asfound", "-s", str(copy.path(f"{EXAMINER}.sig"))],
        input=text, capture_output=True, check=True, timeout=60,
    )  # fmt: skip
    assert done.stdout.startswith(b'Good "approval@asfound" signature for examiner-1 with ED25519 key SHA256:')


def test_the_statement_holds_every_file_and_record_by_its_digest(approve: Approve, copy: Copy) -> None:
    import hashlib

    approve("examiner", "examiner-1")
    said = read_statement(copy.path(EXAMINER).read_text("utf-8"))
    lies = {
        path.relative_to(copy.path("")).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in copy.path("").rglob("*")
        if path.is_file() and "approvals" not in path.parts
    }
    assert said.files == lies
    assert {"R-flow-4", "C-1", "F-2", "case.yml", "conclusion.yml", "plan.yml"} <= set(said.records)
    assert {"M-1", ".asfound/settings.yml"} <= set(said.records)
    assert (said.case, said.role, said.signer, str(said.on)) == ("base", "examiner", "examiner-1", "2026-03-20")


def test_the_same_case_gives_the_same_bytes_and_a_dry_run_shows_them(approve: Approve, copy: Copy) -> None:
    shown = approve("examiner", "examiner-1", "--dry-run")
    assert (shown.code, lying(copy)) == (0, [])
    assert "nothing was written" in shown.err
    assert str(copy.root) not in shown.out
    approve("examiner", "examiner-1")
    assert copy.path(EXAMINER).read_text("utf-8") == shown.out
    assert json.loads(shown.out)["format"] == 1


def test_a_dry_run_needs_no_key(approve: Approve, copy: Copy) -> None:
    done = approve("examiner", "", "--signer", "examiner-1", "--dry-run")
    assert json.loads(done.out)["signer"] == "examiner-1"
    assert lying(copy) == []


def test_the_listed_key_among_one_s_own_is_found(
    approve: Approve, copy: Copy, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    home = tmp_path / "home" / ".ssh"
    home.mkdir(parents=True)
    monkeypatch.setenv("HOME", str(home.parent))
    done = approve("examiner")
    assert done.code == 1 and "no key of a signer who may sign as examiner was found among yours" in done.err
    for name in ("nobody", "examiner-1"):
        for place in (key(name), key(name).with_suffix(".pub")):
            (home / place.name).write_bytes(place.read_bytes())
            (home / place.name).chmod(0o600)
    assert approve("examiner").code == 0
    assert lying(copy)[0] == "examiner-examiner-1-1.json"


def test_who_signed_already_is_told_so_and_nothing_is_written(approve: Approve, copy: Copy) -> None:
    approve("examiner", "examiner-1")
    done = approve("examiner", "examiner-1")
    assert (done.code, done.out, len(lying(copy))) == (0, "", 2)
    assert f"{EXAMINER} speaks of the case as it stands already" in done.err


def test_after_a_change_one_signs_again_under_the_next_number(approve: Approve, copy: Copy) -> None:
    approve("examiner", "examiner-1")
    path = copy.path(AMENDED[0])
    path.write_text(path.read_text("utf-8").replace(*AMENDED[1:]), "utf-8")
    assert "approval-void" in {one.rule for one in copy.problems()}
    assert approve("examiner", "examiner-1").code == 0
    assert lying(copy)[2:] == ["examiner-examiner-1-2.json", "examiner-examiner-1-2.json.sig"]
    assert copy.problems() == ()


def test_the_reviewer_authorises_the_exceptions_and_the_examiner_does_not(approve: Approve, copy: Copy) -> None:
    copy.path("exceptions.yml").write_text(GAP, "utf-8")
    assert "authorised" not in approve("examiner", "examiner-1").err
    assert "exception-unauthorised" in {one.rule for one in copy.problems()}
    assert "The exceptions on record were authorised with it: Q-1." in approve("reviewer", "second").err
    assert [one.rule for one in copy.problems()] == ["reviewer-not-provable"]


# Refusals


def refused(done: Done, copy: Copy, *says: str) -> None:
    """Exit code 1, the reasons on standard error, nothing written."""
    assert (done.code, done.out, lying(copy)) == (1, "", [])
    for one in says:
        assert one in done.err, done.err


def test_a_reject_stands_in_the_way(approve: Approve, copy: Copy) -> None:
    path = copy.path("case.yml")
    path.write_text(path.read_text("utf-8").replace("maintained: no", "maintained: yes"), "utf-8")
    refused(approve("examiner", "examiner-1"), copy, "cannot be approved by this examiner", "reject examiner-with-ties")


@pytest.mark.parametrize("text", ["case: [", "case: base\n"])
def test_a_broken_file_stands_in_the_way(approve: Approve, copy: Copy, text: str) -> None:
    copy.path("case.yml").write_text(text, "utf-8")
    refused(approve("examiner", "examiner-1"), copy, "reject case-unreadable")


def test_an_open_case_cannot_be_approved(approve: Approve, copy: Copy) -> None:
    path = copy.path("case.yml")
    path.write_text(path.read_text("utf-8").replace("stage: in review", "stage: open"), "utf-8")
    refused(approve("examiner", "examiner-1"), copy, "the case is open")


def test_a_refused_line_of_signers_stands_in_the_way(approve: Approve, copy: Copy) -> None:
    path = copy.path(".asfound/allowed_signers")
    path.write_text(path.read_text("utf-8") + f"* {public('nobody')}\n", "utf-8")
    refused(approve("examiner", "examiner-1"), copy, "allowed_signers:4:1 reject signers-wildcard")


@pytest.mark.parametrize(
    ("role", "by", "more", "says"),
    [
        ("reviewer", "examiner-1", (), '"examiner-1" may not sign as reviewer'),
        ("examiner", "nobody", (), "is not listed in .asfound/allowed_signers"),
        ("examiner", "second", ("--signer", "examiner-1"), 'the key is that of "second", not of "examiner-1"'),
        ("examiner", "", ("--signer", "stranger"), 'no key of "stranger" is listed'),
        ("examiner", "", ("--key", "none"), "there is no key none"),
    ],
)
def test_who_may_not_sign_does_not(
    approve: Approve, copy: Copy, role: str, by: str, more: tuple[str, ...], says: str
) -> None:
    refused(approve(role, by, *more), copy, says)


def test_without_signers_nobody_signs_and_the_cure_is_named(approve: Approve, copy: Copy) -> None:
    copy.path(".asfound/allowed_signers").unlink()
    refused(approve("examiner", "examiner-1"), copy, 'namespaces="approval@asfound"')


def test_a_key_whose_time_is_over_does_not_sign(approve: Approve, copy: Copy) -> None:
    late = line("examiner-1", options='namespaces="approval@asfound",valid-before="20260319"')
    copy.path(".asfound/allowed_signers").write_text(late, "utf-8")
    refused(approve("examiner", "examiner-1"), copy, "does not count on 2026-03-20")


def test_nobody_signs_in_both_roles_but_in_a_shop_of_two(approve: Approve, copy: Copy) -> None:
    approve("examiner", "both")
    done = approve("reviewer", "both")
    assert done.code == 1 and "somebody else has to sign as reviewer" in done.err
    path = copy.path(".asfound/settings.yml")
    path.write_text("two_person_shop: yes\n" + path.read_text("utf-8"), "utf-8")
    assert approve("examiner", "both").code == 0
    assert approve("reviewer", "both").code == 0


def test_a_key_whose_secret_is_another_s_makes_nothing(approve: Approve, copy: Copy, tmp_path: Path) -> None:
    (tmp_path / "mixed").write_bytes(key("nobody").read_bytes())
    (tmp_path / "mixed").chmod(0o600)
    (tmp_path / "mixed.pub").write_text(public("examiner-1"), "utf-8")
    done = approve("examiner", "", "--key", str(tmp_path / "mixed"))
    refused(done, copy, "Nothing was approved:")


@pytest.mark.parametrize(
    "edit",
    [("--role", "owner"), ("--role",), (), ("--role", "examiner", "--on", "soon"), ("--role", "examiner", "--no")],
)
def test_wrong_usage_is_told_as_such(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, copy: Copy, edit: tuple[str, ...]
) -> None:
    assert run(capsys, monkeypatch, copy.root, "approve", "base", *edit).code == 2


# Stops


def sound(copy: Copy) -> None:
    """No statement without its signature, no half of a file, and nothing of the case touched."""
    names = lying(copy)
    for name in names:
        if name.endswith(".json") and not name.startswith("."):
            assert f"{name}.sig" in names
    rules = {one.rule for one in copy.problems()}
    assert rules <= {"approval-unverified", "file-ignored"}, rules


@pytest.mark.parametrize("call", ["fsync", "replace"])
@pytest.mark.parametrize("number", [1, 2, 3])
def test_an_error_at_any_write_leaves_nothing_and_the_next_run_signs(
    approve: Approve, copy: Copy, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    counted = 0

    def failing(real: Callable[..., object]) -> Callable[..., object]:
        def go(*arguments: object) -> object:
            nonlocal counted
            counted += 1
            if counted == number:
                raise OSError(28, "No space left on device")
            return real(*arguments)

        return go

    with monkeypatch.context() as patch:
        if call == "fsync":
            patch.setattr(os, "fsync", failing(os.fsync))
        else:
            patch.setattr(Path, "replace", failing(Path.replace))
        done = approve("examiner", "examiner-1")
    if call == "replace" and number == 3:
        assert (done.code, counted) == (0, 2)
        return
    assert done.code == 1 and done.err == "Nothing was approved: No space left on device.\n"
    if call == "fsync" and number == 3:  # only the names could not be brought to the disk: both files are whole
        assert len(lying(copy)) == 2 and copy.problems() == ()
        return
    assert lying(copy) == []
    assert approve("examiner", "examiner-1").code == 0
    assert copy.problems() == ()


KILLED = """
import os, signal, sys
from pathlib import Path
count = 0
def stop(real):
    def go(*arguments):
        global count
        count += 1
        if count == {number}:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*arguments)
    return go
os.fsync = stop(os.fsync)
Path.replace = stop(Path.replace)
from asfound.cli import main
main()
"""


@pytest.mark.skipif(not hasattr(os, "kill") or sys.platform == "win32", reason="killing without notice is of POSIX")
@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_a_kill_at_any_moment_leaves_nothing_half_and_the_next_run_completes_it(
    approve: Approve, copy: Copy, number: int
) -> None:
    # In order: flush of signature, flush of statement, name of signature, name of statement, flush of the folder.
    arguments = ("approve", "base", "--role", "examiner", *ON, "--key", str(key("examiner-1")))
    before = {path: path.read_bytes() for path in copy.root.rglob("*") if path.is_file()}
    done = subprocess.run(
        [sys.executable, "-c", KILLED.format(number=number), *arguments],
        cwd=copy.root,
        capture_output=True,
        check=False,
    )
    assert done.returncode == -9
    sound(copy)
    assert {path: path.read_bytes() for path in before} == before
    again = approve("examiner", "examiner-1")
    assert again.code == 0
    assert lying(copy) == ["examiner-examiner-1-1.json", "examiner-examiner-1-1.json.sig"]
    assert copy.problems() == ()


def test_a_signature_left_alone_that_is_of_something_else_is_never_used(approve: Approve, copy: Copy) -> None:
    other = approval("examiner", "examiner-1", edits=[AMENDED], extra=signers())
    copy.path("approvals").mkdir()
    copy.path(f"{EXAMINER}.sig").write_bytes(bytes(other[f"{EXAMINER}.sig"]))  # type: ignore[arg-type]
    done = approve("examiner", "examiner-1")
    assert done.code == 1 and "approval-unverified" in done.err
    assert copy.path(f"{EXAMINER}.sig").read_bytes() == other[f"{EXAMINER}.sig"]


def test_a_link_among_the_approvals_is_not_written_through(approve: Approve, copy: Copy, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    copy.path("approvals").symlink_to(outside)
    assert approve("examiner", "examiner-1").code == 1
    assert list(outside.iterdir()) == []


def test_it_runs_in_a_process_of_its_own_without_a_terminal(copy: Copy) -> None:
    done = apart(copy.root, "approve", "base", "--role", "examiner", *ON, "--key", str(key("examiner-1")))
    assert (done.code, done.out.count("\n")) == (0, 2)
    assert command()[0] == sys.executable
