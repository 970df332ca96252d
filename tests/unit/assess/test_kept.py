"""What was worked out before: the same with it and without it, and never taken for what it was not worked out from."""

from __future__ import annotations

import datetime as dt
import gc
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from asfound import assess
from asfound.assess import Assessment, Means, assess_cases, find_cases, keys, open_repository
from asfound.assess.carried import pack, unpack
from asfound.assess.many import Remembered
from asfound.model.dossier import dossier_json
from asfound.store import Store
from tests.rules.support import BASE
from tests.support.repository import Repo

ROOT = Path(__file__).parents[3]
ON = dt.date(2026, 3, 20)
SIGNERS = 'examiner-1 namespaces="approval@asfound" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAI{}\n'


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A repository of one case under git."""
    place = tmp_path / "repository"
    shutil.copytree(BASE, place)
    Repo(place).commit("Begin")
    return place


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "store")


def run(root: Path, means: Means, on: dt.date = ON, history: bool = True) -> tuple[Assessment, ...]:
    return assess_cases(root, find_cases(root), on, history, means)


def worked_out(store: Store) -> int:
    """How many assessments the store holds."""
    return len(list(store.place.rglob("*.assessment")))


def shown(found: tuple[Assessment, ...]) -> list[bytes]:
    """All of it, the duties too, in its order."""
    return [pack(one) for one in found]


def test_a_process_that_ends_soon_leaves_what_it_read_out_of_the_collectors_sight(root: Path) -> None:
    gc.unfreeze()
    try:
        plain = run(root, Means())
        assert gc.get_freeze_count() == 0
        assert shown(run(root, Means(passing=True))) == shown(plain)
        assert gc.get_freeze_count() > 0 and gc.isenabled()
    finally:
        gc.unfreeze()


def test_nine_cases_are_the_same_with_the_store_and_without_it(store: Store) -> None:
    plain = run(ROOT, Means())
    first = run(ROOT, Means(store))
    assert worked_out(store) == len(find_cases(ROOT)) == 9
    again = run(ROOT, Means(store))
    assert shown(first) == shown(plain) == shown(again)
    assert [one == other for one, other in zip(plain, again, strict=True)] == [True] * len(plain)
    texts = [[dossier_json(one.dossier) for one in found if one.dossier] for found in (plain, again)]
    assert texts[0] == texts[1]
    duties = [[one.dossier.duties for one in found if one.dossier] for found in (plain, again)]
    assert duties[0] == duties[1] and all(one.lines for one in duties[0])


def test_a_second_run_reads_no_case_and_asks_nobody(root: Path, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    first = run(root, Means(store))

    def not_wanted(*_: object, **__: object) -> None:
        raise AssertionError("this was worked out before")

    for name in ("intake.read_case", "look_outside", "assessed"):
        monkeypatch.setattr(f"asfound.assess.many.{name}", not_wanted)
    assert shown(run(root, Means(store))) == shown(first)


def test_what_is_remembered_serves_without_a_disk(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    remembered = Remembered()
    (first,) = run(root, Means(remembered=remembered))
    monkeypatch.setattr("asfound.assess.many.assessed", lambda *_: pytest.fail("this was worked out before"))
    (again,) = run(root, Means(remembered=remembered))
    assert again is first
    monkeypatch.undo()
    append(root, "cases/base/room.yml", "# a remark\n")
    (later,) = run(root, Means(remembered=remembered))
    assert later is not first and len(remembered.assessments) == 1


def append(root: Path, path: str, text: str) -> None:
    with (root / path).open("a", encoding="utf-8") as file:
        file.write(text)


def write(path: str, text: str) -> Callable[[Path], None]:
    def change(root: Path) -> None:
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")

    return change


def added(path: str, text: str = "# a remark\n") -> Callable[[Path], None]:
    return lambda root: append(root, path, text)


def committed(root: Path) -> None:
    append(root, "cases/base/room.yml", "# a remark\n")
    Repo(root).commit("Say something")


def tagged(root: Path) -> None:
    Repo(root).git("tag", "edition/base/1")


CHANGES: dict[str, Callable[[Path], None]] = {
    "a record": added("cases/base/findings.yml"),
    "a reading": added("cases/base/readings/flow.csv", "\n"),
    "a picture": added("cases/base/evidence/front.jpg", "x"),
    "a file more": write("cases/base/evidence/more.txt", "more"),
    "a file less": lambda root: (root / "cases/base/evidence/door.jpg").unlink(),
    "a file's name": lambda root: (root / "cases/base/room.yml").rename(root / "cases/base/rooms.yml") and None,
    "an empty folder": lambda root: (root / "cases/base/evidence/none").mkdir(),
    "a link": lambda root: (root / "cases/base/link").symlink_to("room.yml"),
    "what a program left": write("cases/base/.DS_Store", ""),
    "the folder's name": lambda root: (root / "cases/base").rename(root / "cases/other") and None,
    "an approval": write("cases/base/approvals/examiner-a-1.json", "{}"),
    "an edition": write("cases/base/editions/1/edition.json", "{}"),
    "instruments": added(".asfound/instruments.yml"),
    "settings": added(".asfound/settings.yml"),
    "a set of limits": added(".asfound/limits/base-limits.yml"),
    "a protocol": added(".asfound/protocols/base-pump.yml"),
    "words": write(".asfound/words/own.yml", "{}\n"),
    "reporting": write(".asfound/reporting/own.yml", "{}\n"),
    "starters": write(".asfound/starters/own.yml", "{}\n"),
    "roles": write(".asfound/roles.yml", "authors: {}\n"),
    "signers": write(".asfound/allowed_signers", SIGNERS.format("A" * 43)),
    "a commit": committed,
    "a tag of an edition": tagged,
}
"""Every kind of thing an assessment may rest on, each changed so that nothing else does."""


@pytest.mark.parametrize("what", CHANGES)
def test_whatever_it_rests_on_is_worked_out_anew(root: Path, store: Store, what: str) -> None:
    run(root, Means(store))
    run(root, Means(store))
    assert worked_out(store) == 1
    CHANGES[what](root)
    found = run(root, Means(store))
    assert worked_out(store) == 2
    assert shown(found) == shown(run(root, Means()))


def test_the_date_and_whether_git_is_asked_are_of_the_key(root: Path, store: Store) -> None:
    for on, history in ((ON, True), (ON, False), (dt.date(2027, 3, 20), True)):
        assert shown(run(root, Means(store), on, history)) == shown(run(root, Means(), on, history))
    assert worked_out(store) == 3


def test_a_commit_that_touches_nothing_of_a_case_leaves_its_assessment(root: Path, store: Store) -> None:
    run(root, Means(store))
    append(root, "README.md", "beside the cases\n")
    Repo(root).commit("Say something beside")
    found = run(root, Means(store))
    assert worked_out(store) == 1 and len(list(store.place.rglob("*.lead"))) == 2
    assert shown(found) == shown(run(root, Means()))


@pytest.mark.parametrize("name", ["program_digest", "bench_digest"])
def test_another_program_starts_anew(root: Path, store: Store, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    run(root, Means(store))
    for where in (keys, assess.many):
        if hasattr(where, name):
            monkeypatch.setattr(where, name, lambda *_: "another")
    run(root, Means(store))
    assert worked_out(store) == 2


def test_another_ssh_keygen_is_asked_anew(root: Path, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    run(root, Means(store))
    monkeypatch.setattr("asfound.seal.program_mark", lambda: "another")
    run(root, Means(store))
    # It says the same here, so what follows from it need not be worked out again.
    assert worked_out(store) == 1 and len(list(store.place.rglob("*.lead"))) == 2


def test_one_byte_anywhere_gives_another_key(root: Path) -> None:
    def lead() -> str:
        shared = open_repository(root)
        made = keys.Keys(shared, keys.bench_digest(shared.root), ON, True)
        return made.assessment("cases/base", made.tree("cases/base"), "")

    before = lead()
    seen = {before}
    files = [one for top in (".asfound", "cases") for one in sorted((root / top).rglob("*")) if one.is_file()]
    assert len(files) > 30
    for file in files:
        data = file.read_bytes()
        for at in {0, len(data) // 2, len(data) - 1}:
            file.write_bytes(data[:at] + bytes((data[at] ^ 1,)) + data[at + 1 :])
            seen.add(lead())
        file.write_bytes(data)
    assert len(seen) == 1 + sum(len({0, len(one.read_bytes()) // 2, len(one.read_bytes()) - 1}) for one in files)
    assert lead() == before


def broken(store: Store, kind: str) -> Iterator[Path]:
    return (one for one in store.place.rglob(f"*.{kind}"))


@pytest.mark.parametrize("kind", ["assessment", "lead"])
def test_an_entry_that_is_broken_is_worked_out_anew(root: Path, store: Store, kind: str) -> None:
    first = run(root, Means(store))
    (file,) = broken(store, kind)
    whole = file.read_bytes()
    for data in (whole[:-1], whole[: len(whole) // 2], b"", whole[:-9] + b"something"):
        file.write_bytes(data)
        assert shown(run(root, Means(store))) == shown(first)
        assert file.read_bytes() == whole


def test_an_entry_right_in_form_that_is_no_assessment_is_worked_out_anew(root: Path, store: Store) -> None:
    first = run(root, Means(store))
    (file,) = broken(store, "assessment")
    for data in (b"", b"{}", b'{"folder": "x", "dossier": true}\n[]', b'{"folder": "x", "dossier": false}\n[{}]'):
        store.put("assessment", file.stem, data)
        with pytest.raises(ValueError):
            unpack(data)
        assert shown(run(root, Means(store))) == shown(first)


def test_files_that_change_under_way_are_not_kept(root: Path, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.assess import many

    whole = many.assessed

    def changing(*given: object) -> Assessment:
        append(root, "cases/base/room.yml", "# a remark\n")
        return whole(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(many, "assessed", changing)
    run(root, Means(store))
    assert worked_out(store) == 0 and not list(broken(store, "lead"))


def test_a_program_that_changes_while_it_runs_keeps_nothing(
    root: Path, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("asfound.assess.many.unchanged", lambda: False)
    run(root, Means(store))
    assert worked_out(store) == 0


def test_a_case_nobody_can_read_is_kept_too(root: Path, store: Store) -> None:
    (root / "cases/base/case.yml").write_text("title: [\n", encoding="utf-8")
    plain = run(root, Means())
    for _ in range(2):
        assert shown(run(root, Means(store))) == shown(plain)
    assert worked_out(store) == 1


def test_two_cases_with_one_identity_are_told_from_the_store_too(root: Path, store: Store) -> None:
    shutil.copytree(root / "cases/base", root / "cases/twin")
    plain = run(root, Means(), history=False)
    assert "case-id-twice" in {one.rule for one in plain[1].problems}
    for _ in range(2):
        assert shown(run(root, Means(store), history=False)) == shown(plain)


def test_a_clone_that_holds_contents_back_is_asked_each_time(root: Path, store: Store) -> None:
    Repo(root).git("config", "remote.origin.promisor", "true")
    for _ in range(2):
        run(root, Means(store))
    assert not list(broken(store, "lead")) and worked_out(store) == 1


def test_the_fault_of_one_case_hides_no_other(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(root / "cases/base", root / "cases/a")
    from asfound.assess import many

    whole = many.assessed

    def faulty(shared: object, reading: object, *given: object) -> Assessment:
        if getattr(reading, "folder", "") == "cases/a":
            raise RuntimeError("this should not happen")
        return whole(shared, reading, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(many, "assessed", faulty)
    with pytest.raises(assess.Faulted) as caught:
        run(root, Means())
    assert [one.folder for one in caught.value.found] == ["cases/base"]
    assert [(folder, str(error)) for folder, error in caught.value.faults] == [("cases/a", "this should not happen")]


def test_the_digest_of_the_program_is_of_its_very_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.store import program

    home = tmp_path / "asfound"
    shutil.copytree(Path(program.__file__).parent, home / "store")
    monkeypatch.setattr(program, "_HOME", home)

    def digest() -> str:
        program.program_digest.cache_clear()
        program._as_begun.cache_clear()
        return program.program_digest()

    try:
        first = digest()
        assert first == digest() and program.unchanged()
        append(home, "store/key.py", "# a remark\n")
        assert not program.unchanged()
        second = digest()
        (home / "store/more.yml").write_text("more: true\n", encoding="utf-8")
        third = digest()
        packages = tmp_path / "site-packages"
        (packages / "something-1.0.dist-info").mkdir(parents=True)
        monkeypatch.syspath_prepend(packages)
        fourth = digest()
        (packages / "something-1.0.dist-info").rename(packages / "something-1.1.dist-info")
        assert len({first, second, third, fourth, digest()}) == 5
    finally:
        monkeypatch.undo()
        digest()


def test_what_is_handed_on_holds_the_duties_which_no_dossier_on_disk_does(root: Path) -> None:
    (one,) = run(root, Means())
    assert one.dossier is not None
    assert unpack(pack(one)).dossier is not None
    other = replace(one.dossier, duties=replace(one.dossier.duties, code_list="another"))
    assert dossier_json(other) == dossier_json(one.dossier)
    assert pack(replace(one, dossier=other)) != pack(one)
