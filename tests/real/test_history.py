"""The history as git keeps it, from real repositories: nothing is lost, and nothing a repository brings bends or runs.

The pass is held against git itself asked another way (`git ls-tree`, `git diff-tree` against every parent).
"""

from __future__ import annotations

import contextlib
import os
import random
import subprocess
from pathlib import Path

import pytest

from asfound import history
from asfound.history import FileChange, Git, GitError, Log, Unknown

from ..support.repository import Repo


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """An empty repository."""
    (tmp_path / "here").mkdir()
    return Repo(tmp_path / "here")


def write(repo: Repo, **files: str | None) -> None:
    """Write files (`__` stands for `/`, `_` before the end of a name for `.`); None takes one away."""
    for name, text in files.items():
        put(repo, name.replace("__", "/").replace("_", "."), text)


def put(repo: Repo, name: str, text: str | None) -> None:
    path = repo.root / name
    if text is None:
        path.unlink()
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def log(root: Path) -> Log:
    found = history.read(root)
    assert isinstance(found, Log), found
    return found


def own(found: Log) -> dict[str, list[FileChange]]:
    """Subject → what the commit did of its own."""
    return {step.commit.subject: list(step.changes) for step in found.replay().steps()}


def blob(repo: Repo, spec: str) -> str:
    return repo.git("rev-parse", spec)


def test_every_change_of_every_commit_is_told(repo: Repo) -> None:
    write(repo, a_yml="1\n", b_csv="2\n")
    repo.commit("one")
    write(repo, a_yml="3\n")
    repo.commit("two")
    write(repo, b_csv=None)
    repo.commit("three")
    found = log(repo.root)
    assert found.head == repo.git("rev-parse", "HEAD")
    assert [commit.subject for commit in found.commits] == ["one", "two", "three"]
    assert [commit.id for commit in found.commits] == repo.git("rev-list", "--reverse", "HEAD").split()
    one, two, three = (commit.changes for commit in found.commits)
    assert one == (
        FileChange("a.yml", None, blob(repo, "HEAD~2:a.yml")),
        FileChange("b.csv", None, blob(repo, "HEAD~2:b.csv")),
    )
    assert two == (FileChange("a.yml", blob(repo, "HEAD~2:a.yml"), blob(repo, "HEAD:a.yml")),)
    assert three == (FileChange("b.csv", blob(repo, "HEAD~2:b.csv"), None),)
    assert found.commits[0].at is not None and found.commits[0].at.isoformat() == "2026-03-20T12:01:00+00:00"


def test_a_moved_file_is_one_gone_and_one_come_with_the_same_contents(repo: Repo) -> None:
    write(repo, a__x_yml="same\n" * 50)
    repo.commit("one")
    (repo.root / "b").mkdir()
    repo.git("mv", "a/x.yml", "b/x.yml")
    repo.commit("two")
    same = blob(repo, "HEAD:b/x.yml")
    assert log(repo.root).commits[1].changes == (FileChange("a/x.yml", same, None), FileChange("b/x.yml", None, same))


def branches(repo: Repo) -> None:
    """Two branches that part at `base`: each changes its own file, and main is checked out."""
    write(repo, a_yml="base\n", b_yml="base\n", c_yml="base\n")
    repo.commit("base")
    repo.git("checkout", "-q", "-b", "side")
    write(repo, a_yml="side\n")
    repo.commit("side")
    repo.git("checkout", "-q", "main")
    write(repo, b_yml="main\n")
    repo.commit("main")


def test_a_plain_merge_does_nothing_of_its_own(repo: Repo) -> None:
    branches(repo)
    repo.git("merge", "-q", "--no-ff", "-m", "merge", "side")
    found = log(repo.root)
    told = own(found)
    assert told["merge"] == [] and len(told["side"]) == 1 and len(told["main"]) == 1


def test_an_edit_made_inside_a_merge_is_told_though_git_log_is_silent(repo: Repo) -> None:
    branches(repo)
    repo.git("merge", "-q", "--no-ff", "--no-commit", "side")
    write(repo, c_yml="slipped in\n", d_yml="new\n")
    repo.commit("merge")
    plain = repo.git("log", "-1", "--raw", "--format=%s")
    assert plain == "merge"
    told = own(log(repo.root))["merge"]
    base = blob(repo, "HEAD~1:c.yml")
    assert [(one.path, one.old, one.new) for one in told] == [
        ("c.yml", base, blob(repo, "HEAD:c.yml")),
        ("d.yml", None, blob(repo, "HEAD:d.yml")),
    ]
    assert told[0].sides == (base, base)
    # Asked another way: what differs from every parent.
    apart = repo.git("diff-tree", "-c", "--no-commit-id", "--name-only", "-r", "HEAD").split()
    assert [one.path for one in told] == apart


def test_a_change_that_a_merge_drops_is_told_though_the_combined_difference_is_silent(repo: Repo) -> None:
    branches(repo)
    repo.git("merge", "-q", "--no-ff", "-s", "ours", "-m", "merge", "side")
    assert repo.git("diff-tree", "-c", "--no-commit-id", "--name-only", "-r", "HEAD") == ""
    (told,) = own(log(repo.root))["merge"]
    assert (told.path, told.old, told.new) == ("a.yml", blob(repo, "side:a.yml"), blob(repo, "main~1:a.yml"))


def test_what_a_branch_had_not_yet_heard_of_is_no_dropped_change(repo: Repo) -> None:
    branches(repo)
    repo.git("checkout", "-q", "side")
    repo.git("merge", "-q", "--no-ff", "-m", "bring main into side", "main")
    repo.git("checkout", "-q", "main")
    write(repo, b_yml="main again\n")
    repo.commit("main again")
    repo.git("merge", "-q", "--no-ff", "-m", "merge", "side")
    told = own(log(repo.root))
    assert told["merge"] == [] and told["bring main into side"] == []


def test_a_conflict_settled_for_one_side_gives_up_the_other(repo: Repo) -> None:
    branches(repo)
    write(repo, a_yml="main too\n")
    repo.commit("main too")
    with pytest.raises(subprocess.CalledProcessError):
        repo.git("merge", "-q", "--no-ff", "side")
    write(repo, a_yml="side\n")
    repo.commit("merge")
    (told,) = own(log(repo.root))["merge"]
    assert (told.path, told.old, told.new) == ("a.yml", blob(repo, "HEAD~1:a.yml"), blob(repo, "side:a.yml"))


def test_a_merge_of_three_branches(repo: Repo) -> None:
    write(repo, a_yml="base\n", b_yml="base\n")
    repo.commit("base")
    for name in ("one", "two"):
        repo.git("checkout", "-q", "-b", name, "main")
        put(repo, f"{name}.yml", "x\n")
        repo.commit(name)
    repo.git("checkout", "-q", "main")
    write(repo, a_yml="main\n")
    repo.commit("main")
    repo.git("merge", "-q", "-m", "merge", "one", "two")
    found = log(repo.root)
    assert len(found.commits[-1].parents) == 3 and own(found)["merge"] == []


@pytest.mark.parametrize("strategy", ["ort", "ours"])
def test_the_replay_ends_with_what_the_last_commit_holds(repo: Repo, strategy: str) -> None:
    branches(repo)
    put(repo, "f/g.csv", "x\n")
    repo.commit("more")
    repo.git("merge", "-q", "--no-ff", "-s", strategy, "-m", "merge", "side")
    put(repo, "c.yml", None)
    repo.commit("less")
    replay = log(repo.root).replay()
    list(replay.steps())
    listed = [line.split(None, 3) for line in repo.git("ls-tree", "-r", "HEAD").splitlines()]
    assert replay.held == {path: ident for _, _, ident, path in listed}


def wander(repo: Repo, choose: random.Random, moves: int) -> None:
    """Commits, branches and merges of every kind, as they come."""
    names = ["main"]
    put(repo, "f0", "0\n")
    repo.commit("root")
    for move in range(moves):
        what = choose.random()
        if what < 0.5:
            path = repo.root / f"f{choose.randrange(5)}"
            if path.exists() and choose.random() < 0.2:
                path.unlink()
            else:
                path.write_text("".join(f"{choose.randrange(9)}\n" for _ in range(3)) + str(move))
            repo.commit(f"{move}")
        elif what < 0.6:
            names.append(f"b{move}")
            repo.git("checkout", "-q", "-b", names[-1])
        elif what < 0.8:
            repo.git("checkout", "-q", choose.choice(names))
        else:
            merge(repo, choose, choose.choice(names))
    for name in reversed(names):
        repo.git("checkout", "-q", name)
        put(repo, f"f{choose.randrange(5)}", f"last of {name}\n")
        repo.commit(f"last of {name}")
    for name in names:
        merge(repo, choose, name)


def merge(repo: Repo, choose: random.Random, name: str) -> None:
    how = choose.choice((("-s", "ours"), ("-X", "theirs"), ("-X", "ours"), ("--no-commit",)))
    # A conflict is left in the file, with both its sides.
    with contextlib.suppress(subprocess.CalledProcessError):
        repo.git("merge", "-q", "--no-ff", "-m", f"merge {name}", *how, name)
    if (repo.root / ".git" / "MERGE_HEAD").exists():
        repo.commit(f"merge {name}")


@pytest.mark.parametrize("seed", range(6))
def test_histories_of_every_shape_agree_with_git_asked_another_way(repo: Repo, seed: int) -> None:
    wander(repo, random.Random(seed), 30)
    found = log(repo.root)
    replay = found.replay()
    merges = 0
    for step in replay.steps():
        if len(step.commit.parents) > 1:
            merges += 1
            said = repo.git("diff-tree", "-c", "--no-commit-id", "--name-only", "-r", step.commit.id)
            assert {one.path for one in step.changes if one.new not in one.sides} == set(said.split())
    assert merges
    listed = [line.split(None, 3) for line in repo.git("ls-tree", "-r", "HEAD").splitlines()]
    assert replay.held == {path: ident for _, _, ident, path in listed}


NAMES = (
    "line\nend.yml",
    'quo"te.yml',
    "tab\there.yml",
    "Δοκιμή/naïve ö.csv",
    ":100644 100644.yml",
    "-dash.yml",
    " blank ",
)


def test_names_with_line_ends_quotes_and_signs_come_whole(repo: Repo) -> None:
    for name in NAMES:
        put(repo, name, f"{name}\n")
    repo.commit("names")
    found = log(repo.root)
    assert {change.path for change in found.commits[0].changes} == set(NAMES)
    wanted = [change.new for change in found.commits[0].changes if change.new]
    held = dict(found.contents(wanted))
    assert {(held[change.new] or b"").decode() for change in found.commits[0].changes if change.new} == {
        f"{name}\n" for name in NAMES
    }


def test_a_name_that_is_no_utf_8_leads_to_its_file(repo: Repo) -> None:
    (repo.root / os.fsdecode(b"caf\xe9.yml")).write_text("x\n")
    repo.commit("latin")
    (change,) = log(repo.root).commits[0].changes
    assert os.fsencode(change.path) == b"caf\xe9.yml"


def test_messages_come_whole_and_apart(repo: Repo) -> None:
    message = "Say it once\n\n:100644 100644 a b M\n\nsecond paragraph\n"
    write(repo, a_yml="1\n")
    repo.commit(message)
    (commit,) = log(repo.root).commits
    assert (commit.subject, commit.body) == ("Say it once", ":100644 100644 a b M\n\nsecond paragraph")
    assert len(commit.changes) == 1


def test_a_link_or_a_submodule_is_no_file(repo: Repo) -> None:
    (repo.root / "link.yml").symlink_to("a.yml")
    write(repo, a_yml="1\n")
    repo.commit("one")
    (repo.root / "link.yml").unlink()
    write(repo, link_yml="now a file\n")
    repo.commit("two")
    one, two = log(repo.root).commits
    assert [change.path for change in one.changes] == ["a.yml"]
    assert two.changes == (FileChange("link.yml", None, blob(repo, "HEAD:link.yml")),)


def test_a_clone_that_is_cut_short_is_not_read_and_says_what_to_do(repo: Repo, tmp_path: Path) -> None:
    for number in range(3):
        write(repo, a_yml=f"{number}\n")
        repo.commit(f"{number}")
    subprocess.run(
        ["git", "clone", "-q", "--depth", "1", f"file://{repo.root}", str(tmp_path / "short")],
        check=True,
        capture_output=True,
    )
    found = history.read(tmp_path / "short")
    assert isinstance(found, Unknown)
    assert "`git fetch --unshallow`" in found.why and "`fetch-depth: 0`" in found.why
    # What git itself would have said without a word of warning: that everything came with the last commit.
    said = subprocess.run(
        ["git", "-C", str(tmp_path / "short"), "log", "--format=%s"], check=True, capture_output=True, text=True
    ).stdout
    assert said.split() == ["2"]


def test_no_repository_no_commit_and_no_git_are_answers(
    tmp_path: Path, repo: Repo, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = tmp_path / "apart"
    bare.mkdir()
    found = history.read(bare)
    assert isinstance(found, Unknown) and "do not lie in a git repository" in found.why
    empty = log(repo.root)
    assert empty.head is None and empty.commits == ()
    monkeypatch.setenv("PATH", str(bare))
    found = history.read(repo.root)
    assert isinstance(found, Unknown) and "git was not found" in found.why


def test_a_program_called_git_that_lies_in_the_repository_is_not_started(
    repo: Repo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    put(repo, "git", f"#!/bin/sh\ntouch {tmp_path}/started\n")
    (repo.root / "git").chmod(0o755)
    monkeypatch.setenv("PATH", str(repo.root))
    assert isinstance(history.read(repo.root), Unknown)
    assert not (tmp_path / "started").exists()


def test_git_s_own_words_are_in_the_error(repo: Repo) -> None:
    git = Git.open(repo.root)
    assert isinstance(git, Git)
    with pytest.raises(GitError, match="Not a valid object name"):
        git.run("cat-file", "-p", "no-such-thing")
    with pytest.raises(GitError, match="stopped after"):
        git.run("cat-file", "--batch", seconds=0.0001)


def test_a_broken_object_is_said_in_git_s_words(repo: Repo) -> None:
    write(repo, a_yml="1\n")
    ident = repo.commit("one")
    place = repo.root / ".git" / "objects" / ident[:2] / ident[2:]
    place.chmod(0o644)
    place.write_bytes(b"rubbish")
    found = history.read(repo.root)
    assert isinstance(found, Unknown) and ident[:7] in found.why


def test_an_object_put_in_the_place_of_another_and_grafts_are_set_aside(repo: Repo) -> None:
    write(repo, a_yml="as committed\n")
    first = repo.commit("one")
    write(repo, a_yml="second\n")
    last = repo.commit("two")
    write(repo, a_yml="forged\n")
    forged = repo.git("hash-object", "-w", str(repo.root / "a.yml"))
    true = blob(repo, "HEAD~1:a.yml")
    repo.git("replace", true, forged)
    tree = repo.git("rev-parse", f"{first}^{{tree}}")
    other = repo.git("commit-tree", tree, "-m", "another past")
    repo.git("replace", first, other)
    (repo.root / ".git" / "info").mkdir(exist_ok=True)
    (repo.root / ".git" / "info" / "grafts").write_text(f"{last}\n")
    assert "another past" not in [commit.subject for commit in log(repo.root).commits]
    found = log(repo.root)
    assert [commit.subject for commit in found.commits] == ["one", "two"]
    assert found.replaced == 2
    assert dict(found.contents([true]))[true] == b"as committed\n"


def test_a_repository_s_configuration_runs_nothing_and_bends_nothing(repo: Repo, tmp_path: Path) -> None:
    """Each of these keys starts a program in an ordinary call of git; a mail map renames authors."""
    spy = tmp_path / "spy"
    spy.write_text(f'#!/bin/sh\ntouch {tmp_path}/started\ncat "$1" 2>/dev/null\nexit 0\n')
    spy.chmod(0o755)
    put(repo, ".gitattributes", "*.yml diff=spy filter=spy\n")
    put(repo, ".mailmap", "Somebody Else <else@example.org> <bench@example.org>\n")
    write(repo, a_yml="1\n")
    repo.commit("one")
    write(repo, a_yml="2\n")
    repo.commit("two")
    hooks = repo.root / "hooks"
    hooks.mkdir()
    for name in ("post-checkout", "reference-transaction", "post-index-change"):
        (hooks / name).write_text(spy.read_text())
        (hooks / name).chmod(0o755)
    for key, value in {
        "core.fsmonitor": str(spy), "core.hooksPath": str(hooks), "core.pager": str(spy), "pager.log": str(spy),
        "diff.external": str(spy), "diff.spy.textconv": str(spy), "diff.spy.command": str(spy),
        "filter.spy.clean": str(spy), "filter.spy.smudge": str(spy), "gpg.program": str(spy),
        "log.showSignature": "true", "log.mailmap": "true", "log.follow": "true", "log.showRoot": "false",
        "log.diffMerges": "off", "log.decorate": "full", "diff.renames": "copies", "core.quotePath": "true",
        "diff.noprefix": "true", "core.abbrev": "7", "color.ui": "always", "i18n.logOutputEncoding": "UTF-16",
        "diff.orderFile": str(tmp_path / "absent"), "core.sshCommand": str(spy), "alias.log": f"!{spy}",
        "core.commitGraph": "true", "diff.ignoreSubmodules": "all", "core.logAllRefUpdates": "false",
    }.items():  # fmt: skip
        repo.git("config", key, value)
    found = log(repo.root)
    assert [commit.subject for commit in found.commits] == ["one", "two"]
    assert {commit.email for commit in found.commits} == {"bench@example.org"}
    assert [len(commit.changes) for commit in found.commits] == [3, 1]
    change = found.commits[1].changes[0]
    assert [data for _, data in found.contents([change.old or "", change.new or ""])] == [b"1\n", b"2\n"]
    assert not (tmp_path / "started").exists()
    # The trap is a trap: an ordinary call springs it.
    subprocess.run(["git", "-C", str(repo.root), "diff", "HEAD~1"], capture_output=True, check=False)
    assert (tmp_path / "started").exists()


def test_files_placed_elsewhere_by_the_configuration_are_refused(repo: Repo, tmp_path: Path) -> None:
    write(repo, a_yml="1\n")
    repo.commit("one")
    (tmp_path / "elsewhere").mkdir()
    repo.git("config", "core.worktree", str(tmp_path / "elsewhere"))
    found = history.read(repo.root)
    assert isinstance(found, Unknown)


def test_inside_a_hook_of_another_repository_it_speaks_of_its_own(
    repo: Repo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """git sets these for hooks; a tool that keeps them reads the repository that runs the hook."""
    (tmp_path / "other").mkdir()
    other = Repo(tmp_path / "other")
    write(other, z_yml="1\n")
    other.commit("of the other")
    write(repo, a_yml="1\n")
    repo.commit("mine")
    monkeypatch.setenv("GIT_DIR", str(other.root / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.root))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other.root / ".git" / "index"))
    monkeypatch.setenv("GIT_EXTERNAL_DIFF", "false")
    monkeypatch.setenv("GIT_CONFIG_PARAMETERS", "'core.worktree=/'")
    assert [commit.subject for commit in log(repo.root).commits] == ["mine"]


def test_cases_in_a_folder_of_a_larger_repository_are_told_from_their_root(repo: Repo) -> None:
    write(repo, a_yml="outside\n", sub__cases__x_yml="inside\n")
    repo.commit("one")
    (commit,) = log(repo.root / "sub").commits
    assert [change.path for change in commit.changes] == ["cases/x.yml"]


def test_a_linked_working_folder_reads_its_own_branch(repo: Repo, tmp_path: Path) -> None:
    write(repo, a_yml="1\n")
    repo.commit("one")
    repo.git("worktree", "add", "-q", "-b", "side", str(tmp_path / "linked"))
    side = Repo(tmp_path / "linked")
    write(side, b_yml="2\n")
    side.commit("side")
    assert [commit.subject for commit in log(side.root).commits] == ["one", "side"]
    assert [commit.subject for commit in log(repo.root).commits] == ["one"]


def test_a_clone_without_contents_is_never_made_to_fetch(repo: Repo, tmp_path: Path) -> None:
    for number in range(2):
        write(repo, a_yml=f"version {number}\n")
        repo.commit(f"{number}")
    repo.git("config", "uploadpack.allowFilter", "true")
    short = tmp_path / "partial"
    subprocess.run(
        ["git", "clone", "-q", "--filter=blob:none", f"file://{repo.root}", str(short)], check=True, capture_output=True
    )
    found = log(short)
    old, new = found.commits[1].changes[0].old, found.commits[1].changes[0].new
    assert old and new
    assert dict(found.contents([old, new])) == {old: None, new: b"version 1\n"}


def test_times_git_cannot_place_and_far_offsets(repo: Repo) -> None:
    write(repo, a_yml="1\n")
    repo.git("add", "-A")
    tree = repo.git("write-tree")
    raw = f"tree {tree}\nauthor A <a@example.org> 1773000000 +1400\ncommitter A <a@example.org> {{}}\n\nsubject\n"
    for time, wanted in (("1773000000 -1130", "2026-03-08T08:30:00-11:30"), ("99999999999999999999 +0000", None)):
        ident = repo.git("hash-object", "-t", "commit", "-w", "--stdin", "--literally", data=raw.format(time))
        repo.git("update-ref", "refs/heads/main", ident)
        (commit,) = log(repo.root).commits
        assert (commit.at.isoformat() if commit.at else None) == wanted


def test_a_repository_with_the_longer_digests(tmp_path: Path) -> None:
    root = tmp_path / "long"
    root.mkdir()
    subprocess.run(["git", "init", "-q", "--object-format=sha256", "-b", "main", str(root)], check=True)
    repo = Repo(root)
    write(repo, a_yml="1\n")
    repo.commit("one")
    (commit,) = log(root).commits
    new = commit.changes[0].new or ""
    assert len(commit.id) == len(new) == 64
    assert history.content_id(b"1\n", new) == new == repo.git("hash-object", str(root / "a.yml"))


def test_the_id_of_contents_is_git_s_own() -> None:
    # Pro Git, second edition, chapter 10.2: the object of the text "what is up, doc?" (confirmed by git itself below).
    assert history.content_id(b"what is up, doc?", "0" * 40) == "bd9dbf5aae1a3862dd1526723246b20206e5fc37"
    said = subprocess.run(["git", "hash-object", "--stdin"], input=b"what is up, doc?", capture_output=True, check=True)
    assert said.stdout.decode().strip() == "bd9dbf5aae1a3862dd1526723246b20206e5fc37"
