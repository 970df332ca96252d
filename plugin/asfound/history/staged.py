"""What the next commit would change, as git's index has it: for hooks, which are asked before there is a commit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from msgspec import Struct, structs

from asfound.history.git import Git, GitError

_FILES = (b"100644", b"100755")


class Staged(Struct, frozen=True):
    """A plain file that the next commit would bring, change or take out.

    path      from the root of the cases, with `/`
    old, new  ids of the contents before and after; None where no plain file stands
    """

    path: str
    old: str | None
    new: str | None


def hooked(git: Git, outside: Mapping[str, str]) -> Git:
    """git with the index of the commit that is being made, where the environment of a hook names one.

    `git commit FILE` makes an index of its own. One that does not lie in the repository's own folder is passed over.
    """
    named = outside.get("GIT_INDEX_FILE", "")
    if not named:
        return git
    own = Path(git.run("rev-parse", "--absolute-git-dir").decode("utf-8", "surrogateescape").rstrip("\n")).resolve()
    place = (git.top / named).resolve()
    return structs.replace(git, index=str(place)) if place.is_relative_to(own) else git


def staged(git: Git) -> tuple[Staged, ...]:
    """Every change between the last commit and the index, by path. Raises GitError."""
    try:
        said = _against(git, "HEAD")
    except GitError:
        if git.head() is not None:
            raise
        # Before the first commit everything is held against a tree that holds nothing.
        said = _against(git, git.run("hash-object", "-t", "tree", "--stdin").decode("ascii").strip())
    parts = iter(said.split(b"\0"))
    found = []
    for head_line in parts:
        if not head_line:
            continue
        path = next(parts).decode("utf-8", "surrogateescape")
        old_mode, new_mode, old, new, _ = head_line[1:].split()
        if path.startswith(git.prefix):
            kept = [ident.decode("ascii") if mode in _FILES else None
                    for mode, ident in ((old_mode, old), (new_mode, new))]  # fmt: skip
            found.append(Staged(path.removeprefix(git.prefix), *kept))
    return tuple(sorted(found, key=lambda one: one.path))


def _against(git: Git, tree: str) -> bytes:
    return git.run(
        "diff-index",
        "--cached",
        "--raw",
        "-z",
        "--no-renames",
        "--no-abbrev",
        "--no-ext-diff",
        "--no-textconv",
        tree,
        "--",
    )


def indexed(git: Git, folder: str) -> frozenset[str]:
    """The plain files below a folder (with `/`, from the root of the cases) that the next commit will hold."""
    said = git.run("ls-files", "-z", "--stage", "--full-name", "--", f":(top,literal){git.prefix}{folder}/")
    rows = (row.partition(b"\t") for row in said.split(b"\0") if row)
    paths = (path.decode("utf-8", "surrogateescape") for head, _, path in rows if head.split()[0] in _FILES)
    return frozenset(path.removeprefix(git.prefix) for path in paths)


def sizes(git: Git, idents: Iterable[str]) -> dict[str, int]:
    """How many bytes stand under each id; one this clone does not hold is left out. Raises GitError."""
    asked = "".join(f"{ident}\n" for ident in sorted(set(idents)))
    if not asked:
        return {}
    said = git.run("cat-file", "--batch-check=%(objectname) %(objectsize)", data=asked.encode("ascii"))
    lines = (line.split() for line in said.decode("ascii").splitlines())
    return {parts[0]: int(parts[1]) for parts in lines if len(parts) == 2 and parts[1].isdigit()}


def state(git: Git) -> str:
    """All that answers of git about the past can hang on, as text: every ref, the commit at hand, how much is here.

    Empty where the ids do not stand for what is here: in a clone that holds contents back. Raises GitError.
    """
    if git.partial:
        return ""
    refs = git.run("for-each-ref", "--format=%(objectname) %(refname)").decode("utf-8", "surrogateescape")
    return "\n".join([git.prefix, str(git.shallow), git.head() or "", refs])
