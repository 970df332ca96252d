"""What is kept beside the program: where Python keeps its own, only where it writes, whole or not at all."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from asfound import beside


@pytest.fixture
def source(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file of a program, in a Python that keeps what it compiles."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    place = tmp_path / "program" / "one.html"
    place.parent.mkdir()
    place.write_text("text")
    return place


def found(below: Path) -> list[Path]:
    return sorted(one for one in below.rglob("*") if one.is_file() and one.name != "one.html")


def test_it_lies_where_python_keeps_its_own_and_bears_its_version(source: Path) -> None:
    beside.keep(source, "word", b"made")
    # PEP 3147 and PEP 488 name the folder, the tag of the interpreter and what comes behind it.
    tag = sys.implementation.cache_tag
    assert found(source.parent) == [source.parent / "__pycache__" / f"one.html.{tag}.opt-word.pyc"]
    assert beside.take(source, "word") == b"made"
    assert beside.take(source, "other") is None


def test_a_prefix_for_compiled_files_is_kept_to(source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / "prefix"))
    beside.keep(source, "word", b"made")
    assert found(source.parent) == []
    assert len(found(tmp_path / "prefix")) == 1
    assert beside.take(source, "word") == b"made"


def test_who_may_read_the_source_may_read_what_was_made_of_it(source: Path) -> None:
    source.chmod(0o644)
    beside.keep(source, "word", b"made")
    assert found(source.parent)[0].stat().st_mode & 0o777 == 0o644


@pytest.mark.parametrize("fails", ["write_bytes", "chmod", "replace"])
def test_what_cannot_be_kept_whole_leaves_nothing(source: Path, monkeypatch: pytest.MonkeyPatch, fails: str) -> None:
    beside.keep(source, "word", b"before")

    def refuse(*_: object) -> None:
        raise OSError("no space")

    monkeypatch.setattr(Path, fails, refuse)
    beside.keep(source, "word", b"after")
    assert [one.read_bytes() for one in found(source.parent)] == [b"before"]


def test_nothing_is_written_where_python_writes_nothing(source: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    beside.keep(source, "word", b"made")
    assert found(source.parent) == []


@pytest.mark.skipif(os.name != "posix", reason="a file in the place of a folder is tried where folders are files too")
def test_a_place_that_is_no_folder_is_no_fault(source: Path) -> None:
    (source.parent / "__pycache__").write_text("in the way")
    beside.keep(source, "word", b"made")
    assert beside.take(source, "word") is None


def test_a_python_that_names_no_place_is_no_fault(source: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.implementation, "cache_tag", None)
    beside.keep(source, "word", b"made")
    assert beside.take(source, "word") is None
