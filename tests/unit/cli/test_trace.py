"""`asfound trace`: which case, what is told, which stream and exit code."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from ...support.repository import Repo
from .support import Done, run

BASE = Path(__file__).parents[2] / "rules" / "base"

Asfound = Callable[..., Done]


def edit(repo: Repo, name: str, old: str, new: str) -> None:
    path = repo.root / name
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """The base case, committed; then a reading and an instrument changed, steps below a finding."""
    shutil.copytree(BASE, tmp_path / "here")
    made = Repo(tmp_path / "here")
    made.commit("the case")
    edit(made, "cases/base/readings/flow.csv", "4,100,111.9,", "4,100,112.9,")
    made.commit("Correct a reading\n\nThe sheet had been read upside down.")
    edit(made, ".asfound/instruments.yml", "what: Flow analyser", "what: Flow analyser, second channel")
    made.commit("Name the channel")
    return made


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, repo: Repo) -> Asfound:
    """`asfound ARGUMENTS` at the root of that repository, or elsewhere."""

    def go(*arguments: str, at: Path = repo.root) -> Done:
        return run(capsys, monkeypatch, at, *arguments)

    return go


def test_a_finding_is_traced_to_changes_below_it(asfound: Asfound, repo: Repo) -> None:
    done = asfound("trace", "F-1")
    assert (done.code, done.err) == (0, "")
    first, second, third = repo.git("rev-list", "--reverse", "HEAD").split()
    assert (
        f"\nCommit {second[:10]}, commit time 2026-03-20 12:02 +00:00, an author not listed, in no edition yet\n"
        in done.out
    )
    assert "  | The sheet had been read upside down.\n" in done.out
    assert "  R-flow-4 changed, cases/base/readings/flow.csv:5\n    value [mL/h]: “111.9” → “112.9”\n" in done.out
    assert (
        "  M-2 changed (reached by way of R-flow-4, S-flow), .asfound/instruments.yml:29\n"
        "    what: “Flow analyser” → “Flow analyser, second channel”\n"
    ) in done.out
    assert "  F-1 added, cases/base/findings.yml:1\n" in done.out
    assert next(line for line in done.out.splitlines() if line.startswith("Commit")).startswith(f"Commit {first[:10]}")
    assert f"Commit {third[:10]}" in done.out
    # Another finding rests on none of it.
    assert "R-flow-4" not in asfound("trace", "F-3").out


def test_the_trace_for_programs_is_whole_and_plain(asfound: Asfound, repo: Repo) -> None:
    done = asfound("trace", "F-1", "--format", "json")
    data = json.loads(done.out)
    assert done.out.isascii() and data["known"] and data["ref"] == "F-1" and data["case"] == "base"
    assert data["rests_on"]["M-2"] == ["F-1", "R-flow-4", "S-flow", "M-2"]
    assert [one["id"] for one in data["commits"]] == repo.git("rev-list", "--reverse", "HEAD").split()
    assert data["commits"][1]["changes"] == [
        {
            "ref": "R-flow-4", "kind": "changed", "file": "cases/base/readings/flow.csv", "line": 5, "edition": 0,
            "fields": [{"name": "value [mL/h]", "old": "111.9", "new": "112.9"}],
        }
    ]  # fmt: skip
    assert data["uncommitted"] == [] and done.out == asfound("trace", "F-1", "--format", "json").out


def test_what_is_not_committed_is_said(asfound: Asfound, repo: Repo) -> None:
    edit(repo, "cases/base/readings/flow.csv", "6,100,112.0,", "6,100,102.0,")
    out = asfound("trace", "F-1").out
    assert (
        "\nNot committed yet\n  R-flow-6 changed, cases/base/readings/flow.csv:7\n    value [mL/h]: “112.0” → “102.0”\n"
        in out
    )
    assert "time" not in out.partition("Not committed yet")[2]


def test_a_record_that_is_gone_still_has_its_trace(asfound: Asfound, repo: Repo) -> None:
    path = repo.root / "cases/base/findings.yml"
    path.write_text(path.read_text("utf-8").partition("F-5:")[0], "utf-8")
    repo.commit("withdraw")
    out = asfound("trace", "F-5").out
    assert "  F-5 removed, cases/base/findings.yml:17\n" in out
    assert "[=R-flow-1], [=R-flow-2] and [=R-flow-3].” → nothing\n" in out


@pytest.mark.parametrize(
    "ref", ["conclusion.yml", "plan.yml", "case.yml", "M-2", "Y-flow-repeatability-1", "C-1", "P-pump-flow"]
)
def test_anything_with_an_id_can_be_traced(asfound: Asfound, ref: str) -> None:
    done = asfound("trace", ref)
    assert done.code == 0 and "Commit " in done.out


def test_an_id_nobody_knows_is_wrong_usage(asfound: Asfound) -> None:
    done = asfound("trace", "F-99")
    assert done.code == 2 and 'holds no record "F-99", and never did' in done.err and done.out == ""


def test_of_several_cases_the_one_that_holds_the_record_is_meant(asfound: Asfound, repo: Repo) -> None:
    shutil.copytree(repo.root / "cases/base", repo.root / "cases/second")
    edit(repo, "cases/second/case.yml", "case: base", "case: second")
    path = repo.root / "cases/second/findings.yml"
    path.write_text(path.read_text("utf-8").replace("F-5:", "F-50:"), "utf-8")
    repo.commit("second")
    assert asfound("trace", "F-50").out.startswith("F-50: finding of the case second\n")
    assert asfound("trace", "F-5").out.startswith("F-5: finding of the case base\n")
    done = asfound("trace", "F-1")
    assert done.code == 2 and "cases/base, cases/second" in done.err
    assert asfound("trace", "F-1", "--case", "second").code == 0
    none = asfound("trace", "F-99")
    assert none.code == 2 and 'no case here holds a record "F-99"' in none.err


def test_a_clone_cut_short_tells_nothing_but_why(asfound: Asfound, repo: Repo, tmp_path: Path) -> None:
    short = tmp_path / "short"
    subprocess.run(
        ["git", "clone", "-q", "--depth", "1", f"file://{repo.root}", str(short)], check=True, capture_output=True
    )
    done = asfound("trace", "F-1", at=short)
    assert (done.code, done.out) == (1, "") and "git fetch --unshallow" in done.err and "fetch-depth: 0" in done.err
    assert len(done.err.splitlines()) == 1
    data = asfound("trace", "F-1", "--format", "json", at=short)
    assert data.code == 1 and json.loads(data.out)["known"] is False and json.loads(data.out)["commits"] == []


def test_nothing_in_a_message_or_a_value_acts_on_a_terminal(asfound: Asfound, repo: Repo) -> None:
    edit(
        repo,
        "cases/base/findings.yml",
        "F-4:\n  text: The rate",
        'F-4:\n  text: "\\e[2JThe \\u202erate"\n  note: The rate',
    )
    repo.commit("Say \x1b[31mred \u202eand back")
    out = asfound("trace", "F-4").out
    assert "\x1b" not in out and "\u202e" not in out and "<U+001B>[31mred <U+202E>and back" in out


def test_a_long_text_is_shown_where_it_differs(asfound: Asfound, repo: Repo) -> None:
    long = "The pump was watched for the whole of the time. " * 8
    edit(repo, "cases/base/findings.yml", "F-4:\n", f"F-4:\n  note: {long}It stopped once.\n")
    repo.commit("note")
    edit(repo, "cases/base/findings.yml", "It stopped once.", "It never stopped.")
    repo.commit("note again")
    out = asfound("trace", "F-4").out
    (line,) = (line for line in out.splitlines() if "→" in line)
    assert "It stopped once.”" in line and "It never stopped.”" in line and len(line) < 200
