"""`asfound without` and `asfound explain --starter`: what is told, in which form, which stream and exit code."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from asfound.limits import packaged
from asfound.model.reasoning import Explanation

from .support import Done, run

BASE = Path(__file__).parents[2] / "rules" / "base"
Asfound = Callable[..., Done]


@pytest.fixture
def asfound(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Asfound:
    shutil.copytree(BASE, tmp_path / "here")
    return lambda *arguments: run(capsys, monkeypatch, tmp_path / "here", *arguments)


def test_what_falls_is_told_in_sentences(asfound: Asfound) -> None:
    done = asfound("without", "base", "S-flow", "M-3")
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[:3] == [
        "Without S-flow and M-3:",
        "  the ceiling of the mechanism falls from probable to undetermined.",
        "  X-1 is not tested instead of supported.",
    ]
    assert "  findings that no longer stand: F-1, F-2, F-5" in done.out.splitlines()


def test_one_instrument_of_two_leaves_the_level(asfound: Asfound) -> None:
    done = asfound("without", "base", "M-3")
    assert "  no level falls." in done.out.splitlines()


def test_what_falls_is_told_to_programs(asfound: Asfound) -> None:
    done = asfound("without", "base", "S-flow", "M-3", "--json")
    data = json.loads(done.out)
    assert data["case"] == "base" and data["format"] == 1 and data["refs"] == ["S-flow", "M-3"]
    assert data["levels"] == [{"of": "mechanism", "before": "probable", "after": "undetermined"}]
    assert data["findings"] == ["F-1", "F-2", "F-5"]


def test_what_nothing_rests_on_is_said_to_take_nothing_away(asfound: Asfound) -> None:
    done = asfound("without", "base", "I-5")
    assert done.out == "Without I-5:\n  nothing falls: no finding, verdict, status or level rests on it alone.\n"


def test_an_id_that_stands_nowhere_is_a_wrong_call(asfound: Asfound) -> None:
    done = asfound("without", "base", "M-3", "E-99")
    assert done.code == 2 and done.out == ""
    assert 'the case base holds no record, instrument or role "E-99"' in done.err


def _second(here: Path) -> None:
    """A second case like the first."""
    shutil.copytree(here / "cases/base", here / "cases/other")
    head = here / "cases/other/case.yml"
    head.write_text(head.read_text("utf-8").replace("case: base\n", "case: other\n"), "utf-8")


def test_an_instrument_is_taken_away_everywhere(asfound: Asfound, tmp_path: Path) -> None:
    _second(tmp_path / "here")
    done = asfound("without", "--everywhere", "M-3")
    alone = asfound("without", "base", "M-3").out
    assert (done.code, done.err) == (0, "")
    head = "In 2 cases something was measured with M-3. Without it no level falls.\n"
    assert done.out == f"{head}\nbase\n{alone}\nother\n{alone}"
    data = json.loads(asfound("without", "--everywhere", "M-3", "--json").out)
    one = json.loads(asfound("without", "base", "M-3", "--json").out)
    assert [case["case"] for case in data["cases"]] == ["base", "other"]
    assert data["cases"][0] == {name: value for name, value in one.items() if name != "format"}


def test_cases_whose_level_falls_come_first(asfound: Asfound, tmp_path: Path) -> None:
    _second(tmp_path / "here")
    sheets = tmp_path / "here/cases/base/sheets.yml"
    sheets.write_text(sheets.read_text("utf-8").replace("instrument: M-2", "instrument: M-3"), "utf-8")
    for name in ("base", "other"):
        assert "the ceiling" in asfound("without", name, "M-2", "M-3").out
    done = asfound("without", "--everywhere", "M-1", "M-2", "M-3")
    assert done.out.startswith("In 2 cases something was measured with M-1, M-2 and M-3. Without them in 2 of them")


def test_everywhere_is_for_instruments_of_the_register(asfound: Asfound) -> None:
    for ref in ("E-1", "M-99", "base"):
        done = asfound("without", "--everywhere", ref)
        assert done.code == 2 and done.out == "" and f'holds no instrument "{ref}"' in done.err
    done = asfound("without", "base")
    assert done.code == 2 and "the records to take away from it are missing" in done.err


def test_a_case_that_cannot_be_read_is_not_passed_over_in_silence(asfound: Asfound, tmp_path: Path) -> None:
    _second(tmp_path / "here")
    (tmp_path / "here/cases/other/case.yml").write_text("case: [", encoding="utf-8")
    done = asfound("without", "--everywhere", "M-3")
    assert done.code == 1 and "In one case something was measured with M-3" in done.out
    assert "could not be read: 1" in done.err


def test_a_case_that_cannot_be_read_says_why(asfound: Asfound, tmp_path: Path) -> None:
    (tmp_path / "here/cases/base/case.yml").write_text("case: [", encoding="utf-8")
    done = asfound("without", "cases/base", "M-3")
    assert done.code == 1 and done.out == "" and "nothing can be taken away from it" in done.err


def test_a_starter_list_can_be_pasted(asfound: Asfound) -> None:
    for made in packaged().starters.values():
        done = asfound("explain", "--starter", made.starter)
        assert (done.code, done.err) == (0, "")
        pasted = yaml.load(done.out, yaml.BaseLoader)
        assert len(pasted) == len(made.lines)
        for record, (name, line) in zip(pasted.values(), made.lines.items(), strict=True):
            read = Explanation.model_validate(record)
            assert (read.starters, read.line, read.explanation) == ((name,), line.line, line.explanation)


def test_what_a_case_leaves_open_of_a_list_is_numbered_on(asfound: Asfound, tmp_path: Path) -> None:
    assert yaml.load(asfound("explain", "--starter", "infusion", "--case", "base").out, yaml.BaseLoader) is None
    head = tmp_path / "here/cases/base/case.yml"
    head.write_text(head.read_text("utf-8").replace("  log-or-time: the pump keeps no log\n", ""), "utf-8")
    done = asfound("explain", "--starter", "infusion", "--case", "base")
    assert {ref: one["starters"] for ref, one in yaml.load(done.out, yaml.BaseLoader).items()} == {
        "X-5": ["log-or-time"]
    }
    # Pasted, the list is answered.
    file = tmp_path / "here/cases/base/explanations.yml"
    file.write_text(file.read_text("utf-8") + done.out, "utf-8")
    assert "starter-line-open" not in asfound("check", "base", "--on", "2026-03-20").out


def test_a_starter_list_that_does_not_exist(asfound: Asfound) -> None:
    done = asfound("explain", "--starter", "skin-lesions")
    assert done.code == 2 and 'Did you mean "skin-lesion"?' in done.err
    assert asfound("explain", "--starter", "list").out.count("\n") == len(packaged().starters)
