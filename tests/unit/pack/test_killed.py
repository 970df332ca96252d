"""A pack whose writing is ended at any step: nothing half-written under its name, nothing lost, and a rerun works."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.intake import walk_case
from asfound.pack import alone, write_pack
from asfound.pack.write import TEMPORARY, Contents, Part, Unpackable
from tests.support.forked import run_forked
from tests.unit.pack.support import tiny

PROGRAM = """\
import os, signal, sys
from pathlib import Path
from asfound.pack import write_pack
from tests.unit.pack.test_killed import contents
steps, out, stop = [], Path(sys.argv[1]), int(sys.argv[2])
def tell(step):
    if len(steps) == stop:
        os.kill(os.getpid(), signal.SIGKILL)
    steps.append(step)
write_pack(out, contents(), tell)
"""


def contents(source: Path | None = None) -> Contents:
    """A small pack, one file of which may lie on the disk."""
    parts = [
        Part(name, data) for name, data in tiny().items() if name.startswith("data/") and name != "data/case/case.yml"
    ]
    parts.append(Part("data/case/case.yml", source or tiny()["data/case/case.yml"]))
    return Contents(alone.Info("base", 0, "whole", ""), "2026-03-20", tuple(parts), "x\n", "asfound 0")


@pytest.fixture
def whole(tmp_path: Path) -> tuple[bytes, list[str]]:
    """The bytes of the pack, and every step its writing takes."""
    steps: list[str] = []
    write_pack(tmp_path / "whole.zip", contents(), steps.append)
    return (tmp_path / "whole.zip").read_bytes(), steps


def test_killed_at_any_step_there_is_the_whole_pack_or_none(tmp_path: Path, whole: tuple[bytes, list[str]]) -> None:
    data, steps = whole
    assert steps[0] == "begin" and steps[-4:] == ["directory", "flush", "name", "settle"] and len(steps) > 15
    for stop, step in enumerate(steps):
        home = tmp_path / f"{stop}"
        home.mkdir()
        out = home / "pack.zip"
        assert run_forked(PROGRAM, str(out), str(stop)).returncode == -9, step
        left = [one.name for one in home.iterdir()]
        assert [one for one in left if not one.startswith(TEMPORARY)] == (["pack.zip"] if step == "settle" else [])
        assert not out.exists() or out.read_bytes() == data
        assert run_forked(PROGRAM, str(out), "999").returncode == 0
        assert out.read_bytes() == data
        # What a killed run left is no file of a case, should it lie in one.
        assert [one for one in walk_case(home, home).paths if TEMPORARY in one] == []


def test_killed_over_a_pack_that_stands_there_that_one_stays(tmp_path: Path, whole: tuple[bytes, list[str]]) -> None:
    data, steps = whole
    for before in (data, b"another's"):
        for stop in range(len(steps)):
            out = tmp_path / "pack.zip"
            out.write_bytes(before)
            run_forked(PROGRAM, str(out), str(stop))
            assert out.read_bytes() == before


FAULTS = ("flush", "name", "README.txt", "sums", "data/case/case.yml")


@pytest.mark.parametrize("step", FAULTS)
def test_a_disk_that_refuses_leaves_nothing_behind(step: str, tmp_path: Path) -> None:
    def tell(here: str) -> None:
        if here == step:
            raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space left"):
        write_pack(tmp_path / "pack.zip", contents(), tell)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("change", [b"case: base\nlonger: yes\n", b"case", b""])
def test_a_file_that_changes_while_it_is_packed_ends_it(change: bytes, tmp_path: Path) -> None:
    source = tmp_path / "case.yml"
    source.write_bytes(b"case: base\n")

    def tell(here: str) -> None:
        if here == "data/case/case.yml":
            source.write_bytes(change)

    with pytest.raises(Unpackable, match=r"case/case\.yml changed while it was packed; run again"):
        write_pack(tmp_path / "pack.zip", contents(source), tell)
    assert [one.name for one in tmp_path.iterdir()] == ["case.yml"]


def test_what_comes_to_the_name_while_the_pack_is_written_is_not_put_under(tmp_path: Path) -> None:
    out = tmp_path / "pack.zip"

    def tell(here: str) -> None:
        if here == "name":
            out.write_bytes(b"another's")

    with pytest.raises(FileExistsError, match=r"pack\.zip stands there already, with other bytes"):
        write_pack(out, contents(), tell)
    assert out.read_bytes() == b"another's" and len(list(tmp_path.iterdir())) == 1


def test_a_link_at_the_name_is_not_followed(tmp_path: Path) -> None:
    aim, out = tmp_path / "elsewhere.zip", tmp_path / "pack.zip"
    write_pack(aim, contents())
    out.symlink_to(aim)
    with pytest.raises(FileExistsError):
        write_pack(out, contents())
    assert out.is_symlink() and len(list(tmp_path.iterdir())) == 2


def test_where_there_are_no_hard_links_a_file_is_still_not_put_under(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, whole: tuple[bytes, list[str]]
) -> None:
    def refuse(*_: object) -> Iterator[None]:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    out = tmp_path / "pack.zip"
    write_pack(out, contents())
    assert out.read_bytes() == whole[0]
    # The same bytes again are no fault there either.
    write_pack(out, contents())
    out.write_bytes(b"another's")
    with pytest.raises(FileExistsError, match="stands there already"):
        write_pack(out, contents())
    assert out.read_bytes() == b"another's"
