"""Packaged records kept beside their reader: taken for the very files, modules and versions, and for nothing else."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import pydantic
import pytest

from asfound.limits import kept
from asfound.limits import packaged as read_packaged

packaged = sys.modules["asfound.limits.packaged"]


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the records will lie, in a Python that keeps what it compiles."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    return Path(kept.beside._place(kept.READER, "records"))


def anew() -> packaged.Packaged:
    return read_packaged.__wrapped__()


def test_what_was_kept_is_what_would_be_read(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = anew()
    assert place.is_file()
    monkeypatch.setattr(packaged, "_read", lambda _: pytest.fail("read again"))
    second = anew()
    assert second == first
    for name in ("sets", "protocols", "cautions", "reporting", "words", "starters"):
        one, other = getattr(first, name), getattr(second, name)
        assert list(one) == list(other)
        for key, record in one.items():
            assert record.model_dump_json() == other[key].model_dump_json()
            assert record.model_fields_set == other[key].model_fields_set
    with pytest.raises(pydantic.ValidationError, match="frozen"):
        next(iter(second.sets.values())).title = "other"


def test_a_file_that_changed_is_read(place: Path) -> None:
    files = anew().files
    assert kept.take(files) is not None
    path, data = files[7]
    assert kept.take((*files[:7], (path, data + b"\n"), *files[8:])) is None
    assert kept.take((*files[:7], (f"{path}x", data), *files[8:])) is None
    assert kept.take(files[:-1]) is None


def test_a_module_that_says_what_a_record_is_counts(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = anew().files
    makers = dict(kept._makers())
    assert {"limits.py", "reporting.py", "starters.py", "words.py", "base.py", "number.py", "packaged.py"} <= set(
        makers
    )
    changed = tuple((makers | {"base.py": makers["base.py"] + b"#"}).items())
    monkeypatch.setattr(kept, "_makers", lambda: changed)
    assert kept.take(files) is None


@pytest.mark.parametrize(
    "library", ["pydantic.VERSION", "pydantic_core.__version__", "msgspec.__version__", "yaml.__version__"]
)
def test_another_version_of_what_reads_counts(place: Path, monkeypatch: pytest.MonkeyPatch, library: str) -> None:
    files = anew().files
    monkeypatch.setattr(f"asfound.limits.kept.{library}", "0")
    assert kept.take(files) is None


@pytest.mark.parametrize("length", [0, 1, 31, 32, 33, 10_000, -1])
def test_a_file_cut_short_is_read_anew(place: Path, length: int) -> None:
    first = anew()
    whole = place.read_bytes()
    place.write_bytes(whole[:length])
    assert anew() == first
    assert place.read_bytes() == whole


def test_a_damaged_byte_anywhere_is_seen(place: Path) -> None:
    files = anew().files
    whole = place.read_bytes()
    chosen = random.Random(7)
    for _ in range(40):
        at = chosen.randrange(len(whole))
        place.write_bytes(whole[:at] + bytes([whole[at] ^ 1 << chosen.randrange(8)]) + whole[at + 1 :])
        assert kept.take(files) is None


def test_the_program_begun_twice_reads_once(tmp_path: Path) -> None:
    asked = (
        "import hashlib, yaml\n"
        "from asfound.limits import packaged\n"
        "composed = []\n"
        "compose = yaml.compose\n"
        "yaml.compose = lambda *given: composed.append(1) or compose(*given)\n"
        "held = packaged()\n"
        "text = ''.join(held.sets[name].model_dump_json() for name in held.sets)\n"
        "print(len(composed), len(held.files), hashlib.sha256(text.encode()).hexdigest())\n"
    )
    outside = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    outside["PYTHONPYCACHEPREFIX"] = str(tmp_path)
    said = [
        subprocess.run(
            [sys.executable, "-c", asked], env=outside, capture_output=True, text=True, check=True
        ).stdout.split()
        for _ in range(2)
    ]
    (first, files, digest), second = said
    assert first == files
    assert second == ["0", files, digest]
