"""Packs of the base case for tests, and the archives a forger would make of them."""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from collections.abc import Mapping
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any

from asfound.cli.pack import run_pack
from asfound.pack import Verified, alone, verify
from tests.rules.support import CASE, Copy

ON = "2026-03-20"
TOP = "base-draft"


def draft(folder: Path, name: str = "draft.zip", copy: Copy | None = None) -> Path:
    """A pack of the base case as a draft, or of a copy of it that was changed."""
    copy = copy or Copy(folder / "repository")
    out = folder / name
    assert run_pack(str(copy.root / CASE), None, True, str(out), False, ON, str(copy.root)) == 0
    return out


def files_of(pack: Path) -> dict[str, bytes]:
    """Every file of a pack, by its path below the top folder, read by the stock library."""
    with zipfile.ZipFile(pack) as archive:
        return {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}


def archive(place: Path, files: Mapping[str, bytes], top: str = TOP) -> Path:
    """The files as an archive in the layout of packs, whatever they hold: what a careful forger hands over."""
    at, body, directory = 0, b"", b""
    for name, data in sorted(files.items(), key=lambda one: alone.as_bytes(one[0])):
        raw = alone.as_bytes(f"{top}/{name}" if top else name)
        flags = 0 if raw.isascii() else 0x800
        crc = zlib.crc32(data)
        head = alone.local_header(raw, flags, crc, len(data))
        sizes = (crc, len(data), len(data), len(raw), 0, 0, 0, 0)
        directory += alone.CENTRAL.pack(b"PK\1\2", 0x0314, 20, flags, 0, 0, alone.DAY, *sizes, alone.MODE, at) + raw
        body += head + data
        at += len(head) + len(data)
    end = alone.END.pack(b"PK\5\6", 0, 0, len(files), len(files), len(directory), at, 0)
    place.write_bytes(body + directory + end)
    return place


def unpacked(place: Path, files: Mapping[str, bytes]) -> Path:
    """The files as a folder."""
    for name, data in files.items():
        path = place / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return place


def sealed(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files with every count and list of digests made anew: what a forger who knows the format does."""
    out = {name: data for name, data in files.items() if not name.startswith(("manifest", "tagmanifest", "SHA256"))}
    payload = {name: data for name, data in out.items() if name.startswith("data/")}
    info = out["bag-info.txt"].decode().splitlines()
    oxum = f"Payload-Oxum: {sum(map(len, payload.values()))}.{len(payload)}"
    out["bag-info.txt"] = "".join(f"{oxum if one.startswith('Payload') else one}\n" for one in info).encode()
    for kind in alone.HASHES:
        out[f"manifest-{kind}.txt"] = _listed(kind, payload)
    tags = {name: data for name, data in out.items() if name not in payload}
    for kind in alone.HASHES:
        out[f"tagmanifest-{kind}.txt"] = _listed(kind, tags)
    out["SHA256SUMS"] = _listed("sha256", out)
    return out


def _listed(kind: str, files: Mapping[str, bytes]) -> bytes:
    lines = [f"{hashlib.new(kind, files[name]).hexdigest()}  {name}\n" for name in sorted(files, key=alone.as_bytes)]
    return "".join(lines).encode()


def outcomes(found: Verified) -> dict[int, str]:
    """Step → what became of it."""
    return {one.number: one.outcome for one in found.steps}


def failing(place: Path) -> tuple[int, str]:
    """The first step that failed, and what it said; the verifier of one file has to say the very same."""
    found = verify(place)
    step = next(one for one in found.steps if one.outcome == alone.FAILED)
    code, said = bundled(place)
    assert code == 1 and all(one in said for one in step.said), said
    return step.number, "; ".join(step.said)


@cache
def _bundle() -> dict[str, Any]:
    names: dict[str, Any] = {"__name__": "verify", "__file__": "verify.py"}
    exec(compile(alone.verifier(), "verify.py", "exec"), names)
    return names


def bundled(place: Path) -> tuple[int, str]:
    """What the verifier that every pack carries says of a pack: exit code and output. Only its own text is run."""
    out, err = StringIO(), StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = _bundle()["main"]([str(place)], "usage")
    assert err.getvalue() == "", err.getvalue()
    return code, out.getvalue()


def tiny() -> dict[str, bytes]:
    """The files of a draft's pack in as few bytes as agree with each other: one file of the case, a bare dossier."""
    case = b"case: base\n"
    core: dict[str, Any] = {
        "case": {"folder": "cases/base", "head": {"case": "base"}},
        "limits": [], "protocols": [], "problems": [], "approvals": [],
    }  # fmt: skip
    line = f"{hashlib.sha256(case).hexdigest()}  case.yml\n"
    core["digests"] = {
        "case": hashlib.sha256(f"asfound case digest 1\n{line}".encode()).hexdigest(),
        "limits": hashlib.sha256(b'asfound limits digest 1\n{"limits":[],"protocols":[]}').hexdigest(),
    }
    return sealed({
        "README.txt": b"x\n", "bagit.txt": alone.BAGIT, "verify.py": b"#\n", "data/case/case.yml": case,
        "bag-info.txt": b"Asfound-Case: base\nAsfound-Edition: 0\nAsfound-Kind: whole\nAsfound-Pack-Format: 1\n"
        b"Payload-Oxum: 0.0\n",
        "data/dossier.json": json.dumps({"core": core}).encode(), "data/history.json": b"{}\n",
        "data/report.html": b"<p>\n", "data/ro-crate-metadata.json": b"{}\n",
    })  # fmt: skip
