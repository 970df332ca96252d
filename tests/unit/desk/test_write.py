"""Bytes on disk: whole or not at all, whenever a run ends."""

from __future__ import annotations

import hashlib
import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.desk import TEMPORARY, Refused, alone, copy_file, digest_of, real_folder, replace_file
from asfound.intake import walk_case

OLD, NEW = b"old\r\n" * 5000, b"new\n" * 9000

# A process of its own that is killed, as a power cut would, just before the step it is given.
KILLED = """
import os, signal, sys
from pathlib import Path
from asfound.desk import copy_file, replace_file
what, at, place = sys.argv[1], sys.argv[2], Path(sys.argv[3])
def step(name):
    if name == at:
        os.kill(os.getpid(), signal.SIGKILL)
if what == "replace":
    replace_file(place, place.read_bytes() if place.exists() else None, b"new\\n" * 9000, step)
else:
    source = Path(sys.argv[4])
    import hashlib
    copy_file(source, place, hashlib.sha256(source.read_bytes()).hexdigest(), step)
"""
STEPS = ("look", "begin", "write", "sync", "compare", "rename", "settle")


def killed(*arguments: str) -> int:
    return subprocess.run([sys.executable, "-c", KILLED, *arguments], check=False).returncode


@pytest.mark.parametrize("step", [*STEPS, "never"])
@pytest.mark.parametrize("there", [True, False])
def test_a_run_killed_at_any_step_leaves_the_old_file_or_the_new_one(tmp_path: Path, step: str, there: bool) -> None:
    place = tmp_path / "evidence.yml"
    if there:
        place.write_bytes(OLD)
    code = killed("replace", step, str(place))
    assert code == (0 if step == "never" else -signal.SIGKILL)
    done = step in ("settle", "never")
    assert (place.read_bytes() if place.exists() else None) == (NEW if done else OLD if there else None)
    left = [path.name for path in tmp_path.iterdir() if path != place]
    assert all(name.startswith(TEMPORARY) for name in left)
    # What a killed run leaves is no file of the case, and the next run is not hindered by it.
    assert walk_case(tmp_path, tmp_path).paths == (("evidence.yml",) if place.exists() else ())
    replace_file(place, place.read_bytes() if place.exists() else None, b"later")
    assert place.read_bytes() == b"later"


@pytest.mark.parametrize("step", ["copy", "begin", "write", "sync", "compare", "rename", "settle", "never"])
def test_a_copy_killed_at_any_step_leaves_the_whole_file_or_none_and_never_touches_the_source(
    tmp_path: Path, step: str
) -> None:
    source, place = tmp_path / "card" / "a.jpg", tmp_path / "evidence" / "a.jpg"
    for folder in (source.parent, place.parent):
        folder.mkdir()
    source.write_bytes(OLD)
    before = source.stat()
    killed("copy", step, str(place), str(source))
    assert place.exists() == (step in ("settle", "never"))
    assert not place.exists() or place.read_bytes() == OLD
    assert source.read_bytes() == OLD and source.stat().st_mtime_ns == before.st_mtime_ns


def test_permissions_are_kept(tmp_path: Path) -> None:
    place = tmp_path / "a.yml"
    place.write_bytes(OLD)
    place.chmod(0o640)
    replace_file(place, OLD, NEW)
    assert stat.S_IMODE(place.stat().st_mode) == 0o640 and place.read_bytes() == NEW
    assert [path.name for path in tmp_path.iterdir()] == ["a.yml"]


def test_what_somebody_else_wrote_in_the_meantime_is_not_lost(tmp_path: Path) -> None:
    place = tmp_path / "a.yml"
    place.write_bytes(OLD)

    def step(name: str) -> None:
        if name == "compare":
            place.write_bytes(b"theirs")

    with pytest.raises(Refused, match="changed by somebody else"):
        replace_file(place, OLD, NEW, step)
    assert place.read_bytes() == b"theirs" and [path.name for path in tmp_path.iterdir()] == ["a.yml"]


def test_a_new_file_is_never_put_over_another(tmp_path: Path) -> None:
    place = tmp_path / "a.yml"

    def step(name: str) -> None:
        if name == "rename":
            place.write_bytes(b"theirs")

    with pytest.raises(Refused, match="stands there by now"):
        replace_file(place, None, NEW, step)
    assert place.read_bytes() == b"theirs"


def test_without_hard_links_a_new_file_is_still_never_put_over_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError("not supported")

    monkeypatch.setattr(os, "link", no_links)
    replace_file(tmp_path / "a.yml", None, NEW)
    assert (tmp_path / "a.yml").read_bytes() == NEW

    def step(name: str) -> None:
        if name == "rename":
            (tmp_path / "b.yml").write_bytes(b"theirs")

    with pytest.raises(Refused, match="stands there by now"):
        replace_file(tmp_path / "b.yml", None, NEW, step)
    assert (tmp_path / "b.yml").read_bytes() == b"theirs"


def test_a_link_is_not_written_through(tmp_path: Path) -> None:
    (tmp_path / "far").write_bytes(OLD)
    (tmp_path / "a.yml").symlink_to("far")
    with pytest.raises(Refused, match="ordinary file"):
        replace_file(tmp_path / "a.yml", OLD, NEW)
    (tmp_path / "real").mkdir()
    (tmp_path / "evidence").symlink_to("real")
    with pytest.raises(Refused, match="through a link"):
        real_folder(tmp_path, "evidence", make=True)
    with pytest.raises(Refused, match="leads out"):
        real_folder(tmp_path, "../other", make=True)
    assert (tmp_path / "far").read_bytes() == OLD and not list((tmp_path / "real").iterdir())
    assert real_folder(tmp_path, "a/b", make=True).is_dir()


def test_a_copy_of_what_changed_since_it_was_looked_at_is_refused(tmp_path: Path) -> None:
    source = tmp_path / "a"
    source.write_bytes(OLD)
    with pytest.raises(Refused, match="changed while it was copied"):
        copy_file(source, tmp_path / "b", hashlib.sha256(NEW).hexdigest())
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_disk_that_gives_back_other_bytes_is_found_out(tmp_path: Path) -> None:
    source = tmp_path / "a"
    source.write_bytes(OLD)

    def step(name: str) -> None:
        if name == "compare":
            next(tmp_path.glob(f"{TEMPORARY}*")).write_bytes(OLD[:-1] + b"x")

    with pytest.raises(Refused, match="look at the disk"):
        copy_file(source, tmp_path / "b", digest_of(source), step)
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_only_one_run_at_a_time_writes_into_a_case(tmp_path: Path) -> None:
    with alone(tmp_path), pytest.raises(Refused, match="another run"), alone(tmp_path):
        pass
    with alone(tmp_path):
        pass


def test_a_digest_is_the_published_one(tmp_path: Path) -> None:
    """SHA-256 of "abc": FIPS 180-4, example (confirmed by two implementations)."""
    (tmp_path / "a").write_bytes(b"abc")
    assert digest_of(tmp_path / "a") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
