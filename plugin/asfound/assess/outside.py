"""What is known of a case from outside its files: what git tells of it, and whether its signatures verify.

With the bytes of the case, the organisation's own files and the date, it is all an assessment rests on: whoever has
these four can carry it out, on another machine too, and comes to the same result.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass, field
from functools import cache

from pydantic import TypeAdapter

from asfound import seal
from asfound.assess.approvals import read_approvals
from asfound.assess.editions import lying
from asfound.assess.repository import Repository
from asfound.assess.tags import KnownTags
from asfound.assess.used import used_by
from asfound.history import GIT_SAID, Git, GitError, Unknown
from asfound.model.approval import Approval
from asfound.model.case import Case
from asfound.model.past import Past


@dataclass(frozen=True)
class Outside:
    """All of it. `past` is None where git was not asked who changed what."""

    past: Past | None = None
    tags: KnownTags = field(default_factory=KnownTags)
    approvals: tuple[Approval, ...] = ()


@cache
def _adapter() -> TypeAdapter[Outside]:
    return TypeAdapter(Outside)


def outside_bytes(outside: Outside) -> bytes:
    """What is known from outside, as JSON; the same gives the same bytes."""
    return _adapter().dump_json(outside)


def read_outside(data: bytes) -> Outside:
    """The same, read back. Raises ValueError."""
    return _adapter().validate_json(data)


def outside_digest(outside: Outside) -> str:
    """SHA-256 of the JSON."""
    return hashlib.sha256(outside_bytes(outside)).hexdigest()


def look_outside(shared: Repository, case: Case, on: dt.date, asked: bool) -> Outside:
    """Ask git and OpenSSH about a case. `asked` says whether git is asked who changed what. Raises nothing."""
    past = shared.chronicle.past(case.id, case.folder, used_by(case, shared.bench)) if asked else None
    lies = {one.number: one.files for one in lying(shared.root, case.folder or ".")[0]}
    return Outside(past, shared.tags.of_case(case.id, lies), read_approvals(shared, case, on))


def outside_state(shared: Repository) -> str:
    """All that the answers of `look_outside` hang on, beside the bytes of case and organisation and the date.

    The commit at hand leads to every commit and content below it by its id, so the id stands for them all. Empty where
    it does not: in a clone that holds contents back, or where git met an error.
    """
    mark = seal.program_mark()
    tags = shared.tags
    git = tags.git
    if git is None:
        none = Git.open(shared.root)
        return "" if isinstance(none, Git) or GIT_SAID in none.why else f"{none.why}\n{mark}"
    try:
        if git.partial:
            return ""
        parts = [git.prefix, str(git.shallow), tags.head, str(git.replaced()), tags.main]
    except GitError:
        return ""
    parts += [f"{tag.name} {tag.named} {tag.commit}" for tag in tags.tags]
    return "\n".join([*parts, mark])


def settled(outside: Outside, shared: Repository) -> bool:
    """Whether the answers are those of the state, and not of an error that may pass or of a commit that came later."""
    if outside.past is None:
        return True
    log = shared.chronicle.log
    if isinstance(log, Unknown):
        return GIT_SAID not in log.why
    return outside.past.known and (log.head or "") == shared.tags.head
