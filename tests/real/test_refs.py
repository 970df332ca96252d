"""Where tags, the main branch and HEAD lead, asked of one process and held against `git rev-parse` asked one by one."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound import history
from asfound.history import MAIN_BRANCHES, Git, GitError, Tag

from ..support.repository import Repo


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """A repository of two commits."""
    (tmp_path / "here").mkdir()
    made = Repo(tmp_path / "here")
    for text in ("one", "two"):
        (made.root / "file.txt").write_text(text)
        made.commit(text)
    return made


def opened(repo: Repo) -> Git:
    git = Git.open(repo.root)
    assert isinstance(git, Git)
    return git


def one_by_one(git: Git, name: str) -> str:
    """The other road: git's own command for one name, told to say nothing where there is none."""
    try:
        return git.run("rev-parse", "--verify", "--quiet", "--end-of-options", f"{name}^{{commit}}").decode().strip()
    except GitError:
        return ""


def test_tags_of_every_kind_lead_where_git_says(repo: Repo) -> None:
    repo.git("tag", "edition/a/1")
    repo.git("tag", "-a", "-m", "text", "edition/a/2", "HEAD~1")
    repo.git("tag", "-a", "-m", "of a tag", "edition/a/3", "edition/a/2")
    repo.git("tag", "edition/blob", "HEAD:file.txt")
    repo.git("tag", "-a", "-m", "text", "edition/tree", "HEAD^{tree}")
    repo.git("update-ref", "refs/tags/other", "refs/tags/edition/a/2")
    repo.git("tag", "unlike")
    git = opened(repo)
    tips = history.tips(git, "edition/")
    assert [(tag.name, tag.named) for tag in tips.tags] == [
        ("edition/a/1", "edition/a/1"),
        ("edition/a/2", "edition/a/2"),
        ("edition/a/3", "edition/a/3"),
        ("edition/blob", "edition/blob"),
        ("edition/tree", "edition/tree"),
        ("other", "edition/a/2"),
    ]
    assert [tag.commit for tag in tips.tags] == [one_by_one(git, f"refs/tags/{tag.name}") for tag in tips.tags]
    assert [bool(tag.commit) for tag in tips.tags] == [True, True, True, False, False, True]
    assert tips.head == one_by_one(git, "HEAD") != ""


@pytest.mark.parametrize("name", ["edition/\u2028/1", "edition/\x85/1", "edition/ü/1", "edition/" + "\udcff" + "/1"])
def test_a_name_that_unicode_would_break_in_two_is_one_name(repo: Repo, name: str) -> None:
    git = opened(repo)
    head = one_by_one(git, "HEAD")
    # As git keeps them packed: file systems differ in which names they take.
    packed = f"{head} refs/tags/{name}\n{head} refs/tags/edition/z/1\n".encode("utf-8", "surrogateescape")
    (repo.root / ".git" / "packed-refs").write_bytes(packed)
    assert history.tips(git, "edition/").tags == tuple(
        sorted((Tag(name, name, head), Tag("edition/z/1", "edition/z/1", head)), key=lambda tag: tag.name)
    )


@pytest.mark.parametrize("place", MAIN_BRANCHES[1:])
def test_the_first_place_that_leads_to_a_commit_is_the_main_branch(repo: Repo, place: str) -> None:
    repo.git("checkout", "-q", "-b", "elsewhere")
    repo.git("branch", "-q", "-D", "main")
    repo.git("symbolic-ref", "refs/remotes/origin/HEAD", "refs/remotes/origin/gone")
    assert history.tips(opened(repo), "edition/").main is None
    repo.git("update-ref", place, "HEAD~1")
    assert history.tips(opened(repo), "edition/").main == one_by_one(opened(repo), "HEAD~1") != ""


def test_before_the_first_commit_nothing_leads_anywhere(tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    tips = history.tips(opened(Repo(tmp_path / "here")), "edition/")
    assert (tips.tags, tips.main, tips.head) == ((), None, None)


def _damage(repo: Repo, ident: str) -> None:
    place = repo.root / ".git" / "objects" / ident[:2] / ident[2:]
    place.chmod(0o644)
    place.write_bytes(b"damaged")


def test_a_damaged_commit_hides_no_other(repo: Repo) -> None:
    repo.git("tag", "edition/a/2")
    lost = repo.git("commit-tree", "-m", "lost", "HEAD^{tree}")
    repo.git("update-ref", "refs/remotes/origin/main", lost)
    git = opened(repo)
    _damage(repo, lost)
    tips = history.tips(git, "edition/")
    assert [(tag.name, tag.commit) for tag in tips.tags] == [("edition/a/2", tips.head)]
    assert tips.main == tips.head == one_by_one(git, "HEAD") != ""


def test_a_damaged_commit_at_hand_is_told(repo: Repo) -> None:
    git = opened(repo)
    _damage(repo, one_by_one(git, "HEAD"))
    with pytest.raises(GitError, match="corrupt"):
        history.tips(git, "edition/")


def test_what_is_staged_is_told_before_the_first_commit_and_beside_odd_names(tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    made = Repo(tmp_path / "here")
    (made.root / "HEAD").write_text("a file")
    made.git("add", "HEAD")
    assert [(one.path, one.old) for one in history.staged(opened(made))] == [("HEAD", None)]
    made.commit("One")
    assert history.staged(opened(made)) == ()
    (made.root / "HEAD").write_text("changed")
    made.git("add", "HEAD")
    assert [one.path for one in history.staged(opened(made))] == ["HEAD"]
