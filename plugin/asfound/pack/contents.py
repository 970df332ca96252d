"""What goes into a pack, and what is said of it in README.txt."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from msgspec import Struct

from asfound import intake
from asfound.model.dossier import Dossier, dossier_json
from asfound.model.edition import (
    DOSSIER_FILE,
    EDITION_FILE,
    EDITION_FILES,
    FOLDER,
    PRESERVATION,
    EditionRecord,
    edition_number,
    read_edition,
)
from asfound.model.layout import BENCH
from asfound.model.past import Past
from asfound.pack import alone
from asfound.pack.crate import METADATA, crate_json
from asfound.pack.past import history_json
from asfound.pack.write import Contents, Part, Unpackable

APPROVALS = "approvals"
BENCH_FILES = ("allowed_signers", "instruments.yml", "settings.yml")
BENCH_FOLDERS = ("limits", "protocols", "words")
OPINION_FILES = ("conclusion.yml", "explanations.yml", "findings.yml")

_MEDIA = {".json": "application/json", ".yml": "application/yaml", ".csv": "text/csv", ".html": "text/html"}


class Packing(Struct, frozen=True):
    """What a pack is made of.

    root      the root of the repository, or of the state of it that is packed
    home      the case folder in it
    dossier   what the pack is about; for an edition the frozen one
    text      the dossier as JSON; for an edition the bytes that were issued
    edition   the edition, None for a draft
    past      the history of the case
    report    the report as one HTML file
    drafts    whether earlier drafts of opinion are disclosed
    pdf       the report as one PDF; None where it could not be set
    set_by    what set it and in which version; or why nothing did, a clause
    """

    root: Path
    home: Path
    dossier: Dossier
    text: bytes
    edition: EditionRecord | None
    past: Past
    report: bytes
    drafts: bool = False
    pdf: bytes | None = None
    set_by: str = ""

    @property
    def info(self) -> alone.Info:
        """Which pack it is."""
        return alone.Info(self.dossier.id, self.edition.number if self.edition else 0, "whole", "")

    @property
    def on(self) -> str:
        """The date of the pack."""
        return (self.edition.issued_on if self.edition else self.dossier.core.on).isoformat()


def dossier_bytes(dossier: Dossier) -> bytes:
    """A draft's dossier as JSON, without the history: that is told apart, since it may hold drafts of opinion."""
    return dossier_json(replace(dossier, history=Past(why="the history stands in history.json"))).encode()


def contents_of(packing: Packing) -> Contents:
    """Everything that goes into a pack. Raises Unpackable with every reason why none can be made."""
    reasons = list(_against(packing))
    if reasons:
        raise Unpackable(*reasons)
    number = packing.edition.number if packing.edition else 0
    past, left = history_json(packing.past, number, packing.drafts)
    parts = [
        *_case(packing),
        *_bench(packing.root),
        *_apart(packing, number),
        Part("data/dossier.json", packing.text, media=_MEDIA[".json"], about="What was read and computed, frozen."),
        Part("data/history.json", past, media=_MEDIA[".json"], about="Which commit changed which fact."),
        Part("data/report.html", packing.report, media=_MEDIA[".html"], about="The report, for any browser."),
    ]
    if packing.pdf is not None:
        parts.append(Part(alone.DOCUMENT, packing.pdf, media="application/pdf", about="The report, to be printed."))
    head = packing.dossier.core.case.head
    handling = f"Confidentiality as stated in the case: {head.confidentiality or 'not stated'}."
    about = f"{_what(packing)} of the incident investigation {packing.dossier.id}: files of the case, dossier, report."
    crate = crate_json(head.title, about, packing.on, handling, parts)
    parts.append(Part(f"data/{METADATA}", crate, media="application/ld+json"))
    made_with = f"asfound {packing.dossier.made_with.asfound}"
    return Contents(packing.info, packing.on, tuple(parts), _readme(packing, left), made_with)


def _against(packing: Packing) -> Iterator[str]:
    case = packing.dossier.core.case
    if packing.edition is not None and packing.edition.kind == PRESERVATION and not packing.drafts:
        held = [name for name in OPINION_FILES if name in case.files]
        if held:
            yield (
                f"edition {packing.edition.number} is a preservation edition, without opinion, and the case holds "
                f"{', '.join(held)}, without which its digest cannot be checked; --with-drafts discloses them"
            )
    # What a percent sign stands for in a manifest is told in two ways by programs that read bags.
    named = [path for path in case.files if "%" in path]
    if named:
        yield f"{named[0]} has a percent sign in its name, which lists of digests spell in two ways; rename it"


def _case(packing: Packing) -> Iterator[Part]:
    home = packing.home
    kept = {one.file: one.shows for one in packing.dossier.core.case.evidence.values() if one.file}
    for path, fact in sorted(packing.dossier.core.case.files.items()):
        place = home.joinpath(*path.split("/"))
        if not place.is_file() or place.is_symlink():
            raise Unpackable(f"{path} is not there any more")
        yield Part(f"data/case/{path}", place, fact.sha256, fact.media or _media(path), kept.get(path, ""))


def _bench(root: Path) -> Iterator[Part]:
    """The organisation's files that have a say in a case. `roles.yml` is not among them: it names people."""
    if not os.path.lexists(root / BENCH):
        return
    walked = intake.walk_case(root, root / BENCH)
    for path in walked.paths:
        folder = path.rpartition("/")[0]
        if path in BENCH_FILES or (folder in BENCH_FOLDERS and path.endswith((".yml", ".yaml"))):
            yield _whole(root, walked.at(path), f"data/asfound/{path}")


def _apart(packing: Packing, number: int) -> Iterator[Part]:
    """Editions and approvals as they lie there: of an edition those up to it, and the approvals they rest on."""
    rests: set[str] = set()
    for folder in (FOLDER, APPROVALS):
        if not os.path.lexists(packing.home / folder):
            continue
        walked = intake.walk_case(packing.root, packing.home / folder)
        for path in walked.paths:
            if folder == FOLDER and not _of_edition(path, number):
                continue
            if folder == APPROVALS and number and f"{folder}/{path.removesuffix('.sig')}" not in rests:
                continue
            part = _whole(packing.root, walked.at(path), f"data/{folder}/{path}")
            if folder == FOLDER and path.endswith(EDITION_FILE):
                rests |= _rests(part)
            yield part


def _rests(part: Part) -> set[str]:
    """The approvals an edition rests on. Raises Unpackable for an edition that cannot be read."""
    assert isinstance(part.data, bytes)
    try:
        return {one.path for one in read_edition(part.data.decode()).approvals}
    except ValueError as error:
        raise Unpackable(f"{part.name.removeprefix('data/')}: {error}") from None


def _of_edition(path: str, most: int) -> bool:
    name, _, file = path.partition("/")
    found = edition_number(name)
    return found is not None and (not most or found <= most) and file in EDITION_FILES


def _whole(root: Path, path: str, name: str) -> Part:
    data = intake.read_bytes(root, path, alone.MOST_JSON if name.endswith(DOSSIER_FILE) else None).data
    if data is None:
        raise Unpackable(f"{path} cannot be read")
    return Part(name, data, media=_media(name))


def _media(path: str) -> str:
    return _MEDIA.get(os.path.splitext(path)[1].lower(), "")  # noqa: PTH122  # a name in an archive


def _what(packing: Packing) -> str:
    if packing.edition is None:
        return "Draft"
    kind = "Preservation edition" if packing.edition.kind == PRESERVATION else "Edition"
    return f"{kind} {packing.edition.number}"


def _readme(packing: Packing, left: Iterable[str]) -> str:
    core = packing.dossier.core
    edition = packing.edition
    lines = [
        f"{core.case.head.title}",
        f"{_what(packing)} of case {core.case.id}, "
        + (f"issued on {packing.on}." if edition else f"as it stood when assessed for {packing.on}. Nobody issued it."),
        "",
        "WHAT IS HERE",
        "data/report.html      the report; open it in any browser, without a network",
        *([f"data/report.pdf       the report to be printed (set by {packing.set_by})"] if packing.pdf else []),
        "data/case/            the files of the case, byte for byte",
        "data/asfound/         instruments, limits and settings of the organisation, as they were used",
        "data/dossier.json     everything that was read and computed",
        "data/history.json     which commit changed which fact, where that is known"
        + ("; earlier drafts of opinion too" if packing.drafts else ""),
        "data/editions/        every edition so far, each holding the digest of the one before",
        "data/approvals/       what was signed, and the signatures (OpenSSH)",
        "data/ro-crate-metadata.json   what each file is (RO-Crate 1.2)",
        "manifest-*.txt, tagmanifest-*.txt, bagit.txt, bag-info.txt   a bag (BagIt 1.0, RFC 8493)",
        "",
        "HOW TO CHECK IT",
        "sha256sum -c SHA256SUMS          every file is as it was packed",
        "python3 verify.py                the same, and that files, dossier and editions belong together",
        "asfound verify PACK --signers FILE --repo DIR",
        "                                 the verdicts computed again, the signatures, and the tag",
        "",
        "WHAT THAT SHOWS, AND WHAT NOT",
        "The first two show that the pack is whole, not who made it: whoever can write a pack can write another that",
        "passes as much. Signatures show it, held against a list of keys that did not come with the pack; so does the",
        "tag in the repository, or a digest noted elsewhere. data/asfound/allowed_signers is what the maker of the",
        "pack had; never check signatures against it. verify.py could have been altered with the rest: use a copy that",
        "came another way, or read it first. A signature carries no time that anybody vouches for.",
        "A pass of a test says that this reading met this limit; it does not clear a device.",
        "",
        "WHAT WAS LEFT OUT",
    ]
    out = [*left]
    if packing.past.known:
        out.append("Names and addresses of people: authors of commits are told apart by labels.")
    else:
        out.append(f"The history: {packing.past.why}")
    elsewhere = [ref for ref, one in core.case.evidence.items() if one.file is None]
    if elsewhere:
        out.append(f"Evidence that is kept elsewhere and was never a file of the case: {', '.join(elsewhere)}.")
    if packing.pdf is None:
        out.append(f"The report as PDF: {packing.set_by or 'none was set'}.")
    out.append("roles.yml of the organisation, which names people.")
    lines += [f"- {one}" for one in out]
    return "\n".join(lines) + "\n"
