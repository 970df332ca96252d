"""The store: what is put comes back, what is not what was put does not, and where it may lie."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.store import PlaceRefused, Store, key, open_store

NAME = key("thing", "a")
DATA = b"what was worked out\n" * 40


def the_file(store: Store) -> Path:
    (found,) = [one for one in store.place.rglob("*") if one.is_file()]
    return found


def test_what_was_put_comes_back_and_nothing_else_does(tmp_path: Path) -> None:
    store = Store(tmp_path)
    assert store.get("thing", NAME) is None
    store.put("thing", NAME, DATA)
    assert store.get("thing", NAME) == DATA
    assert store.get("other", NAME) is None and store.get("thing", key("thing", "b")) is None
    store.put("thing", NAME, b"")
    assert store.get("thing", NAME) == b""


def test_any_byte_that_was_changed_or_cut_makes_an_entry_none_and_takes_it_away(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put("thing", NAME, DATA)
    whole = the_file(store).read_bytes()
    for at in range(len(whole)):
        for broken in (whole[:at] + bytes((whole[at] ^ 1,)) + whole[at + 1 :], whole[:at]):
            store.put("thing", NAME, DATA)
            the_file(store).write_bytes(broken)
            assert store.get("thing", NAME) is None, at
            assert not [one for one in tmp_path.rglob("*") if one.is_file()]
    store.put("thing", NAME, DATA)
    the_file(store).write_bytes(whole + b"x")
    assert store.get("thing", NAME) is None


def test_an_entry_under_another_key_is_foreign(tmp_path: Path) -> None:
    store, other = Store(tmp_path), key("thing", "b")
    store.put("thing", NAME, DATA)
    place = tmp_path / other[:2] / f"{other}.thing"
    place.parent.mkdir(exist_ok=True)
    the_file(store).rename(place)
    assert store.get("thing", other) is None and not place.exists()


def test_keys_part_what_stands_beside_one_another() -> None:
    assert len({key("a", "bc"), key("ab", "c"), key("a", "b", "c"), key("a", "b\x00c"), key("a", "bc", "")}) == 5


def test_the_oldest_used_goes_first(tmp_path: Path) -> None:
    noise = [os.urandom(3000) for _ in range(6)]
    store = Store(tmp_path, most=10_000)
    for number, data in enumerate(noise):
        store.put("thing", key("thing", str(number)), data)
        file = tmp_path / key("thing", str(number))[:2] / f"{key('thing', str(number))}.thing"
        os.utime(file, (1_000_000 + number, 1_000_000 + number))
    assert store.get("thing", key("thing", "0")) == noise[0]  # used now, so it is the youngest
    store.trim()
    left = [number for number in range(6) if store.get("thing", key("thing", str(number))) == noise[number]]
    assert left == [0, 4, 5]
    assert sum(one.stat().st_size for one in tmp_path.rglob("*") if one.is_file()) <= 10_000


def test_one_that_is_larger_than_the_whole_store_is_not_kept(tmp_path: Path) -> None:
    store = Store(tmp_path, most=1000)
    store.put("thing", NAME, os.urandom(2000))
    assert not [one for one in tmp_path.rglob("*") if one.is_file()]


def test_a_disk_that_refuses_costs_nothing_but_time(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    store = Store(tmp_path / "file")
    store.put("thing", NAME, DATA)
    assert store.get("thing", NAME) is None
    store.trim()


def test_two_processes_write_read_and_trim_at_once(tmp_path: Path) -> None:
    work = (
        "import sys\nfrom pathlib import Path\nfrom asfound.store import Store, key\n"
        "store = Store(Path(sys.argv[1]), most=60_000)\n"
        "for turn in range(60):\n"
        "    for number in range(8):\n"
        "        name = key('thing', str(number))\n"
        "        data = (str(number) * 5000).encode() + bytes(range(256)) * number\n"
        "        store.put('thing', name, data)\n"
        "        found = store.get('thing', name)\n"
        "        assert found in (None, data), number\n"
        "    store.trim()\n"
    )
    both = [
        subprocess.Popen([sys.executable, "-c", work, str(tmp_path)], stderr=subprocess.PIPE, text=True)
        for _ in range(2)
    ]
    assert [(one.communicate()[1], one.returncode) for one in both] == [("", 0), ("", 0)]
    assert not list(tmp_path.rglob(".part-*"))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "home"
    place.mkdir()
    monkeypatch.setenv("HOME", str(place))
    monkeypatch.setenv("USERPROFILE", str(place))
    monkeypatch.delenv("ASFOUND_CACHE")
    return place


@pytest.mark.skipif(sys.platform != "linux", reason="the XDG Base Directory Specification is Linux's")
def test_the_usual_place_is_the_persons_own_and_closed_to_others(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # XDG Base Directory Specification 0.8, $XDG_CACHE_HOME: default ~/.cache, relative paths ignored. (confirmed)
    for said, place in (("", home / ".cache"), ("relative", home / ".cache"), (str(tmp_path / "x"), tmp_path / "x")):
        monkeypatch.setenv("XDG_CACHE_HOME", said)
        store = open_store(tmp_path / "repository")
        assert store is not None and store.place == place / "asfound"
        assert store.place.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("said", ["off", "OFF"])
def test_nothing_is_kept_where_that_is_asked(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: str
) -> None:
    assert open_store(tmp_path / "repository", wanted=False) is None
    monkeypatch.setenv("ASFOUND_CACHE", said)
    assert open_store(tmp_path / "repository") is None
    assert not list(home.iterdir())


@pytest.mark.usefixtures("home")
def test_a_place_in_the_repository_is_refused_and_never_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = tmp_path / "repository"
    (root / "elsewhere").mkdir(parents=True)
    (tmp_path / "into").symlink_to(root / "elsewhere")
    (root / "out").symlink_to(tmp_path)
    for place in (root / ".asfound" / "cache", root, tmp_path / "into", root / "out"):
        monkeypatch.setenv("ASFOUND_CACHE", str(place))
        with pytest.raises(PlaceRefused, match="it lies in the repository, where anybody's commit could put something"):
            open_store(root)
    assert not (root / ".asfound").exists()


def test_the_usual_place_is_passed_over_where_the_repository_is_around_it(home: Path) -> None:
    assert open_store(home) is None
    assert not list(home.iterdir())


@pytest.mark.usefixtures("home")
def test_other_places_that_cannot_be_trusted_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    open_to_all, file = tmp_path / "open", tmp_path / "file"
    open_to_all.mkdir()
    open_to_all.chmod(0o777)
    file.write_text("")
    cases = [("relative/place", "a whole path is needed"), (str(file), "it cannot be used")]
    if os.name == "posix":
        cases += [(str(open_to_all), "others can write there")]
        if os.geteuid() != 0:
            cases += [("/", "it belongs to somebody else")]
    for said, why in cases:
        monkeypatch.setenv("ASFOUND_CACHE", said)
        with pytest.raises(PlaceRefused, match=why):
            open_store(tmp_path / "repository")
