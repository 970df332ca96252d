"""A picture that says where on the earth it was taken is known to say so, and does not go to the public with it.

Looked for are coordinates in the metadata of JPEG, TIFF, PNG and WebP files (Exif and XMP). The copies on the site
never have them; the original in the case still does, and must: evidence is not edited. So this warns, and refuses only
a case that is public or released to the parties.

Fails: a photograph with coordinates in it.
Passes: a photograph that holds only a time; an original with coordinates that is kept elsewhere by its digest.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.model.event import Confidentiality
from asfound.model.facts import Facts
from asfound.problems import Entry, Family, Level, Problem

ENTRY = Entry(
    name="gps-in-picture",
    family=Family.INTEGRITY,
    level=Level.REJECT,
    title="No picture that leaves the organisation says where on the earth it was taken.",
    reason="Coordinates name the hospital, and with the day of the event they can name the patient.",
    source="45 CFR 164.514(b)(2)(i)(B) (places smaller than a state)",
    status="confirmed",
    mend="Keep the untouched original elsewhere, by its digest (kept_elsewhere), or keep the case inside.",
    rows=("R100",),
)

_LEAVES = frozenset({Confidentiality.PUBLIC, Confidentiality.RELEASED})


def check(facts: Facts) -> Iterator[Problem]:
    """One problem a picture; a warning while the case stays inside."""
    level = None if facts.case.head.confidentiality in _LEAVES else Level.WARN
    registered = {evidence.file: ref for ref, evidence in facts.case.evidence.items() if evidence.file is not None}
    for path, fact in sorted(facts.case.files.items()):
        if fact.camera is None or not fact.camera.position:
            continue
        ref = registered.get(path)
        where = (ref, "file") if ref is not None else (path,)
        yield facts.problem(
            ENTRY,
            where[0],
            *where[1:],
            found=f"{path.rpartition('/')[2]} holds the place where it was taken (the site's copy does not)",
            needed="a decision whether it may lie in this repository is needed",
            level=level,
        )
