"""Setting the tag of an edition once the commit that holds it stands."""

from __future__ import annotations

from pathlib import Path

from asfound import history, intake
from asfound.assess.editions import lying, read_editions
from asfound.assess.repository import open_repository
from asfound.history import GitError
from asfound.model.edition import edition_tag


def tag_newest(root: Path, folder: Path) -> tuple[bool, str]:
    """Set the tag of the newest edition on the last commit: whether it stands now, and a sentence that says so."""
    shared = open_repository(root)
    name = folder.resolve().relative_to(shared.root).as_posix()
    here = lying(shared.root, name)[0]
    if not here:
        return False, f"There is no edition of {name} to set a tag on."
    newest = here[-1]
    read = intake.read_case(shared.root, folder, shared.bench).case
    if read is None:
        return False, f"{name}/case.yml does not say which case it is."
    case = read.id
    lies = {one.number: one.files for one in here}
    fact = read_editions(shared, name, case, shared.tags.of_case(case, lies)).newest
    assert fact is not None
    if fact.record is None or fact.altered:
        why = fact.why or "; ".join(fact.altered)
        return False, f"Edition {newest.number} is not as it was issued, so no tag is set: {why}."
    tag = edition_tag(case, newest.number)
    standing = [one for one in fact.tags if one.ref == tag]
    if standing:
        one = standing[0]
        if one.holds and one.named == tag:
            return True, f"The tag {tag} stands already, on the commit {one.commit[:10]}."
        return False, f"The tag {tag} stands already, and not on a commit that holds this edition. It was left alone."
    git = shared.tags.git
    if git is None or not shared.tags.head:
        return False, "There is no commit to set a tag on."
    head = shared.tags.head
    if not shared.tags.holds(head, newest.number, newest.files):
        return False, f"The last commit does not hold edition {newest.number} as it lies here. Commit it first."
    try:
        history.set_tag(git, tag, head, _message(case, newest.number, fact.digest))
    except GitError as error:
        return False, f"git set no tag. It said: {error}"
    return True, f"The tag {tag} was set on the commit {head[:10]}. Push it: git push origin {tag}"


def _message(case: str, number: int, digest: str) -> str:
    return f"Edition {number} of {case}\n\nSHA-256 of edition.json: {digest}\n"
