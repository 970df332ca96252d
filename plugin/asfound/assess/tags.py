"""What git tells of editions: tags, the main branch, and the files that commits hold. Asked once for all cases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from msgspec import Struct

from asfound import history
from asfound.history import Git, GitError, Tag
from asfound.model.edition import EDITION_FILE, EDITION_FILES, FOLDER, EditionTag, edition_number

Trees = dict[str, dict[str, str]]


@dataclass(frozen=True)
class KnownTags:
    """What git tells of the editions of one case; answers as a book of tags does, for the files that lie there.

    known       whether a tag that is not here can be said to be missing
    on_main     by number of an edition that lies there: whether the main branch holds it; None where that is not known
    of_edition  by the same number: the tags that bear its name
    named       number of an edition → name of the tag that names it, whether or not it lies there
    """

    known: bool = False
    on_main: Mapping[int, bool | None] = field(default_factory=dict)
    of_edition: Mapping[int, tuple[EditionTag, ...]] = field(default_factory=dict)
    named: Mapping[int, str] = field(default_factory=dict)


class TagBook(Struct, frozen=True, dict=True):
    """Tags of a repository. `known` is false where there is no git, or a clone without the whole history."""

    git: Git | None = None
    tags: tuple[Tag, ...] = ()
    main: str = ""
    head: str = ""

    @property
    def known(self) -> bool:
        """Whether a tag that is not here can be said to be missing."""
        return self.git is not None and not self.git.shallow

    @cached_property
    def _trees(self) -> Trees:
        return {}

    def _tree(self, commit: str) -> dict[str, str]:
        assert self.git is not None
        if commit not in self._trees:
            try:
                self._trees[commit] = history.tree(self.git, commit)
            except GitError:
                self._trees[commit] = {}
        return self._trees[commit]

    def holds(self, commit: str, number: int, files: dict[str, bytes]) -> bool:
        """Whether a commit holds exactly these files as edition `number` of some case folder, wherever that lay."""
        if not commit or files.keys() != set(EDITION_FILES):
            return False
        held = self._tree(commit)
        wanted = {name: history.content_id(data, commit) for name, data in files.items()}
        tail = f"{FOLDER}/{number}/{EDITION_FILE}"
        for path, ident in held.items():
            if ident != wanted[EDITION_FILE] or not (path == tail or path.endswith(f"/{tail}")):
                continue
            folder = path.removesuffix(EDITION_FILE)
            beside = {name.removeprefix(folder): one for name, one in held.items() if name.startswith(folder)}
            if beside == wanted:
                return True
        return False

    def merged(self, number: int, files: dict[str, bytes]) -> bool | None:
        """Whether the main branch holds an edition; None where it cannot be told."""
        return self.holds(self.main, number, files) if self.known and self.main else None

    def of(self, case: str, number: int, files: dict[str, bytes]) -> tuple[EditionTag, ...]:
        """The tags that bear an edition's name, or say of themselves that they do."""
        name = f"edition/{case}/{number}"
        return tuple(
            EditionTag(tag.name, tag.named, tag.commit, self.holds(tag.commit, number, files))
            for tag in self.tags
            if name in (tag.name, tag.named)
        )

    def _behind(self, commit: str) -> bool:
        if self.git is None or not commit or not self.head:
            return False
        try:
            return history.behind(self.git, commit, self.head)
        except GitError:
            return False

    def numbers(self, case: str) -> dict[int, str]:
        """Numbers of the editions of a case that a tag names, and the tag's name.

        Only tags on what the commit at hand rests on: a branch that began before an edition does not miss it.
        """
        found: dict[int, str] = {}
        for tag in self.tags:
            for name in (tag.named, tag.name):
                head, _, tail = name.rpartition("/")
                number = edition_number(tail)
                if head == f"edition/{case}" and number is not None and self._behind(tag.commit):
                    found.setdefault(number, tag.name)
        return found

    def of_case(self, case: str, lying: Mapping[int, dict[str, bytes]]) -> KnownTags:
        """All that is told of the editions of one case; `lying` are the files of those that lie there, by number."""
        return KnownTags(
            self.known,
            {number: self.merged(number, files) for number, files in lying.items()},
            {number: self.of(case, number, files) for number, files in lying.items()},
            dict(sorted(self.numbers(case).items())),
        )


def read_tags(root: Path) -> TagBook:
    """The tags around `root`. Raises nothing: where git cannot be asked, nothing is known."""
    git = Git.open(root)
    if not isinstance(git, Git):
        return TagBook()
    try:
        tips = history.tips(git, "edition/")
        return TagBook(git, tips.tags, tips.main or "", tips.head or "")
    except GitError:
        return TagBook()
