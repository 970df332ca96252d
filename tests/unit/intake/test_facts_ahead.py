"""Facts of large files: the same however many are read at a time, and with a digest that was just taken."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from PIL import Image

from asfound.intake.file_facts import facts_ahead, file_fact


def _picture(place: Path, more: bytes) -> str:
    out = io.BytesIO()
    Image.new("RGB", (32, 24), (90, 20, 20)).save(out, "JPEG")
    place.write_bytes(out.getvalue() + more)
    return hashlib.sha256(place.read_bytes()).hexdigest()


def test_many_at_a_time_are_what_each_is_by_itself(tmp_path: Path) -> None:
    large = {}
    for number in range(7):
        large[f"evidence/{number}.jpg"] = tmp_path / f"{number}.jpg"
        _picture(tmp_path / f"{number}.jpg", bytes([number]) * (1 << 20))
    large["evidence/log.txt"] = tmp_path / "log.txt"
    (tmp_path / "log.txt").write_bytes(b"a\r\nb\n" * 400_000)
    large["evidence/gone.jpg"] = tmp_path / "gone.jpg"
    found = facts_ahead(large, {})
    assert list(found) == list(large)
    assert isinstance(found.pop("evidence/gone.jpg"), OSError)
    assert found == {path: file_fact(large[path], path) for path in found}


@pytest.mark.parametrize("more", [b"", b"x" * (3 << 20)])
def test_a_digest_that_was_just_taken_gives_the_same_facts(tmp_path: Path, more: bytes) -> None:
    place = tmp_path / "one.jpg"
    known = _picture(place, more)
    assert file_fact(place, "evidence/one.jpg", known) == file_fact(place, "evidence/one.jpg")


def test_a_text_is_read_whole_whatever_is_known_of_it(tmp_path: Path) -> None:
    """Its digests with other line ends are not known."""
    place = tmp_path / "log.txt"
    place.write_bytes(b"a\r\nb\r\n")
    known = hashlib.sha256(b"a\r\nb\r\n").hexdigest()
    whole = file_fact(place, "evidence/log.txt", known)
    assert whole == file_fact(place, "evidence/log.txt") and whole.other_line_ends
