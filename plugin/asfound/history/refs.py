"""Tags, the main branch, and which files a commit holds."""

from __future__ import annotations

import re

from msgspec import Struct

from asfound.history.git import Git, GitError, Unknown

MAIN_BRANCHES = (
    "refs/remotes/origin/HEAD",
    "refs/remotes/origin/main",
    "refs/remotes/origin/master",
    "refs/heads/main",
    "refs/heads/master",
)
"""Where the main branch may stand, the first that does counts: what others have comes before what is only here."""


class Tag(Struct, frozen=True):
    """A tag.

    name    what it is called here, below `refs/tags/`
    named   what the tag itself says it is called; the same as `name` for a tag without a text of its own
    commit  id of the commit it leads to, empty where it leads to none
    """

    name: str
    named: str
    commit: str


def tags(git: Git, about: str) -> tuple[Tag, ...]:
    """Every tag whose name, here or by its own text, begins with `about`; by name. Raises GitError."""
    said = git.run("for-each-ref", "--format=%(refname)%00%(objecttype)%00%(tag)", "refs/tags/")
    found = []
    for line in said.decode("utf-8", "surrogateescape").splitlines():
        ref, kind, named = line.split("\0")
        name = ref.removeprefix("refs/tags/")
        named = named if kind == "tag" else name
        if name.startswith(about) or named.startswith(about):
            found.append(Tag(name, named, _commit(git, ref) or ""))
    return tuple(found)


def main_branch(git: Git) -> str | None:
    """Id of the commit on which the main branch stands, as far as this clone knows. Raises GitError."""
    return next((found for ref in MAIN_BRANCHES if (found := _commit(git, ref))), None)


def _commit(git: Git, ref: str) -> str | None:
    try:
        said = git.run("rev-parse", "--verify", "--quiet", "--end-of-options", f"{ref}^{{commit}}")
    except GitError as error:
        if error.code in (1, 128):
            return None
        raise
    return said.decode("ascii").strip()


def behind(git: Git, commit: str, head: str) -> bool:
    """Whether `head` is `commit`, or rests on it. Raises GitError."""
    try:
        git.run("merge-base", "--is-ancestor", commit, head)
    except GitError as error:
        if error.code == 1:
            return False
        raise
    return True


def tree(git: Git, commit: str) -> dict[str, str]:
    """Every plain file a commit holds: path from the root of the repository → id of its contents. Raises GitError."""
    said = git.run("ls-tree", "-r", "-z", "--full-tree", commit)
    found = {}
    for entry in said.split(b"\0"):
        head, _, path = entry.partition(b"\t")
        parts = head.split()
        if len(parts) == 3 and parts[0] in (b"100644", b"100755"):
            found[path.decode("utf-8", "surrogateescape")] = parts[2].decode("ascii")
    return found


def resolve(git: Git, name: str) -> str | Unknown:
    """Id of the commit a person names, or why there is none. Raises GitError.

    A branch, a remote branch, a tag, an id or HEAD, each with `~2` or `^` behind it. A name that leads to two different
    commits is refused: git would take the tag, and a tag called like the main branch is easily made.
    """
    parts = re.fullmatch(r"([^~^]*)((?:[~^][0-9]*)*)", name)
    stem, steps = parts.groups() if parts else ("", "")
    if not stem or stem.startswith("-") or not set(stem).isdisjoint("@{}:\\ \t\r\n\0*?["):
        return Unknown(f'"{name}" is no name of a revision; a branch, a tag or the id of a commit is needed')
    if stem == "HEAD" or stem.startswith("refs/"):
        places = [stem]
    else:
        places = [f"{start}{stem}" for start in ("refs/heads/", "refs/remotes/", "refs/tags/")]
        if 7 <= len(stem) <= 64 and set(stem) <= set("0123456789abcdef"):
            places.append(stem)
    found = {place: commit for place in places if (commit := _commit(git, place + steps))}
    if not found:
        return Unknown(f'this clone holds no commit called "{name}"; `git fetch` may bring it')
    if len(set(found.values())) > 1:
        return Unknown(f'"{name}" leads to different commits: {", ".join(found)}; write one of them in full')
    return next(iter(found.values()))


def odd_entries(git: Git, commit: str, below: str) -> tuple[str, ...]:
    """Paths below a folder at which a commit holds links or other repositories. Raises GitError."""
    said = git.run("ls-tree", "-r", "-z", "--full-tree", commit)
    entries = (entry.partition(b"\t") for entry in said.split(b"\0") if entry)
    odd = (path.decode("utf-8", "surrogateescape") for head, _, path in entries if head[:6] in (b"120000", b"160000"))
    return tuple(sorted(path for path in odd if path.startswith(below) or path == below.rstrip("/")))
