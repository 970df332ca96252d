"""Tags, the main branch, and which files a commit holds."""

from __future__ import annotations

import re
from collections.abc import Iterable

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

_ID = re.compile("[0-9a-f]{40}|[0-9a-f]{64}")


class Tag(Struct, frozen=True):
    """A tag.

    name    what it is called here, below `refs/tags/`
    named   what the tag itself says it is called; the same as `name` for a tag without a text of its own
    commit  id of the commit it leads to, empty where it leads to none
    """

    name: str
    named: str
    commit: str


class Tips(Struct, frozen=True):
    """Where the refs of a repository lead.

    tags  those asked for, by name
    main  id of the commit on which the main branch stands, as far as this clone knows; else None
    head  id of the commit that stands here; None where nothing is committed yet
    """

    tags: tuple[Tag, ...]
    main: str | None
    head: str | None


def tips(git: Git, about: str) -> Tips:
    """The main branch, the commit at hand, and every tag whose name, here or by its own text, begins with `about`.

    Raises GitError.
    """
    said = git.run("for-each-ref", "--format=%(refname)%00%(objecttype)%00%(tag)", "refs/tags/")
    found = []
    # By the line ends git writes alone: a name may hold what else ends a line in Unicode.
    for line in said.decode("utf-8", "surrogateescape").split("\n")[:-1]:
        ref, kind, named = line.split("\0")
        name = ref.removeprefix("refs/tags/")
        named = named if kind == "tag" else name
        if name.startswith(about) or named.startswith(about):
            found.append((ref, name, named))
    commits = _commits(git, ("HEAD", *MAIN_BRANCHES, *(ref for ref, _, _ in found)))
    return Tips(
        tuple(Tag(name, named, commits.get(ref, "")) for ref, name, named in found),
        next((commits[ref] for ref in MAIN_BRANCHES if ref in commits), None),
        # Where it leads nowhere, git says whether that is a repository without commits or a damaged one.
        commits.get("HEAD") or git.head(),
    )


def _commits(git: Git, names: Iterable[str]) -> dict[str, str]:
    """The ids of the commits that names lead to; a name that leads to none is left out. Raises GitError.

    One process answers for all of them: each is 2 ms, and a check began ten.
    """
    names = tuple(names)
    asked = "".join(f"{name}^{{commit}}\n" for name in names)
    try:
        said = git.run("cat-file", "--batch-check=%(objectname)", data=asked.encode("utf-8", "surrogateescape"))
    except GitError as error:
        if error.code != 128:
            raise
        # An object that is damaged ends git where it is met, and hides what was asked behind it.
        return {} if len(names) < 2 else {name: one for each in names for name, one in _commits(git, (each,)).items()}
    lines = said.decode("utf-8", "surrogateescape").split("\n")[:-1]
    return {name: line for name, line in zip(names, lines, strict=True) if _ID.fullmatch(line)}


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
    commits = _commits(git, [place + steps for place in places])
    found = {place: commit for place in places if (commit := commits.get(place + steps))}
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
