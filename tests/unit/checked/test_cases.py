"""Whoever saw a case last keeps what a check says of it, so that a hook before a commit says it again at once."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound import checked
from asfound.cli.check import run_check
from asfound.cli.entering import run_entering
from asfound.cli.status import run_status
from asfound.desk import plan_gate, when
from asfound.hooks import Told, ToldBefore
from asfound.model.work import GateKind
from asfound.sheet.bench import Bench
from asfound.sheet.told import told_of
from asfound.store import Store
from tests.rules.support import BASE
from tests.support.repository import Repo
from tests.unit.cli.test_watch import Watching

ON = dt.date(2026, 4, 1)
CASE = "cases/base"


@pytest.fixture
def repo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repo:
    shutil.copytree(BASE, tmp_path / "here")
    monkeypatch.setenv("ASFOUND_CACHE", str(tmp_path / "cache"))
    made = Repo(tmp_path / "here")
    made.commit("the case")
    return made


def told(repo: Repo, on: dt.date = ON) -> tuple[Told, ...] | None:
    return ToldBefore(repo.root, on, Store(repo.root.parent / "cache")).all([CASE])


def status(repo: Repo) -> None:
    run_status("base", "text", False, ON.isoformat(), str(repo.root))


def gate(repo: Repo) -> None:
    # Too early, and by somebody the case does not name: the check has something new to say.
    run_entering(
        "base", str(repo.root), ON.isoformat(),
        lambda desk, now: plan_gate(desk, GateKind.SAFE_TO_CONNECT, (), when("2026-03-02 08:00 -05:00", now), "nobody"),
    )  # fmt: skip


def sheet(repo: Repo) -> None:
    told_of(Bench(repo.root, repo.root / CASE, lambda: dt.datetime(2026, 4, 1, tzinfo=dt.UTC)), "S-output", ON)


def one(repo: Repo) -> None:
    checked.check_case(repo.root, repo.root / CASE, ON)


@pytest.mark.parametrize("see", [status, gate, sheet, one], ids=lambda see: see.__name__)
def test_what_is_kept_is_what_a_check_prints(
    repo: Repo, see: Callable[[Repo], None], capsys: pytest.CaptureFixture[str]
) -> None:
    assert told(repo) is None
    see(repo)
    again = told(repo)
    assert again is not None
    capsys.readouterr()
    code = run_check((CASE,), "text", ON.isoformat(), "reject", str(repo.root), history=False, cache=False)
    assert "".join(f"{line}\n" for one in again for line in one.lines) == capsys.readouterr().out
    assert ("reject" in again[-1].levels) is (code == 1) is (see is gate)


@pytest.mark.parametrize("more", [(), ("--history",)], ids=["files alone", "with what git tells"])
def test_what_a_watch_saw_last_is_kept(repo: Repo, more: tuple[str, ...]) -> None:
    watch = Watching(repo.root, *more)
    try:
        watch.until("Watching 1 case; Ctrl-C ends it.")
        gates = repo.root / CASE / "gates.yml"
        gates.write_bytes(gates.read_bytes().replace(b"outcome: yes", b"outcome: no"))
        watch.until(" reject ")
        # It has told the whole of what it saw, so it has kept it too.
        watch.until(f"{CASE}: ")
        again = told(repo, dt.date(2026, 3, 20))
        assert again is not None and "reject" in again[-1].levels
    finally:
        watch.close()


def test_what_stands_against_the_organisations_own_files_is_kept_beside(
    repo: Repo, capsys: pytest.CaptureFixture[str]
) -> None:
    (repo.root / ".asfound/instruments.yml").write_text("instruments: 7\n", "utf-8")
    one(repo)
    again = told(repo)
    assert again is not None and "reject" in again[0].levels
    run_check((CASE,), "text", ON.isoformat(), "reject", str(repo.root), history=False, cache=False)
    assert "".join(f"{line}\n" for each in again for line in each.lines) == capsys.readouterr().out


def test_where_nothing_may_be_kept_a_case_is_assessed_all_the_same(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = checked.check_case(repo.root, repo.root / CASE, ON)
    for place in ("off", str(repo.root / "inside")):
        monkeypatch.setenv("ASFOUND_CACHE", place)
        found = checked.check_case(repo.root, repo.root / CASE, ON)
        assert found.problems == kept.problems and not (repo.root / "inside").exists()


def test_of_files_that_changed_meanwhile_nothing_is_kept(repo: Repo, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound import assess

    whole = assess.assess_cases

    def and_somebody_writes(*given: object, **more: object) -> object:
        found = whole(*given, **more)  # type: ignore[arg-type]
        items = repo.root / CASE / "items.yml"
        items.write_text(items.read_text("utf-8") + "# a remark\n", "utf-8")
        return found

    monkeypatch.setattr(assess, "assess_cases", and_somebody_writes)
    one(repo)
    assert told(repo) is None
