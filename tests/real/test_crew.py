"""Who carries the work out makes no difference: this process, others of ours, or a real cluster without our disk."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from asfound.assess import Assessment, Faulted, Means, NoScheduler, OtherProgram, assess_cases, crew, find_cases
from asfound.assess.carried import Unit, carry_out, pack
from asfound.store import Store
from tests.rules.support import BASE
from tests.support.repository import Repo

ROOT = Path(__file__).parents[2]
ON = dt.date(2026, 3, 20)


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A real scheduler with two workers, each a process of its own, on the loopback address."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address="127.0.0.1:0",
        silence_logs=50,
    ) as cluster:
        yield cluster.scheduler_address


def shown(found: tuple[Assessment, ...]) -> list[bytes]:
    return [pack(one) for one in found]


def run(root: Path, means: Means) -> tuple[Assessment, ...]:
    return assess_cases(root, find_cases(root), ON, True, means)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Nine copies of a case, two with one identity, one that cannot be read, one with a link that cannot travel."""
    place = tmp_path / "repository"
    shutil.copytree(BASE / ".asfound", place / ".asfound")
    for number in range(9):
        home = place / "cases" / f"c{number}"
        shutil.copytree(BASE / "cases/base", home)
        head = home / "case.yml"
        name = max(number, 1)
        head.write_text(head.read_text("utf-8").replace("case: base\n", f"case: base-{name}\n"), "utf-8")
    (place / "cases/c3/case.yml").write_text("title: [\n", "utf-8")
    (place / "cases/c4/link").symlink_to("room.yml")
    (place / "cases/c5/evidence/empty").mkdir()
    (place / "cases/c6/.DS_Store").write_bytes(b"left behind")
    Repo(place).commit("Begin")
    return place


def test_processes_of_ours_say_the_same(root: Path, tmp_path: Path) -> None:
    plain = run(root, Means())
    assert shown(run(root, Means(jobs=2))) == shown(plain)
    store = Store(tmp_path / "store")
    assert shown(run(root, Means(store, jobs=2))) == shown(plain)
    assert shown(run(root, Means(store))) == shown(plain)
    assert len(list(store.place.rglob("*.assessment"))) == 9


def test_processes_of_ours_take_what_was_kept_after_a_commit_that_touched_no_case(root: Path, tmp_path: Path) -> None:
    store = Store(tmp_path / "store")
    before = run(root, Means(store, jobs=2))
    (root / "NOTES.md").write_text("Of no case.\n", "utf-8")
    Repo(root).commit("Add notes")
    written = {one: one.stat().st_ino for one in store.place.rglob("*.assessment")}
    means = Means(store, jobs=2, beside=refuse)
    assert shown(run(root, means)) == shown(before)
    # Workers looked for themselves and found it: nothing was assessed, written, or made beside, but the way is new.
    assert {one: one.stat().st_ino for one in store.place.rglob("*.assessment")} == written
    assert means.done == {} and len(list(store.place.rglob("*.lead"))) > len(written)
    shutil.rmtree(store.place)
    with pytest.raises(Faulted, match="it was to be done"):
        run(root, means)


def refuse(shared: Any, found: Assessment) -> None:
    """Work beside an assessment, where there should be none."""
    raise ValueError("it was to be done")


def test_as_many_processes_as_this_one_may_use() -> None:
    assert 1 <= crew.processors() <= crew.MOST
    assert crew.crowded(crew.FEWEST, 2) and not crew.crowded(crew.FEWEST, 1) and not crew.crowded(crew.FEWEST - 1, 2)
    assert crew.crowded(1000, 0) == (crew.processors() > 1)
    if hasattr(os, "sched_setaffinity"):
        said = (
            "import os; from asfound.assess import crew; os.sched_setaffinity(0, {min(os.sched_getaffinity(0))}); "
            "print(crew.processors())"
        )
        assert subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True).stdout == "1\n"


def test_a_cluster_says_the_same_of_what_can_travel_and_of_what_cannot(
    root: Path, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = run(root, Means())
    here: list[str] = []
    whole = assess_cases.__globals__["assessed"]

    def noted(shared: Any, reading: Any, *given: Any) -> Assessment:
        here.append(reading.folder)
        return whole(shared, reading, *given)  # type: ignore[no-any-return]

    monkeypatch.setattr("asfound.assess.many.assessed", noted)
    assert shown(run(root, Means(scheduler=address))) == shown(plain)
    # A worker has no link to follow and nobody's home to follow it into; everything else went over the wire.
    assert here == ["cases/c4"]


def test_the_nine_cases_are_the_same_by_a_cluster(address: str) -> None:
    assert shown(run(ROOT, Means(scheduler=address))) == shown(run(ROOT, Means()))


def test_the_command_says_the_same_by_a_cluster(root: Path, address: str) -> None:
    said = [
        subprocess.run(
            [sys.executable, "-m", "asfound", "check", "--on", "2026-03-20", *more],
            cwd=root, capture_output=True, text=True, check=False,
        )
        for more in ((), ("--scheduler", address), ("--jobs", "2"))
    ]  # fmt: skip
    assert {(one.returncode, one.stdout, one.stderr) for one in said} == {(1, said[0].stdout, "")}
    assert "cases/c8: " in said[0].stdout


def test_a_unit_needs_nothing_but_itself(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[Unit] = []

    class Kept:
        def submit(self, work: Any, unit: Unit) -> Any:
            sent.append(unit)
            raise BrokenExecutor

    from contextlib import nullcontext

    monkeypatch.setattr("asfound.assess.many.crew", lambda *_: nullcontext(Kept()))
    plain = run(root, Means(scheduler="nowhere"))
    assert len(sent) == 8 and {one.root for one in sent} == {""}
    shutil.rmtree(root)
    again = {one.folder: carry_out(one) for one in sent}
    # That two cases bear one identity is seen where all come together.
    alone = [one for one in plain if one.folder in again and one.folder not in ("cases/c1",)]
    assert [again[one.folder] for one in alone] == shown(tuple(alone))


def test_a_worker_that_is_another_program_refuses(address: str) -> None:
    unit = Unit("cases/base", ON, b"{}", "another")
    with pytest.raises(OtherProgram, match="a worker runs another version"):
        carry_out(unit)
    with crew.crew(1, 1, address) as executor:
        ((piece, found),) = crew.carried_out(executor, carry_out, [unit])
    assert piece is unit and isinstance(found, OtherProgram)


def test_a_scheduler_that_is_not_there_is_said(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(crew, "SECONDS", 1)
    for address, said in (("tcp://127.0.0.1:1", "did not answer"), ("nonsense://x", "did not answer")):
        with pytest.raises(NoScheduler, match=said):
            run(root, Means(scheduler=address))
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(NoScheduler, match=r'pip install "asfound\[workers\]"'):
        run(root, Means(scheduler="tcp://127.0.0.1:1"))


def half(number: int) -> int:
    """A piece of work with faults: odd numbers are one, and at 6 a process is ended by the system."""
    if number % 2:
        raise ValueError(f"{number} is odd")
    if number == 6 and os.environ.get("ASFOUND_TEST_CHILD") == "1":
        os.kill(os.getpid(), signal.SIGKILL)
    return number // 2


def _in_a_child() -> None:
    os.environ["ASFOUND_TEST_CHILD"] = "1"


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system ends no process so")
def test_an_error_of_one_stops_no_other_and_a_process_that_dies_is_replaced_by_this_one() -> None:
    with ProcessPoolExecutor(2, mp_context=crew._context(), initializer=_in_a_child) as pool:
        found = list(crew.carried_out(pool, half, range(10)))
    assert [piece for piece, _ in found] == list(range(10))
    said = [str(one) if isinstance(one, ValueError) else one for _, one in found]
    assert said == [0, "1 is odd", 1, "3 is odd", 2, "5 is odd", 3, "7 is odd", 4, "9 is odd"]


def test_few_cases_are_not_worth_a_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("concurrent.futures.ProcessPoolExecutor", lambda *_, **__: pytest.fail("a process was begun"))
    for pieces, jobs in ((crew.FEWEST - 1, 8), (1000, 1)):
        with crew.crew(pieces, jobs) as executor:
            assert executor is None


@pytest.mark.skipif(os.name != "posix", reason="a terminal's Ctrl-C is sent to a group of processes")
def test_ctrl_c_ends_all_processes_with_one_word(root: Path) -> None:
    for number in range(9, 40):
        shutil.copytree(root / "cases/c1", root / "cases" / f"c{number}")
    command = [sys.executable, "-m", "asfound", "check", "--jobs", "2", "--no-history"]
    with subprocess.Popen(
        command, cwd=root, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as one:
        waited = 0
        while len(group(one.pid)) < 3 and waited < 600 and one.poll() is None:
            time.sleep(0.05)
            waited += 1
        os.killpg(one.pid, signal.SIGINT)
        out, err = one.communicate(timeout=120)
    assert (one.returncode, out, err.strip()) == (130, "", "Stopped.")
    assert group(one.pid) == []


def group(leader: int) -> list[int]:
    """The processes of a session that are still there."""
    found = []
    for place in Path("/proc").iterdir():
        if place.name.isdigit():
            try:
                fields = (place / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(fields[3]) == leader and fields[0] != "Z":
                found.append(int(place.name))
    return found
