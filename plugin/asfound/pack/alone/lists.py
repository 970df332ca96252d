"""What a pack says of itself: its kind, its files, their digests."""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING, NamedTuple

from asfound.pack.alone.archive import (
    DOCUMENT,
    FOLDERS,
    FORMATS,
    HASHES,
    MANIFESTS,
    MOST_TEXT,
    REDACTED,
    SUMS,
    TAG_FILES,
    TAG_MANIFESTS,
    WHOLE,
    Bag,
    Refused,
    as_bytes,
    shown,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

# From here on this is part of the verifier that every pack carries.

# What a pack says of itself


class Info(NamedTuple):
    """bag-info.txt. `edition` is 0 for a draft; `kind` is `whole` or `redacted`; `form` the format of the pack."""

    case: str
    edition: int
    kind: str
    oxum: str
    form: int = FORMATS[-1]

    @property
    def name(self) -> str:
        """The name of the top folder. A redacted pack does not say of which case it is: it is called `redacted`."""
        return f"{self.case}-edition-{self.edition}" if self.edition else f"{self.case}-draft"


def read_info(data: bytes) -> Info:
    """Read bag-info.txt. Raises Refused."""
    try:
        lines = data.decode("utf-8").split("\n")
    except UnicodeDecodeError:
        raise Refused("bag-info.txt is not text in UTF-8") from None
    if lines.pop() != "":
        raise Refused("bag-info.txt does not end with a line end")
    fields: dict[str, str] = {}
    for line in lines:
        label, mark, value = line.partition(": ")
        if not mark or not label or label in fields:
            raise Refused(f"bag-info.txt has a line that is none of a pack: {shown(line)}")
        fields[label] = value
    version = fields.get("Asfound-Pack-Format", "")
    if version not in [str(one) for one in FORMATS]:
        known = ", ".join(str(one) for one in FORMATS)
        raise Refused(f"the pack has the format {shown(version) or '(none)'}, and {known} can be read here")
    edition, kind, case = (fields.get(f"Asfound-{label}", "") for label in ("Edition", "Kind", "Case"))
    if not re.fullmatch("0|[1-9][0-9]{0,5}", edition) or kind not in FOLDERS:
        raise Refused("bag-info.txt does not say which edition this is, or of which kind")
    if not re.fullmatch("[a-z0-9][a-z0-9-]{0,39}", case):
        raise Refused("bag-info.txt does not say which case this is")
    if (kind == "redacted") != (case == "redacted"):
        raise Refused("bag-info.txt calls it redacted in one place and not in another")
    return Info(case, int(edition), kind, fields.get("Payload-Oxum", ""), int(version))


def layout_faults(bag: Bag, info: Info) -> list[str]:
    """What is missing, and what belongs to no pack."""
    here = set(bag.names)
    needed = TAG_FILES | set(WHOLE if info.kind == "whole" else REDACTED)
    if info.kind == "whole":
        needed = needed | {"data/case/case.yml"}
    faults = [f"{name} is missing" for name in sorted(needed - here)]
    for name in bag.names:
        if name in needed or name.startswith(FOLDERS[info.kind]):
            continue
        if name == DOCUMENT and info.form > 1 and info.kind == "whole":
            continue
        faults.append(f"{shown(name)} belongs to no pack")
    for name in bag.names:
        if name.startswith("data/editions/") and not re.fullmatch(
            r"data/editions/[1-9][0-9]{0,5}/(?:dossier|edition)\.json", name
        ):
            faults.append(f"{shown(name)} belongs to no edition")
    return faults


def read_list(bag: Bag, name: str, digits: int) -> dict[str, str]:
    """A manifest: path → digest. Only the form in which packs are written is taken. Raises Refused."""
    try:
        lines = bag.read(name, MOST_TEXT).decode("utf-8").split("\n")
    except UnicodeDecodeError:
        raise Refused(f"{name} is not text in UTF-8") from None
    if lines.pop() != "":
        raise Refused(f"{name} does not end with a line end")
    found: dict[str, str] = {}
    for number, line in enumerate(lines, 1):
        match = re.fullmatch(f"([0-9a-f]{{{digits}}})  (.+)", line)
        if match is None:
            raise Refused(f"line {number} of {name} is not a digest, two spaces and a path")
        if match.group(2) in found:
            raise Refused(f"{name} lists {shown(match.group(2))} twice")
        found[match.group(2)] = match.group(1)
    if list(found) != sorted(found, key=as_bytes):
        raise Refused(f"{name} is not in order")
    return found


def read_lists(bag: Bag) -> dict[str, dict[str, str]]:
    """Every list of digests in the pack, by its name. Raises Refused."""
    return {
        name: read_list(bag, name, 128 if name.endswith("sha512.txt") else 64)
        for name in (*MANIFESTS, *TAG_MANIFESTS, SUMS)
    }


def counts_faults(bag: Bag, info: Info, lists: dict[str, dict[str, str]]) -> Iterator[str]:
    """Step 3: every file is listed in every list it belongs in, once, and nothing else is."""
    payload = {name for name in bag.names if name.startswith("data/")}
    others = set(bag.names) - payload
    oxum = f"{sum(bag.sizes[name] for name in payload)}.{len(payload)}"
    if info.oxum != oxum:
        yield f"the pack states {shown(info.oxum) or 'no'} bytes and files of payload, and has {oxum}"
    wanted = dict.fromkeys(MANIFESTS, payload)
    wanted.update({name: others - set(TAG_MANIFESTS) - {SUMS} for name in TAG_MANIFESTS})
    wanted[SUMS] = set(bag.names) - {SUMS}
    for name, files in wanted.items():
        for one in sorted(set(lists[name]) - files):
            yield f"{name} lists {shown(one)}, which is not there"
        for one in sorted(files - set(lists[name])):
            yield f"{shown(one)} is in the pack, and {name} does not list it"


class Digests:
    """Both digests of every file, and that of the canonical bytes of each file of the case, from one reading."""

    def __init__(self) -> None:
        self.of: dict[str, dict[str, str]] = {}
        self.case: dict[str, str] = {}

    def take(self, bag: Bag, seen: Callable[[str, bytes], None] | None = None) -> Iterator[str]:
        """Read every file once; what could not be read is said. `seen` is handed every piece."""
        for name in bag.names:
            hashes = [hashlib.sha256(), hashlib.sha512()]
            below = name[len("data/case/") :] if name.startswith("data/case/") else ""
            line_ends = LineEnds() if below and not kept_raw(below) else None
            try:
                for piece in bag.pieces(name):
                    for one in hashes:
                        one.update(piece)
                    if line_ends is not None:
                        line_ends.update(piece)
                    if seen is not None:
                        seen(name, piece)
            except (Refused, OSError) as error:
                yield str(error) if isinstance(error, Refused) else f"{shown(name)} cannot be read"
                continue
            self.of[name] = {kind: one.hexdigest() for kind, one in zip(HASHES, hashes)}  # noqa: B905  # strict= is newer than Python 3.8
            if below:
                self.case[below] = line_ends.hexdigest() if line_ends else self.of[name]["sha256"]


class LineEnds:
    """SHA-256 of a text whose CR LF are taken as LF."""

    def __init__(self) -> None:
        self._hash = hashlib.sha256()
        self._held = b""

    def update(self, piece: bytes) -> None:
        piece = self._held + piece
        self._held = b"\r" if piece.endswith(b"\r") else b""
        self._hash.update((piece[:-1] if self._held else piece).replace(b"\r\n", b"\n"))

    def hexdigest(self) -> str:
        self._hash.update(self._held)
        self._held = b""
        return self._hash.hexdigest()


def kept_raw(path: str) -> bool:
    """Whether the bytes of a file of the case count as they are."""
    return path.startswith("evidence/") or not path.lower().endswith((".yml", ".yaml", ".csv"))


def digest_faults(lists: dict[str, dict[str, str]], digests: Digests) -> Iterator[str]:
    """Step 4: every digest that is stated is that of the bytes that are there."""
    for name, listed in lists.items():
        kind = "sha512" if name.endswith("sha512.txt") else "sha256"
        for one, stated in listed.items():
            found = digests.of.get(one, {}).get(kind)
            if found is not None and found != stated:
                yield f"{shown(one)} does not have the digest that {name} states"
