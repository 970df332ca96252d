"""git, called as plumbing: nothing a repository holds can run anything, ask anybody, or bend what is told.

A repository may come from anybody, with its configuration. So every call names the keys that could start a program or
change an answer, the environment is cleaned of `GIT_*` (inside a hook it would speak of another repository), objects
put in the place of others and grafted parents are set aside, nothing is fetched, and paths come parted by NUL.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

from msgspec import Struct, field

SECONDS = 20.0
"""How long a short call may take."""
LONG_SECONDS = 600.0
"""How long a pass over a whole history may take."""

GIT_SAID = "It said: "
"""Stands before git's own words, where it met an error that may have passed when it is asked again."""

_CONFIG = (
    "core.fsmonitor=false",
    f"core.hooksPath={os.devnull}",
    f"core.attributesFile={os.devnull}",
    "core.pager=cat",
    # A cache of parents and times that a forged file could fill with others.
    "core.commitGraph=false",
    "core.useReplaceRefs=false",
    "log.mailmap=false",
    "log.showSignature=false",
    "log.follow=false",
    "diff.renames=false",
    f"diff.orderFile={os.devnull}",
    "protocol.allow=never",
    "gc.auto=0",
    "maintenance.auto=false",
    # Nothing below can run what the repository brings, so its owner need not be the one who reads it.
    "safe.directory=*",
    "safe.bareRepository=explicit",
)


class Unknown(Struct, frozen=True):
    """That the history cannot be told, and why.

    why   one sentence or two, for people
    """

    why: str


class GitError(Exception):
    """git ended with an error. The text is git's own words."""

    def __init__(self, words: str, code: int) -> None:
        super().__init__(words)
        self.code = code


def environment(outside: Mapping[str, str] | None = None) -> dict[str, str]:
    """The environment git is called in: that of this process without what would lead git elsewhere."""
    kept = {name: value for name, value in (outside or os.environ).items() if not name.upper().startswith("GIT_")}
    kept.pop("LANGUAGE", None)
    kept.update(
        LC_ALL="C",
        GIT_CONFIG_NOSYSTEM="1",
        GIT_CONFIG_SYSTEM=os.devnull,
        GIT_CONFIG_GLOBAL=os.devnull,
        GIT_ATTR_NOSYSTEM="1",
        GIT_NO_REPLACE_OBJECTS="1",
        GIT_GRAFT_FILE=os.devnull,
        GIT_OPTIONAL_LOCKS="0",
        GIT_TERMINAL_PROMPT="0",
        GIT_NO_LAZY_FETCH="1",
        # No protocol is called "none": a clone that holds objects back cannot be made to ask for them.
        GIT_ALLOW_PROTOCOL="none",
        GIT_FLUSH="0",
    )
    return kept


def program(root: Path) -> str | None:
    """Where git is, by its whole path; None where there is none. One that lies in the repository itself is none."""
    found = shutil.which("git")
    if found is None:
        return None
    place = Path(found).resolve()
    return None if place.is_relative_to(root.resolve()) else str(place)


class Git(Struct, frozen=True, dict=True):
    """git in one repository.

    top     the folder git takes for the root
    prefix  path from there to the root of the cases, with a `/` at its end, or empty
    index   the index that is asked, where it is not the usual one
    """

    executable: str
    root: Path
    top: Path = field(default_factory=Path)
    prefix: str = ""
    shallow: bool = False
    index: str = ""

    @staticmethod
    def open(root: Path) -> Git | Unknown:
        """git at `root`, or why there is none. Raises nothing."""
        root = root.resolve()
        executable = program(root)
        if executable is None:
            return Unknown("git was not found on this machine, so the history of the records cannot be read.")
        bare = Git(executable, root)
        try:
            place, shallow, prefix = _three(
                bare.run("rev-parse", "--show-toplevel", "--is-shallow-repository", "--show-prefix")
            )
        except GitError as error:
            if "not a git repository" in str(error):
                return Unknown("The cases do not lie in a git repository, so no history of the records is kept.")
            return Unknown(f"git could not open the repository. {GIT_SAID}{error}")
        top = Path(os.fsdecode(place))
        if not root.is_relative_to(top) or (top / os.fsdecode(prefix)).resolve() != root:
            return Unknown("The repository's configuration places its files elsewhere (core.worktree).")
        return Git(executable, root, top, prefix.decode("utf-8", "surrogateescape"), shallow == b"true")

    def command(self, *arguments: str) -> list[str]:
        """The whole command line of a call."""
        config = [part for one in _CONFIG for part in ("-c", one)]
        return [self.executable, "--no-pager", *config, "-C", str(self.root), *arguments]

    def run(self, *arguments: str, data: bytes = b"", seconds: float = SECONDS) -> bytes:
        """What a call writes. Raises GitError with git's own words where it fails or takes too long."""
        try:
            done = subprocess.run(
                self.command(*arguments),
                input=data,
                capture_output=True,
                env={**environment(), **({"GIT_INDEX_FILE": self.index} if self.index else {})},
                timeout=seconds,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise GitError(f"git {arguments[0]} was stopped after {seconds:g} seconds", -1) from None
        except OSError as error:
            raise GitError(f"git could not be started: {error.strerror}", -1) from error
        if done.returncode:
            raise GitError(words(done.stderr) or f"git {arguments[0]} ended with {done.returncode}", done.returncode)
        return done.stdout

    def head(self) -> str | None:
        """The id of the commit that stands here; None where nothing is committed yet."""
        try:
            said = self.run("rev-parse", "--verify", "--quiet", "--end-of-options", "HEAD^{commit}")
        except GitError as error:
            if error.code == 1:
                return None
            raise
        return said.decode("ascii").strip()

    def replaced(self) -> int:
        """How many objects this clone would show in the place of others; they are set aside here."""
        return len(self.run("for-each-ref", "--format=%(refname)", "refs/replace/").splitlines())

    @cached_property
    def partial(self) -> bool:
        """Whether this clone holds contents back until they are asked for. Raises GitError."""
        try:
            said = self.run("config", "--local", "--get-regexp", r"^(remote\..*\.promisor|extensions\.partialclone)$")
        except GitError as error:
            if error.code == 1:
                return False
            raise
        return bool(said)


def words(said: bytes) -> str:
    """git's own words, as one line."""
    text = said.decode("utf-8", "replace")
    lines = [line.strip() for line in text.splitlines() if line.strip() and not line.startswith("hint:")]
    return "; ".join(lines)


def _three(said: bytes) -> tuple[bytes, bytes, bytes]:
    # A folder's name may hold line ends, so the answer between the two folders parts them.
    body = said[:-1] if said.endswith(b"\n") else said
    for answer in (b"\ntrue\n", b"\nfalse\n"):
        place, found, prefix = body.partition(answer)
        if found:
            return place, answer.strip(), prefix
    raise GitError(f"git answered {words(said)!r} when asked where the repository lies", 0)


def shallow_words() -> str:
    """What is said of a clone that is cut short."""
    return (
        "This clone holds only the newest part of the history, so which commit brought or changed a record cannot be "
        "known here. `git fetch --unshallow` brings the rest; in a workflow, the line `fetch-depth: 0` below the step "
        "that checks out."
    )
