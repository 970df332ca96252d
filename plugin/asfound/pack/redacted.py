"""A redacted edition as a pack: of its own, with lists of its own, and nothing in it that leads back."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping

from msgspec import Struct

from asfound.model.dossier import Core
from asfound.pack import alone
from asfound.pack.crate import METADATA, crate_json
from asfound.pack.redact import FILE, Named, Redacted, redact
from asfound.pack.redact_words import certain
from asfound.pack.redacted_page import page
from asfound.pack.write import Contents, Part, Unpackable

SUFFIX = {"image/jpeg": ".jpg", "image/png": ".png"}
UNCHECKED = (
    "That these are the records of a case: its files, their digests and the approvals are in the pack that was not "
    "redacted.",
    "The verdicts: they can be read here, and computed again only from that pack.",
    "Who examined, who reviewed, and when.",
    "Photographs, beyond those that a person looked at and chose for this edition.",
)


class Shown(Struct, frozen=True):
    """A picture somebody looked at and chose: a re-encoded derivative, without metadata."""

    data: bytes
    media: str


def redacted_contents(
    core: Core, edition: int, year: int, pictures: Mapping[str, Shown], made_with: str, named: Named
) -> Contents:
    """Everything that goes into a redacted pack. Raises Unpackable where something in it would lead back.

    `edition` is 0 for a draft; `year` is the only part of any date that comes out; `named` says whether a text seems to
    name a person.
    """
    shown = redact(core, named)
    data = shown.data | {"edition": edition, "removed": list(shown.removed), "cannot_be_checked": list(UNCHECKED)}
    text = (json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()
    inline = {ref: (one.data, one.media) for ref, one in pictures.items()}
    report = page(shown.data, shown.removed, UNCHECKED, inline)
    parts = [
        Part("data/redacted.json", text, media="application/json", about="What is shown, as data."),
        Part("data/report.html", report, media="text/html", about="The same, for any browser."),
        *(
            Part(f"data/pictures/{ref}{SUFFIX[one.media]}", one.data, media=one.media)
            for ref, one in sorted(pictures.items())
        ),
    ]
    handling = "Redacted. A person has to read it before it is handed on: no program finds everything that leads back."
    crate = crate_json(
        shown.data["title"], "Redacted edition of an incident investigation.", str(year), handling, parts
    )
    parts.append(Part(f"data/{METADATA}", crate, media="application/ld+json"))
    contents = Contents(
        alone.Info("redacted", edition, "redacted", ""), str(year), tuple(parts), _readme(shown), made_with
    )
    leaks = [*_against(core, pictures), *_leaks(core, shown, contents)]
    if leaks:
        raise Unpackable(*leaks)
    return contents


def _against(core: Core, pictures: Mapping[str, Shown]) -> Iterator[str]:
    for ref in pictures:
        faces = core.case.evidence[ref].faces
        if faces is None:
            yield f"whether {ref} shows a face is not declared (`faces` in evidence.yml)"
        elif faces:
            yield f"{ref} shows a face"


def _leaks(core: Core, shown: Redacted, contents: Contents) -> Iterator[str]:
    """What stands in the pack and must not. Looked for once more in the finished bytes, by nothing but comparing."""
    texts = {"README.txt": contents.readme.casefold()}
    digests = {one.sha256 for one in core.case.files.values()}
    for part in contents.parts:
        assert isinstance(part.data, bytes)
        if hashlib.sha256(part.data).hexdigest() in digests:
            yield f"{part.name.removeprefix('data/')} is byte for byte a file of the case, whose digest would lead back"
        texts[part.name] = part.name.casefold() + (
            "" if part.media.startswith("image/") else part.data.decode().casefold()
        )
    for kind, original in shown.originals:
        if kind not in ("date", FILE) and not certain(original):
            continue
        for name, text in texts.items():
            if original.casefold() in text:
                where = name.removeprefix("data/")
                yield f"{where} would still hold a {kind} of the case; see where it stands in the case, and reword that"


def _readme(shown: Redacted) -> str:
    lines = [
        "A redacted edition of an incident investigation.",
        "",
        "WHAT IS HERE",
        "data/report.html    what the case shows, for any browser, without a network",
        "data/redacted.json  the same as data",
        "data/pictures/      pictures that somebody looked at and chose, re-encoded, without metadata, if any",
        "manifest-*.txt, tagmanifest-*.txt, bagit.txt, bag-info.txt   a bag (BagIt 1.0, RFC 8493)",
        "",
        "WHAT WAS TAKEN OUT",
        *(f"- {one}" for one in shown.removed),
        "",
        "WHAT CANNOT BE CHECKED FROM IT",
        *(f"- {one}" for one in UNCHECKED),
        "",
        "HOW TO CHECK THAT IT IS WHOLE",
        "sha256sum -c SHA256SUMS, or python3 verify.py. That shows that it is as it was made, not who made it.",
        "",
        "A person has to read it before it is handed on: no program finds everything that leads back.",
        "A pass of a test says that this reading met this limit; it does not clear a device.",
    ]
    return "\n".join(lines) + "\n"
