"""Templates compiled once: taken for the very text they were made of, and written only where Python writes."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment

from asfound.pages import compiled
from asfound.pages.compiled import Beside


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of templates of our own, in a Python that keeps what it compiles."""
    place = tmp_path / "templates"
    place.mkdir()
    (tmp_path / "render.py").write_text("# how\n")
    monkeypatch.setattr(compiled, "HOME", place)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    compiled._way.cache_clear()
    yield place
    compiled._way.cache_clear()


def said(text: str, name: str = "one.html") -> str:
    (compiled.HOME / name).write_text(text)
    return (
        Environment(loader=DictLoader({name: text}), bytecode_cache=Beside(), autoescape=True)
        .get_template(name)
        .render(a="<")
    )


def kept(home: Path) -> list[Path]:
    return sorted((home / "__pycache__").glob("*")) if (home / "__pycache__").is_dir() else []


def test_what_was_compiled_is_taken_again(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert said("{{ a }} 1") == "&lt; 1"
    assert [one.suffix for one in kept(home)] == [".pyc"]
    with monkeypatch.context() as without:
        without.setattr(Environment, "_parse", lambda *_: pytest.fail("compiled again"))
        assert said("{{ a }} 1") == "&lt; 1"


def test_another_text_is_compiled_anew(home: Path) -> None:
    assert (said("{{ a }} 1"), said("{{ a }} 2")) == ("&lt; 1", "&lt; 2")
    assert len(kept(home)) == 1


def test_another_way_of_compiling_counts(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said("{{ a }} 1")
    before = kept(home)[0].read_bytes()
    (home.parent / "render.py").write_text("# otherwise\n")
    compiled._way.cache_clear()
    said("{{ a }} 1")
    assert kept(home)[0].read_bytes() != before


@pytest.mark.parametrize("cut", [0, 5, 40, 200])
def test_a_file_cut_short_is_compiled_again(home: Path, cut: int) -> None:
    said("{{ a }} 1")
    place = kept(home)[0]
    whole = place.read_bytes()
    place.write_bytes(whole[:cut])
    assert said("{{ a }} 1") == "&lt; 1"
    assert place.read_bytes() == whole


def test_nothing_is_written_where_python_writes_nothing(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert said("{{ a }} 1") == "&lt; 1"
    assert kept(home) == []


def test_a_place_that_cannot_be_written_is_no_fault(home: Path) -> None:
    (home / "__pycache__").write_text("in the way")
    assert said("{{ a }} 1") == "&lt; 1"
