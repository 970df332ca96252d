"""The site with what was worked out before, and without it, by one process and by several: the same bytes."""

from __future__ import annotations

import datetime as dt
import shutil
import sys
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest

from asfound import pages
from asfound.assess import Means, assess_case, crew, open_repository
from asfound.pages import Options
from asfound.publish import finished
from asfound.publish.finished import Kept
from asfound.publish.work import Built, build
from asfound.store import Store
from tests.rules.support import BASE
from tests.support.repository import Repo

ROOT = Path(__file__).parents[2]
ON = dt.date(2026, 3, 20)


def site(root: Path, means: Means, kept: Kept | None = None, options: Options | None = None) -> Built:
    return build(root, "cases", ON, options or Options(), True, means, kept)


def same(one: Built, other: Built) -> bool:
    return list(one.pages.items()) == list(other.pages.items()) and list(one.files.items()) == list(other.files.items())


@pytest.fixture
def root(tmp_path: Path) -> Path:
    place = tmp_path / "repository"
    shutil.copytree(BASE / ".asfound", place / ".asfound")
    for number in range(9):
        home = place / "cases" / f"c{number}"
        shutil.copytree(BASE / "cases/base", home)
        head = home / "case.yml"
        head.write_text(head.read_text("utf-8").replace("case: base\n", f"case: base-{number}\n"), "utf-8")
    Repo(place).commit("Begin")
    return place


def test_the_nine_cases_look_the_same(tmp_path: Path) -> None:
    plain, store, kept = site(ROOT, Means()), Store(tmp_path / "store"), Kept()
    assert len(plain.files) > 20 and len(plain.pages) > 100
    for _ in range(2):
        assert same(plain, site(ROOT, Means(store)))
        assert same(plain, site(ROOT, Means(store, remembered=kept.remembered), kept))
    assert same(plain, site(ROOT, Means(jobs=2)))


def test_a_change_of_one_case_writes_the_pages_of_one_case(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[str] = []
    whole = pages.pages_of_case

    def noted(dossier: Any, *given: Any) -> Any:
        written.append(dossier.id)
        return whole(dossier, *given)

    monkeypatch.setattr(pages, "pages_of_case", noted)
    store, kept = Store(tmp_path / "store"), Kept()
    first = site(root, Means(store, remembered=kept.remembered), kept)
    assert written == [f"base-{number}" for number in range(9)]
    monkeypatch.setattr(finished, "derivative", lambda *_: pytest.fail("every picture was made before"))
    table = root / "cases/c4/readings/flow.csv"
    for means, remembered in (
        (Means(store, remembered=kept.remembered), kept),
        (Means(store), None),
        (Means(remembered=kept.remembered), kept),
    ):
        written.clear()
        assert same(first, site(root, means, remembered)) and not written
    text = table.read_text("utf-8")
    changed = text.replace(text.splitlines()[1], text.splitlines()[1] + " ", 1)
    assert changed != text
    table.write_text(changed, "utf-8")
    later = site(root, Means(store, remembered=kept.remembered), kept)
    assert written == ["base-4"]
    monkeypatch.undo()
    monkeypatch.setattr(pages, "pages_of_case", noted)
    assert same(later, site(root, Means()))
    # Other options are other pages.
    written.clear()
    told = Options(notice="For us")
    assert same(site(root, Means(store), options=told), site(root, Means(), options=told))
    assert len(written) == 18


def test_pages_that_are_broken_on_disk_are_written_anew(root: Path, tmp_path: Path) -> None:
    plain, store = site(root, Means()), Store(tmp_path / "store")
    site(root, Means(store))
    for kind in ("pages", "picture", "assessment"):
        files = list(store.place.rglob(f"*.{kind}"))
        assert files
        for number, file in enumerate(files):
            if number % 2:
                file.write_bytes(file.read_bytes()[:-1])
            else:
                store.put(kind, file.stem, b"[nothing of the kind")
    assert same(plain, site(root, Means(store)))


def test_what_is_kept_of_pictures_is_what_is_shown(root: Path, tmp_path: Path) -> None:
    store, kept = Store(tmp_path / "store"), Kept()
    site(root, Means(store, remembered=kept.remembered), kept)
    before = len(kept.pictures)
    assert before >= 1
    for number in range(9):
        (root / f"cases/c{number}/evidence/door.jpg").unlink()
    site(root, Means(store, remembered=kept.remembered), kept)
    assert len(kept.pictures) == before - 1 and len(kept.finished) == 9


@pytest.mark.skipif(sys.platform == "win32", reason="a process that begins as a copy of a bare one")
def test_who_assesses_a_case_writes_its_pages(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of two cases with one identity the second is assessed without knowing, so its pages are written here again."""
    head = root / "cases/c7/case.yml"
    head.write_text(head.read_text("utf-8").replace("case: base-7\n", "case: base-6\n"), "utf-8")
    plain = site(root, Means())
    written: list[str] = []
    whole = pages.pages_of_case

    def noted(dossier: Any, *given: Any) -> Any:
        written.append(dossier.core.case.folder)
        return whole(dossier, *given)

    monkeypatch.setattr(pages, "pages_of_case", noted)
    monkeypatch.setattr(crew, "_context", lambda: get_context("spawn"))
    store = Store(tmp_path / "store")
    assert same(plain, site(root, Means(store, jobs=2))) and len(written) < 3
    assert same(plain, site(root, Means(store)))


def test_a_fault_in_writing_beside_is_told_where_the_pages_are_asked_for(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shared = open_repository(root)
    found = assess_case(root, root / "cases/c1", ON, shared)
    made = finished.write_beside(Options(), None, shared, found)
    assert made is not None and made.pages.startswith(b"[{")
    monkeypatch.setattr(pages, "pages_of_case", lambda *_: 1 / 0)
    assert finished.write_beside(Options(), None, shared, found) is None
