"""A pack written and verified, against hashing its files with both algorithms and storing them in a plain ZIP.

One gibibyte of photographs, whose pixels are small and whose bytes are many: each is a real picture followed by random
bytes, which every reader of pictures passes over and no program can shorten. The floor reads each file twice, once for
SHA-256 and SHA-512 and once for the archive, and brings the archive to the disk, as the pack is brought there.

`asfound pack` and `asfound verify` are measured as whole programs, each in a process of its own, which also reads the
case, judges it and makes the report; and so is their memory: the peak of the set, held against that of a few of it.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import sys
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from PIL import Image

from asfound.pack import Contents, Part, alone, verify, write_pack

from .method import Line, in_turn, process, spoken

MEBIBYTE = 1 << 20
COUNT, SIZE, TIMES = 64, 16 * MEBIBYTE, 3
FEW = 4
"""Photographs in the set that the memory of the large one is held against."""
BOUND, MEMORY_BOUND = 1.3, 1.05
ROOT = Path(__file__).resolve().parents[2]
BASE = ROOT / "tests/rules/base"


def photographs(folder: Path, count: int, size: int) -> list[Path]:
    """That many photographs with `size` bytes behind the picture, the same ones in every run."""
    folder.mkdir(parents=True, exist_ok=True)
    made = random.Random(1)
    block = made.randbytes(size)
    found = []
    for number in range(count):
        place = folder / f"set-{number:03}.jpg"
        Image.new("RGB", (64, 48), (number, 90, 120)).save(place, "JPEG")
        with place.open("ab") as file:
            file.write(number.to_bytes(2, "big") + block)
        found.append(place)
    return found


def contents(files: list[Path]) -> Contents:
    """The photographs as the payload of a draft, beside the least that a pack holds."""
    small = ("dossier.json", "history.json", "report.html", "ro-crate-metadata.json")
    parts = [
        Part("data/case/case.yml", b"case: base\n"),
        *(Part(f"data/{name}", b"{}\n") for name in small),
        *(Part(f"data/case/evidence/{place.name}", place) for place in files),
    ]
    return Contents(alone.Info("base", 0, "whole", ""), "2026-03-20", tuple(parts), "A set.\n", "asfound")


def ours(files: list[Path], out: Path) -> None:
    """The pack, written."""
    out.unlink(missing_ok=True)
    write_pack(out, contents(files))


def floor(files: list[Path], out: Path) -> dict[str, tuple[str, str]]:
    """Both digests of every file, and a stored ZIP of them that has reached the disk."""
    found = {}
    for place in files:
        hashes = hashlib.sha256(), hashlib.sha512()
        with place.open("rb") as file:
            while piece := file.read(MEBIBYTE):
                for one in hashes:
                    one.update(piece)
        found[place.name] = (hashes[0].hexdigest(), hashes[1].hexdigest())
    out.unlink(missing_ok=True)
    with out.open("wb") as raw:
        with zipfile.ZipFile(raw, "w", zipfile.ZIP_STORED) as archive:
            for place in files:
                archive.write(place, place.name)
        raw.flush()
        os.fsync(raw.fileno())
    return found


def checked(pack: Path) -> dict[str, tuple[str, str]]:
    """Steps 1 to 4 of a pack; both digests of each photograph."""
    whole = verify(pack)
    if any(one.outcome != alone.PASSED for one in whole.steps[:4]):
        raise ValueError(whole.text())
    with pack.open("rb") as file:
        bag = alone.ZipBag(file)
        lists = [bag.read(name, alone.MOST_TEXT).decode().splitlines() for name in alone.MANIFESTS]
    found: dict[str, tuple[str, str]] = {}
    for one, other in zip(*lists, strict=True):
        name = one.rpartition("/")[2]
        if name.endswith(".jpg"):
            found[name] = (one.partition(" ")[0], other.partition(" ")[0])
    return found


def repository(root: Path, count: int, size: int) -> Path:
    """The base case of the rules with a set of photographs in its evidence, registered."""
    shutil.copytree(BASE, root)
    home = root / "cases/base"
    lines = []
    for number, place in enumerate(photographs(home / "evidence", count, size), 100):
        lines.append(
            f"E-{number}:\n  file: evidence/{place.name}\n  sha256: {_sha256(place)}\n  kind: photograph\n"
            "  shows: The pump.\n  items: [I-1]\n  taken_at: 2026-03-02 11:20 -06:00\n  taken_by: risk-manager\n"
            "  clock: K-2\n  view: overall\n  faces: no\n"
        )
    with (home / "evidence.yml").open("a") as file:
        file.write("".join(lines))
    return root


def _sha256(place: Path) -> str:
    with place.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def peaks(root: Path, out: Path, *chosen: str) -> dict[str, float]:
    """The peak memory of `asfound pack` and `asfound verify` in MiB, each from a fresh process; of the chosen alone."""
    found = {}
    commands = {
        "pack": ["pack", "base", "--draft", "--on", "2026-03-20", "--root", str(root), "--out", str(out)],
        "verify": ["verify", str(out), "--json"],
    }
    if not chosen or "pack" in chosen:
        out.unlink(missing_ok=True)
    for name in chosen or tuple(commands):
        script = (
            "import json, sys\nfrom asfound.cli import main\nfrom tests.bench.readings import peak\n"
            f"sys.argv = ['asfound', *{commands[name]!r}]\n"
            "try:\n    main()\nexcept SystemExit as done:\n    assert not done.code, done.code\n"
            "print(json.dumps({'peak': peak()}), file=sys.stderr)\n"
        )
        found[name] = float(json.loads(_errors(script).splitlines()[-1])["peak"])
    return found


def _errors(script: str) -> str:
    return process([sys.executable, "-c", f"import os\nos.dup2(1, 2)\n{script}"], ROOT)


def measure() -> list[Line]:
    """Whole programs and their floor in turn, the writing and checking within them, and the memory."""
    size = f"{COUNT * SIZE // MEBIBYTE} MiB of photographs"
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        few = peaks(repository(home / "few", FEW, SIZE), home / "few.zip")
        root = repository(home / "many", COUNT, SIZE)
        files = sorted((root / "cases/base/evidence").glob("set-*.jpg"))
        draft, pack, plain = home / "draft.zip", home / "set.zip", home / "plain.zip"
        many: dict[str, float] = {}
        works: list[Callable[[], object]] = [
            lambda: floor(files, plain),
            lambda: ours(files, pack),
            lambda: checked(pack),
            lambda: many.update(peaks(root, draft, "pack")),
            lambda: many.update(peaks(root, draft, "verify")),
        ]
        theirs, *taken = in_turn(works, TIMES, perf_counter)
    what = "both digests and a stored ZIP"
    names = ("the pack alone written", "steps 1 to 4 alone", "asfound pack", "asfound verify, steps 1 to 7")
    return [
        *(
            Line(f"{name}, {size}", what, one / theirs, BOUND, spoken(one), spoken(theirs))
            for name, one in zip(names, taken, strict=True)
        ),
        *(
            Line(
                f"asfound {name}, {size}: peak memory", f"{FEW} of them", many[name] / few[name], MEMORY_BOUND,
                f"{many[name]:.0f} MiB", f"{few[name]:.0f} MiB", "one photograph at a time",
            )
            for name in ("pack", "verify")
        ),
    ]  # fmt: skip
